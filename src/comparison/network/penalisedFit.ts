import { type CholeskyFactor, cholesky, choleskyInverse, choleskySolve } from '../../numerics/cholesky.ts';

/** One study's arms for the penalised likelihood. */
export interface PenalisedStudy {
  /** Place of each arm's treatment, 0 for the one all effects are against. */
  readonly arms: readonly { readonly place: number; readonly events: number; readonly total: number }[];
}

/** Log odds: each study's own, and each treatment's less that of place 0. */
export interface PenalisedState {
  readonly intercepts: Float64Array;
  readonly effects: Float64Array;
}

export interface PenalisedMaximum {
  readonly state: PenalisedState;
  /** Penalised log-likelihood without the binomial coefficients. */
  readonly height: number;
  /** Information of the effects with the intercepts swept out, as a factor. */
  readonly factor: CholeskyFactor;
  readonly iterations: number;
  readonly converged: boolean;
}

const iterationLimit = 500;
const longestStep = 3;

/** Where the search starts: every study at its own overall odds, no effects. */
export function penalisedStart(studies: readonly PenalisedStudy[], count: number): PenalisedState {
  return {
    intercepts: Float64Array.from(studies, ({ arms }) => {
      const events = arms.reduce((sum, arm) => sum + arm.events, 0);
      const total = arms.reduce((sum, arm) => sum + arm.total, 0);
      return Math.log((events + 0.5) / (total - events + 0.5));
    }),
    effects: new Float64Array(count),
  };
}

/**
 * Where is the penalised likelihood highest?
 *
 * Scoring steps, shortened until they lead up.
 *
 * @param held keeps the effect at place 1 where the start has it: one point of the profile
 */
export function maximisePenalised(
  studies: readonly PenalisedStudy[],
  start: PenalisedState,
  held = false,
): PenalisedMaximum {
  const count = start.effects.length;
  // A profile is read by its height, which errs by the square of the distance from its top.
  const tolerance = held ? 1e-7 : 1e-13;
  let state = start;
  let at = examine(studies, count, state, held);
  if (at === undefined)
    throw new RangeError('the start of a penalised fit must have information on every effect');
  let iterations = 0;
  let converged = false;
  for (; iterations < iterationLimit && !converged; iterations++) {
    let scale = Math.min(1, longestStep / Math.max(1e-300, at.longest));
    let next = moved(state, at.step, scale);
    let there = examine(studies, count, next, held);
    const least = at.height - 1e-12 * Math.abs(at.height);
    for (let halving = 0; halving < 40 && !(there !== undefined && there.height >= least); halving++) {
      scale /= 2;
      next = moved(state, at.step, scale);
      there = examine(studies, count, next, held);
    }
    if (there === undefined) break;
    converged = at.longest * scale < tolerance * (1 + Math.max(...Array.from(next.effects, Math.abs)));
    state = next;
    at = there;
  }
  return { state, height: at.height, factor: at.factor, iterations, converged };
}

const moved = (state: PenalisedState, step: PenalisedState, scale: number): PenalisedState => ({
  intercepts: state.intercepts.map((value, s) => value + scale * step.intercepts[s]!),
  effects: state.effects.map((value, i) => value + scale * step.effects[i]!),
});

/** Penalised likelihood, information with intercepts swept out, and the scoring step; undefined without information. */
function examine(
  layout: readonly PenalisedStudy[],
  count: number,
  { intercepts, effects }: PenalisedState,
  held: boolean,
) {
  const size = count - 1;
  const information = new Float64Array(size * size);
  let height = 0;
  const studies = layout.map(({ arms }, s) => {
    let total = 0;
    const own = arms.map(({ place, events, total: n }) => {
      const eta = intercepts[s]! + effects[place]!;
      const p = 1 / (1 + Math.exp(-eta));
      const weight = n * p * (1 - p);
      // ln(1 + e^eta) without overflow.
      height += events * eta - n * (Math.max(0, eta) + Math.log1p(Math.exp(-Math.abs(eta))));
      total += weight;
      return { place, p, weight, events, n };
    });
    height += 0.5 * Math.log(total);
    for (const one of own)
      for (const other of own) {
        if (one.place === 0 || other.place === 0) continue;
        information[(one.place - 1) * size + other.place - 1]! +=
          (one === other ? one.weight : 0) - (one.weight * other.weight) / total;
      }
    return { own, total };
  });
  const factor = cholesky(information, size);
  if (factor === undefined || !Number.isFinite(height)) return undefined;
  height += 0.5 * factor.logDeterminant;
  const inverse = choleskyInverse(factor);
  const right = new Float64Array(size);
  const pulls = studies.map(({ own, total }) => {
    // Variance of an arm's linear predictor: 1/total + (b - e)ᵀ S⁻¹ (b - e), b the study's shares of weight.
    const cells = own.map((_, a) => own.map(({ weight }, b) => weight / total - (a === b ? 1 : 0)));
    const scores = own.map(({ p, weight, events, n }, a) => {
      let variance = 1 / total;
      for (const [i, one] of own.entries())
        for (const [j, other] of own.entries())
          if (one.place > 0 && other.place > 0)
            variance += cells[a]![i]! * cells[a]![j]! * inverse[(one.place - 1) * size + other.place - 1]!;
      return events - n * p + weight * variance * (0.5 - p);
    });
    const sum = scores.reduce((a, b) => a + b, 0);
    for (const [i, { place, weight }] of own.entries())
      if (place > 0) right[place - 1]! += scores[i]! - (weight / total) * sum;
    return sum;
  });
  const effectStep = new Float64Array(count);
  effectStep.set(held ? solveWithoutFirst(information, right, size) : choleskySolve(factor, right), 1);
  const interceptStep = Float64Array.from(
    studies,
    ({ own, total }, s) =>
      own.reduce((sum, { place, weight }) => sum - weight * effectStep[place]!, pulls[s]!) / total,
  );
  const longest = Math.max(...Array.from(effectStep, Math.abs), ...Array.from(interceptStep, Math.abs));
  return { height, factor, step: { intercepts: interceptStep, effects: effectStep }, longest };
}

/** The scoring step of all effects but the first, which stands still. */
function solveWithoutFirst(information: Float64Array, right: Float64Array, size: number): Float64Array {
  const step = new Float64Array(size);
  const inner = size - 1;
  if (inner === 0) return step;
  const matrix = new Float64Array(inner * inner);
  for (let i = 0; i < inner; i++)
    for (let j = 0; j < inner; j++) matrix[i * inner + j] = information[(i + 1) * size + j + 1]!;
  const factor = cholesky(matrix, inner);
  if (factor !== undefined) step.set(choleskySolve(factor, right.subarray(1)), 1);
  return step;
}
