import type { ScoreCaution } from './scoreCaution.ts';

/** The ends of a scale. */
export interface ScoreRange {
  readonly minimum: number;
  readonly maximum: number;
}

/**
 * Do scores pile up at an end of their scale, so that mean and standard deviation describe them badly?
 *
 * A mean closer to an end of the scale than two standard deviations suggests skewed scores, closer
 * than one shows them (normal scores would run far over the end). Good results after shoulder surgery
 * do exactly this: function scores above 90 of 100, pain near 0. A conversion from a median is then
 * least to be trusted, and the caution says so.
 *
 * Source: Altman DG, Bland JM, BMJ 1996;313:1200; Cochrane Handbook version 6, section 10.5.3.
 * @returns A caution, or undefined when there is no reason for one.
 * @example
 * scaleEndCaution({ mean: 93, standardDeviation: 9 }, { minimum: 0, maximum: 100 }, { converted: true })
 */
export function scaleEndCaution(
  group: { readonly mean: number; readonly standardDeviation: number },
  range: ScoreRange,
  options: { readonly converted: boolean },
): ScoreCaution | undefined {
  const toTop = range.maximum - group.mean;
  const toBottom = group.mean - range.minimum;
  const [end, distance] = toTop < toBottom ? (['top', toTop] as const) : (['bottom', toBottom] as const);
  if (!(distance < 2 * group.standardDeviation)) return undefined;
  const bound = end === 'top' ? range.maximum : range.minimum;
  const shows = distance < group.standardDeviation;
  const strength = shows ? 'shows' : 'suggests';
  const within = shows ? 'one standard deviation' : 'two standard deviations';
  const suspect = options.converted
    ? ' The mean and standard deviation were converted from other figures as if scores were symmetric, which is suspect exactly here.'
    : '';
  return {
    code: shows ? 'at-the-end-of-the-scale' : 'near-the-end-of-the-scale',
    message: `The mean lies within ${within} of the ${end} of the scale (${bound}), which ${strength} skewed scores.${suspect}`,
  };
}
