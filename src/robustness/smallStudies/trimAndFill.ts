import type { Estimate } from '../../effects/estimate.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import type { PooledResult } from '../../pooling/pooledResult.ts';
import { type PoolingModel, type PoolOptions, poolingModels } from '../../pooling/poolOptions.ts';
import {
  answerBase,
  refuse,
  type SmallStudyBase,
  type SmallStudyOptions,
  type SmallStudyRefusal,
} from './smallStudyAnswer.ts';

/** The two estimators of how many studies are missing, by their authors' symbols. */
export const missingStudiesEstimators = ['L0', 'R0'] as const;
export type MissingStudiesEstimator = (typeof missingStudiesEstimators)[number];

export const missingSides = ['left', 'right'] as const;
export type MissingSide = (typeof missingSides)[number];

export interface TrimAndFillOptions extends SmallStudyOptions {
  /** Default `L0`. */
  readonly estimator?: MissingStudiesEstimator;
  /** Side of the mean on which studies are taken to be missing, default `left`. */
  readonly side?: MissingSide;
  /** Model of the centre during trimming, default `common-effect`; its estimator is that of `pool`. */
  readonly centre?: PoolingModel;
  /** How the filled set is pooled, and by which estimator a random-effects centre is found. */
  readonly pool?: PoolOptions;
}

export interface TrimAndFill extends SmallStudyBase {
  readonly kind: 'trim-and-fill';
  readonly estimator: MissingStudiesEstimator;
  readonly side: MissingSide;
  readonly centre: PoolingModel;
  /** How many studies were filled in, and where; each mirrors a real one. */
  readonly missing: number;
  readonly filled: readonly { readonly mirrors: string; readonly value: number; readonly variance: number }[];
  /** Mean around which they were mirrored, on the analysis scale. */
  readonly centreValue: number;
  readonly before: PooledResult;
  /** The real studies and the filled ones pooled. */
  readonly after: PooledResult;
  readonly iterations: number;
  readonly converged: boolean;
}

/**
 * How would the pool look if the lean of the funnel were studies missing on one side?
 *
 * The most extreme studies of the other side are trimmed, the centre found again, and the number missing estimated
 * from the ranks of the distances to it, until it settles; then the trimmed studies are mirrored. With n studies, T the
 * rank sum on the far side and g the number of far distances strictly beyond the largest near one,
 * `L0 = (4T - n(n + 1)) / (2n - 1)`, rounded, and `R0 = g - 1`, both at least 0. Tied distances share their rank; a
 * study at the centre lies on neither side. The filled pool counts the imputed studies apart. A sensitivity analysis, never an estimate: it takes every lean for missing
 * studies and errs where studies differ.
 *
 * @throws RangeError as `poolEstimates`, and for an unknown option
 *
 * Source: Duval S, Tweedie R, Biometrics 2000;56:455-463; J Am Stat Assoc 2000;95:89-98.
 *
 * @example
 * trimAndFill(estimates, { estimator: 'R0', side: 'right' })
 */
export function trimAndFill(
  estimates: readonly Estimate[],
  options: TrimAndFillOptions = {},
): TrimAndFill | SmallStudyRefusal {
  checkOptionNames(options, ['force', 'level', 'estimator', 'side', 'centre', 'pool']);
  const estimator = checkChoice('estimator', options.estimator ?? 'L0', missingStudiesEstimators);
  const side = checkChoice('side', options.side ?? 'left', missingSides);
  const centre = checkChoice('centre', options.centre ?? 'common-effect', poolingModels);
  const pool = { ...(options.level === undefined ? {} : { level: options.level }), ...options.pool };
  const method = `trim and fill (${estimator}, missing on the ${side}, ${centre === 'common-effect' ? 'common-effect' : 'random-effects'} centre)`;
  const refused = refuse(method, estimates, options);
  if (refused) return refused;
  // Missing on the left means too many on the right: sorted so that these come last.
  const sign = side === 'left' ? 1 : -1;
  // Of equal values the less precise one is trimmed first, so that the order of the sheet decides nothing.
  const sorted = [...estimates].sort(
    (a, b) =>
      sign * (a.value - b.value) ||
      a.variance - b.variance ||
      (a.label < b.label ? -1 : Number(a.label > b.label)),
  );
  const centrePool =
    pool.betweenStudyVariance === undefined ? {} : { betweenStudyVariance: pool.betweenStudyVariance };
  const centreOf = (some: readonly Estimate[]): number =>
    poolEstimates(some, { ...centrePool, model: centre }).mean!.value;
  let missing = -1;
  let centreValue = 0;
  let next = 0;
  let iterations = 0;
  while (next !== missing && iterations < 100) {
    missing = next;
    centreValue = centreOf(sorted.slice(0, sorted.length - missing));
    next = Math.min(
      sorted.length - 2,
      missingStudies(
        sorted.map(({ value }) => sign * (value - centreValue)),
        estimator,
        1e-12 * Math.max(...sorted.map(({ value }) => Math.abs(value))),
      ),
    );
    iterations++;
  }
  const filled = sorted.slice(sorted.length - missing).map((estimate) => ({
    mirrors: estimate.label,
    value: 2 * centreValue - estimate.value,
    variance: estimate.variance,
  }));
  const mirrored = filled.map(
    ({ mirrors, value, variance }, i): Estimate => ({
      study: `filled-${i + 1}`,
      label: `mirror of ${mirrors}`,
      value,
      variance,
      scale: estimates[0]!.scale,
      addedToEachCell: 0,
      imputed: true,
      rows: [],
    }),
  );
  return {
    kind: 'trim-and-fill',
    ...answerBase(method, 'Duval S, Tweedie R. Biometrics 2000;56:455-463', estimates, [
      'A sensitivity analysis: the studies filled in do not exist.',
    ]),
    estimator,
    side,
    centre,
    missing,
    filled,
    centreValue,
    before: poolEstimates(estimates, pool),
    after: poolEstimates([...estimates, ...mirrored], pool),
    iterations,
    converged: next === missing,
  };
}

/** Both estimators on both sides. */
export function trimAndFillBothWays(
  estimates: readonly Estimate[],
  options: Omit<TrimAndFillOptions, 'estimator' | 'side'> = {},
): readonly (TrimAndFill | SmallStudyRefusal)[] {
  return missingSides.flatMap((side) =>
    missingStudiesEstimators.map((estimator) => trimAndFill(estimates, { ...options, side, estimator })),
  );
}

/** @param close distances nearer than this are ties: the last digit of the centre must not order them, nor give them a side */
function missingStudies(
  distances: readonly number[],
  estimator: MissingStudiesEstimator,
  close: number,
): number {
  const n = distances.length;
  const sizes = distances.map(Math.abs);
  const largestNear = Math.max(0, ...sizes.filter((_, i) => distances[i]! <= close));
  if (estimator === 'R0') {
    return Math.max(0, distances.filter((distance) => distance > largestNear + close).length - 1);
  }
  const rank = (size: number): number => {
    let less = 0;
    let same = 0;
    for (const other of sizes) {
      if (other < size - close) less++;
      else if (other <= size + close) same++;
    }
    return less + (same + 1) / 2;
  };
  let far = 0;
  for (const [i, distance] of distances.entries()) if (distance > close) far += rank(sizes[i]!);
  return Math.max(0, Math.round((4 * far - n * (n + 1)) / (2 * n - 1)));
}
