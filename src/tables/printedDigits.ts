/**
 * Does a value agree with a figure as printed: within half a unit of the last digit printed?
 *
 * @param printed the figure as it stands in print, such as `0.50` (two decimals) or `-2.558`
 * @throws when `printed` is not a plain decimal number
 * @example
 * agreesWithPrinted('0.50', 0.4961) // true
 */
export function agreesWithPrinted(printed: string, value: number): boolean {
  const decimals = /^-?\d+(?:\.(?<decimals>\d+))?$/.exec(printed);
  if (decimals === null) throw new RangeError(`printed must be a decimal number, received "${printed}"`);
  const halfUnit = 0.5 * 10 ** -(decimals.groups?.decimals?.length ?? 0);
  // A value on the very edge may round either way; the slack is for binary fractions only.
  return Math.abs(value - Number(printed)) <= halfUnit * (1 + 1e-9);
}

/** A value with as many decimals as a printed figure, and one more where they differ. */
export function digitsLike(printed: string, value: number): string {
  const decimals = printed.split('.')[1]?.length ?? 0;
  return value.toFixed(agreesWithPrinted(printed, value) ? decimals : decimals + 1);
}
