/** Logarithms (or logits) farther out are as good as 0 or infinity: the number itself could not be written. */
export const farthestLog = 700;

/** Value and slope of a log-concave tail's logarithm at s. */
export type LogTail = (s: number) => { readonly logTail: number; readonly slope: number };

/**
 * Where does a tail farthestLog a probability? Newton's method on the logarithm of the tail.
 *
 * For a log-concave tail this never needs a bracket: the logarithm lies below its tangents, so after the first
 * step every iterate stays on one side of the root and moves towards it.
 */
export function tailQuantile(tail: LogTail, logProbability: number, start: number): number {
  let s = Math.min(farthestLog, Math.max(-farthestLog, start));
  let before = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 200; i += 1) {
    const { logTail, slope } = tail(s);
    const step = (logProbability - logTail) / slope;
    const next = Math.min(farthestLog, Math.max(-farthestLog, s + step));
    const size = Math.abs(next - s);
    s = next;
    const small = size <= 1e-15 * Math.max(1, Math.abs(s));
    // Steps that no longer shrink are rounding, not progress.
    if (small || (size < 1e-11 && size >= before)) break;
    before = size;
  }
  return s;
}
