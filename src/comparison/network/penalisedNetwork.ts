import type { ArmEvents } from '../../extraction/armEvents.ts';
import { type CholeskyFactor, cholesky, choleskyInverse, choleskySolve } from '../../numerics/cholesky.ts';
import { normalQuantile } from '../../numerics/distributions.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { effectOf } from './compareTreatments.ts';
import { type CountPart, countParts } from './countNetwork.ts';
import type { NodeOfArm } from './networkFromCounts.ts';
import type { NetworkEffect } from './networkResult.ts';
import type { NetworkLeftOut } from './networkStudy.ts';

export interface CountNetworkOptions {
  readonly node?: NodeOfArm;
  /** Coverage of every interval, default 0.95. */
  readonly level?: number;
  /** Order in which treatments are listed; those not named follow alphabetically. */
  readonly order?: readonly string[];
}

/** First treatment less second, log odds ratio. */
export interface CountComparison {
  readonly treatment: string;
  readonly comparator: string;
  readonly effect: NetworkEffect;
}

export interface PenalisedPart {
  readonly treatments: readonly string[];
  readonly studies: number;
  readonly comparisons: readonly CountComparison[];
  /** Effects less that of the first treatment, with their covariance, row-major. */
  readonly effects: readonly number[];
  readonly covariance: readonly number[];
  readonly penalisedLogLikelihood: number;
  readonly iterations: number;
  readonly converged: boolean;
}

export interface PenalisedNetwork {
  readonly kind: 'penalised-network';
  readonly parts: readonly PenalisedPart[];
  readonly leftOut: readonly NetworkLeftOut[];
  readonly methodsSentence: string;
}

const iterationLimit = 500;
const longestStep = 3;

/**
 * How do treatments compare when events are so rare that arms have none?
 *
 * Events are binomial, `logit p = study + treatment`, common effect. The likelihood is penalised by the square root of
 * the determinant of its information, which takes away the first-order bias and keeps every estimate finite with zero
 * cells: scores become `Σ [y - n p + h (½ - p)] x` with h the leverage of the arm. Nothing is added to any cell. A
 * study's intercept is swept out of the information, so the work grows with treatments, not with studies. Intervals are
 * Wald on the log odds ratio and allow for no difference between studies beyond chance.
 *
 * @throws RangeError for an unknown option
 * @see Firth D. Biometrika 1993;80:27-38. Heinze G, Schemper M. Stat Med 2002;21:2409-2419. Evrenoglou T, White IR, Afach
 *   S, Mavridis D, Chaimani A. Stat Med 2022;41:5203-5219 (networks).
 * @example
 * penalisedNetwork(selection.arms).parts[0]?.comparisons[0]?.effect.value
 */
export function penalisedNetwork(
  arms: readonly ArmEvents[],
  options: CountNetworkOptions = {},
): PenalisedNetwork {
  checkOptionNames(options, ['node', 'level', 'order']);
  const level = checkLevel(options.level ?? 0.95);
  const { parts, leftOut } = countParts(arms, options.node, options.order ?? []);
  return {
    kind: 'penalised-network',
    parts: parts.map((part) => fitPenalised(part, level)),
    leftOut,
    methodsSentence:
      'Counts were also analysed in a common-effect binomial network with a bias-reducing penalty on the likelihood, which takes arms without events as they are.',
  };
}

interface Layout {
  /** Place of each arm's treatment, 0 for the first of the list. */
  readonly arms: readonly { readonly place: number; readonly events: number; readonly total: number }[];
}

interface State {
  readonly intercepts: Float64Array;
  readonly effects: Float64Array;
}

function fitPenalised(part: CountPart, level: number): PenalisedPart {
  const places = new Map(part.treatments.map((treatment, place) => [treatment, place]));
  const layout: Layout[] = part.studies.map(({ nodes }) => ({
    arms: nodes.map(({ treatment, events, total }) => ({ place: places.get(treatment)!, events, total })),
  }));
  const count = part.treatments.length;
  let state: State = {
    intercepts: Float64Array.from(layout, ({ arms }) => {
      const events = arms.reduce((sum, arm) => sum + arm.events, 0);
      const total = arms.reduce((sum, arm) => sum + arm.total, 0);
      return Math.log((events + 0.5) / (total - events + 0.5));
    }),
    effects: new Float64Array(count),
  };
  let at = examine(layout, count, state);
  let iterations = 0;
  let converged = false;
  for (; iterations < iterationLimit && !converged; iterations++) {
    let scale = Math.min(1, longestStep / Math.max(1e-300, at.longest));
    let next = moved(state, at.step, scale);
    let there = examine(layout, count, next);
    for (
      let halving = 0;
      halving < 30 && !(there.height >= at.height - 1e-12 * Math.abs(at.height));
      halving++
    ) {
      scale /= 2;
      next = moved(state, at.step, scale);
      there = examine(layout, count, next);
    }
    converged = at.longest * scale < 1e-13 * (1 + Math.max(...Array.from(next.effects, Math.abs)));
    state = next;
    at = there;
  }
  const size = count - 1;
  const inverse = choleskyInverse(at.factor);
  const covariance = new Float64Array(count * count);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) covariance[(i + 1) * count + j + 1] = inverse[i * size + j]!;
  const margin = { inflation: 1, quantile: -normalQuantile((1 - level) / 2) };
  const comparisons: CountComparison[] = [];
  for (let i = 0; i < count; i++)
    for (let j = i + 1; j < count; j++)
      comparisons.push({
        treatment: part.treatments[i]!,
        comparator: part.treatments[j]!,
        effect: effectOf(
          state.effects[i]! - state.effects[j]!,
          covariance[i * count + i]! + covariance[j * count + j]! - 2 * covariance[i * count + j]!,
          margin,
          level,
        ),
      });
  return {
    treatments: part.treatments,
    studies: part.studies.length,
    comparisons,
    effects: [...state.effects],
    covariance: [...covariance],
    penalisedLogLikelihood: at.height,
    iterations,
    converged,
  };
}

const moved = (state: State, step: State, scale: number): State => ({
  intercepts: state.intercepts.map((value, s) => value + scale * step.intercepts[s]!),
  effects: state.effects.map((value, i) => value + scale * step.effects[i]!),
});

/** Penalised likelihood, information with intercepts swept out, and the scoring step from here. */
function examine(layout: readonly Layout[], count: number, { intercepts, effects }: State) {
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
  const factor = cholesky(information, size) as CholeskyFactor;
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
  const solved = choleskySolve(factor, right);
  const effectStep = new Float64Array(count);
  effectStep.set(solved, 1);
  const interceptStep = Float64Array.from(
    studies,
    ({ own, total }, s) =>
      own.reduce((sum, { place, weight }) => sum - weight * effectStep[place]!, pulls[s]!) / total,
  );
  const longest = Math.max(...Array.from(effectStep, Math.abs), ...Array.from(interceptStep, Math.abs));
  return { height, factor, step: { intercepts: interceptStep, effects: effectStep }, longest };
}
