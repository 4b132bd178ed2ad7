import { newtonMaximum } from '../../pooling/rareEvents/newtonMaximum.ts';
import { type SelectionData, selectionLikelihood } from './selectionLikelihood.ts';

export interface SelectionMaximum {
  /** μ, τ, ln δ₂, … */
  readonly at: Float64Array;
  readonly value: number;
  readonly converged: boolean;
}

/**
 * The highest point of the selection likelihood, with some parameters held.
 *
 * Newton steps with curvatures from differences of the exact slopes, from several starts.
 *
 * @param held which parameters stay where the starts put them
 */
export function maximiseSelection(
  data: SelectionData,
  starts: readonly ArrayLike<number>[],
  held: readonly boolean[],
): SelectionMaximum | undefined {
  const free = held.flatMap((fixed, i) => (fixed ? [] : [i]));
  const slopes = new Float64Array(held.length);
  const ahead = new Float64Array(held.length);
  let best: SelectionMaximum | undefined;
  for (const start of starts) {
    const at = Float64Array.from(start);
    if (free.length === 0) return { at, value: selectionLikelihood(data, at, slopes), converged: true };
    const search = newtonMaximum(
      (x, gradient, hessian) => {
        for (const [k, i] of free.entries()) at[i] = x[k]!;
        for (const [k, i] of free.entries()) {
          const step = 1e-5 * Math.max(0.1, Math.abs(x[k]!));
          at[i] = x[k]! + step;
          selectionLikelihood(data, at, ahead);
          at[i] = x[k]! - step;
          selectionLikelihood(data, at, slopes);
          at[i] = x[k]!;
          for (const [l, other] of free.entries()) {
            hessian[k * free.length + l] = (ahead[other]! - slopes[other]!) / (2 * step);
          }
        }
        for (let k = 0; k < free.length; k++) {
          for (let l = 0; l < k; l++) {
            const middle = 0.5 * (hessian[k * free.length + l]! + hessian[l * free.length + k]!);
            hessian[k * free.length + l] = middle;
            hessian[l * free.length + k] = middle;
          }
        }
        const value = selectionLikelihood(data, at, slopes);
        for (const [k, i] of free.entries()) gradient[k] = slopes[i]!;
        return value;
      },
      free.map((i) => start[i]!),
      { tolerance: 1e-18, iterations: 200 },
    );
    if (!Number.isFinite(search.value)) continue;
    const found = Float64Array.from(start);
    for (const [k, i] of free.entries()) found[i] = search.at[k]!;
    const steepest = Math.max(...search.gradient.map(Math.abs));
    const converged = search.converged || steepest < 1e-7;
    if (converged && (!best || search.value > best.value))
      best = { at: found, value: search.value, converged };
  }
  return best;
}
