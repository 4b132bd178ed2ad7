import type { ClassifiedSite } from '../../extraction/site.ts';
import { classifiedSites } from '../../extraction/site.ts';
import type { Estimate, LeftOut } from '../estimate.ts';
import { isEstimate } from '../isEstimate.ts';
import {
  type MeanDifferenceVariance,
  meanDifference,
  meanDifferenceVariances,
  type StandardisedVariance,
  standardisedMeanDifference,
  standardisedVariances,
  type TwoMeans,
} from '../twoMeans.ts';
import { combineGroups } from './combineGroups.ts';
import type { ScoreEstimates } from './estimateMeans.ts';
import { ratioOfMeans } from './ratioOfMeans.ts';
import type { ScoreArm } from './scoreArm.ts';
import { requireGroup, requireKnownOptions, requireOneOf } from './scoreInputs.ts';

/** Ways to compare two arms' scores. */
export const scoreMeasures = [
  'mean-difference',
  'standardised-mean-difference',
  'log-ratio-of-means',
] as const;
export type ScoreMeasure = (typeof scoreMeasures)[number];

export interface ScoreContrastOptions {
  readonly treated: ClassifiedSite;
  readonly comparator: ClassifiedSite;
  /** Default `mean-difference`. */
  readonly measure?: ScoreMeasure;
  /**
   * For the standardised difference `large-sample` (default) or `unbiased`; for the mean difference `separate` (default)
   * or `pooled`.
   */
  readonly variance?: StandardisedVariance | MeanDifferenceVariance;
  /** For the mean difference, the scale compared: needed when the arms are on several. Standardised differences and ratios may mix scales. */
  readonly scale?: string;
}

/**
 * How do two sites' scores compare within the studies that have both?
 *
 * Several arms of a study at one site are combined into one first. Positive differences mean a higher
 * score at `treated`, except that a standardised difference is turned so that positive is better at
 * `treated`, since it may mix scales of both directions. A mean difference is made on one scale; finals
 * and changes may be pooled as mean differences (of the same study both arms must be alike) but not as
 * standardised ones (finals are taken where there are any), nor as ratios.
 *
 * @throws RangeError for an unknown option or site, or an impossible mean, spread or size.
 * Source: Cochrane Handbook version 6, sections 6.5.1.1 to 6.5.1.3, 10.5.2 (finals and changes) and 6.5.2.10.
 * @example
 * estimateScoreContrasts(selectScores(review, 'pain').arms, { treated: 'subpectoral', comparator: 'suprapectoral' })
 */
export function estimateScoreContrasts(
  arms: readonly ScoreArm[],
  options: ScoreContrastOptions,
): ScoreEstimates {
  requireKnownOptions(options, ['treated', 'comparator', 'measure', 'variance', 'scale']);
  const measure: string = options.measure ?? 'mean-difference';
  requireOneOf('measure', measure, scoreMeasures);
  if (options.variance !== undefined) {
    requireOneOf(
      'variance',
      options.variance,
      measure === 'mean-difference' ? meanDifferenceVariances : standardisedVariances,
    );
  }
  requireOneOf('treated', options.treated, classifiedSites);
  requireOneOf('comparator', options.comparator, classifiedSites);
  if (options.treated === options.comparator) {
    throw new RangeError(
      `comparator must be another site than treated (${options.treated}); received the same`,
    );
  }
  const scale = measure === 'mean-difference' ? comparedScale(arms, options.scale) : undefined;
  // Decided over all arms, so that the order of studies does not matter.
  const kind = arms.some((arm) => arm.kind === 'final') ? 'final' : arms[0]?.kind;
  const estimates: Estimate[] = [];
  const leftOut: LeftOut[] = [];
  for (const study of new Set(arms.map((arm) => arm.study))) {
    const own = arms.filter((arm) => arm.study === study);
    const treated = own.filter((arm) => arm.site === options.treated);
    const comparator = own.filter((arm) => arm.site === options.comparator);
    const [first] = treated;
    // A study without both sites is no part of the question.
    if (first === undefined || comparator.length === 0) continue;
    const both = [...treated, ...comparator];
    for (const arm of both) requireGroup(`${arm.study} ${arm.arm}`, arm);
    const rows = both.flatMap((arm) => arm.rows);
    const reason = whyNot(both, measure, scale, kind);
    if (reason !== undefined) {
      leftOut.push({ study, label: first.label, reason, rows });
      continue;
    }
    const turned = measure === 'standardised-mean-difference' && first.better === 'lower' ? -1 : 1;
    const pair: TwoMeans = {
      study,
      label: first.label,
      treated: together(treated, turned),
      comparator: together(comparator, turned),
      rows,
    };
    const result = compare(pair, measure, options.variance);
    if (isEstimate(result)) estimates.push(result);
    else leftOut.push(result);
  }
  return { estimates, leftOut };
}

/** The scale asked for, or the only one there is. */
function comparedScale(arms: readonly ScoreArm[], wanted: string | undefined): string | undefined {
  if (wanted !== undefined) return wanted;
  const scales = [...new Set(arms.map((arm) => arm.scale))];
  if (scales.length > 1) {
    throw new RangeError(
      `scale must be one of ${scales.join(', ')}, since the arms are on several; received nothing`,
    );
  }
  return scales[0];
}

function whyNot(
  both: readonly ScoreArm[],
  measure: ScoreMeasure,
  scale: string | undefined,
  kind: string | undefined,
): string | undefined {
  const [first] = both;
  if (first === undefined) return undefined;
  const scales = [...new Set(both.map((arm) => arm.scale))];
  if (scales.length > 1) return `The arms are on different scales (${scales.join(', ')}).`;
  if (new Set(both.map((arm) => arm.kind)).size > 1)
    return 'One arm gives final scores and the other changes.';
  if (scale !== undefined && first.scale !== scale) {
    return `${first.scaleName} is another scale than the one compared (${scale}).`;
  }
  if (both.some((arm) => arm.standardDeviation === 0))
    return 'A standard deviation is 0, so the scores cannot be weighed.';
  if (measure === 'standardised-mean-difference' && kind !== undefined && first.kind !== kind) {
    return `Standardised differences of ${first.kind} scores are not pooled with those of ${kind} scores: their spreads differ in kind.`;
  }
  if (measure !== 'log-ratio-of-means') return undefined;
  if (first.kind === 'change') return 'A ratio of changes means nothing, since a change can be 0 or below.';
  return first.zeroIsNone
    ? undefined
    : `0 on ${first.scaleName} does not mean none of it, so a ratio means nothing.`;
}

function together(arms: readonly ScoreArm[], sign: number): TwoMeans['treated'] {
  const [only] = arms;
  const group = arms.length === 1 && only !== undefined ? only : combineGroups(arms);
  return { mean: sign * group.mean, standardDeviation: group.standardDeviation, total: group.total };
}

function compare(
  pair: TwoMeans,
  measure: ScoreMeasure,
  variance: ScoreContrastOptions['variance'],
): Estimate | LeftOut {
  if (measure === 'mean-difference')
    return meanDifference(pair, formulaOf(variance, meanDifferenceVariances));
  if (measure === 'log-ratio-of-means') return ratioOfMeans(pair);
  return standardisedMeanDifference(pair, formulaOf(variance, standardisedVariances));
}

/** The formula as an option of the measure it belongs to. */
function formulaOf<T extends string>(
  variance: ScoreContrastOptions['variance'],
  allowed: readonly T[],
): { readonly variance?: T } {
  const formula = allowed.find((each) => each === variance);
  return formula === undefined ? {} : { variance: formula };
}
