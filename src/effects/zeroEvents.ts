/**
 * What to do with an arm whose rate has no finite value on the scale (no events, or nothing but events): leave it out
 * and say so, or add a stated amount to both of its cells and say so. Nothing is ever added silently.
 */
export type ZeroEvents = 'leave-out' | { readonly addToEachCell: number };

/**
 * The amount to add, 0 for `leave-out`.
 *
 * @throws RangeError when the amount is not above 0 and at most 1
 */
export function amountToAdd(zeroEvents: ZeroEvents): number {
  if (zeroEvents === 'leave-out') return 0;
  const amount = zeroEvents?.addToEachCell;
  if (!(typeof amount === 'number' && amount > 0 && amount <= 1)) {
    throw new RangeError(
      `zeroEvents must be 'leave-out' or { addToEachCell } above 0 and at most 1, received ${JSON.stringify(zeroEvents)}`,
    );
  }
  return amount;
}
