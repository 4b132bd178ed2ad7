/** Study and arm as one key; the separator cannot be typed into a cell. */
export const armKey = (row: { readonly study: string; readonly arm: string }): string =>
  `${row.study}\u0000${row.arm}`;
