/**
 * A value a paper may have left out.
 *
 * "Not reported" is a word and not a number, so it cannot be added, compared or defaulted to zero
 * by accident: `reported + 1` does not type-check, and `value || 0` keeps the word. The only way to
 * the number is through {@link isReported}.
 */
export const notReported = 'not reported' as const;

/** The type of {@link notReported}. */
export type NotReported = typeof notReported;

/** A cell of an extraction sheet: either what the paper says, or the fact that it says nothing. */
export type Reported<T> = T | NotReported;

/**
 * Did the paper report this value?
 *
 * @example
 * isReported(arm.meanAge) ? arm.meanAge.toFixed(1) : 'not reported'
 */
export function isReported<T>(value: Reported<T>): value is Exclude<T, NotReported> {
  return value !== notReported;
}
