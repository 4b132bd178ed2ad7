/**
 * Refuse a number that cannot be meant, saying which one, what it may be, and what it was.
 *
 * The condition is written so that NaN fails it: `x >= 0`, never `!(x < 0)`.
 */
export function requireNumber(holds: boolean, name: string, bound: string, value: number): void {
  if (!holds) throw new RangeError(`${name} must be ${bound}, but it is ${value}`);
}
