import type { ScoreCaution } from './scoreCaution.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import { requireFinite, requireNotNegative, requirePositive, requireResult } from './scoreInputs.ts';

/** One group before and after, and how strongly the two go together. */
export interface BaselineAndFinal {
  readonly baselineMean: number;
  readonly baselineDeviation: number;
  readonly finalMean: number;
  readonly finalDeviation: number;
  /** Correlation of baseline and final within people, -1 to 1: always stated, never assumed. */
  readonly correlation: number;
}

/**
 * What are mean and standard deviation of the change from baseline?
 *
 * Mean: final - baseline. Standard deviation: √(s_b² + s_f² - 2 r s_b s_f). In the units of the score.
 * The correlation is rarely printed, so vary it and see whether the answer holds.
 *
 * @throws RangeError for a correlation outside -1 to 1 or a standard deviation below 0.
 * Source: Cochrane Handbook version 6, section 6.5.2.8.
 * @example
 * changeFromBaseline({ baselineMean: 15.2, baselineDeviation: 6.4, finalMean: 16.2, finalDeviation: 7.1, correlation: 0.78 })
 */
export function changeFromBaseline(input: BaselineAndFinal): ScoreConversion & { readonly mean: number } {
  requireFinite('baselineMean', input.baselineMean);
  requireFinite('finalMean', input.finalMean);
  requireNotNegative('baselineDeviation', input.baselineDeviation);
  requireNotNegative('finalDeviation', input.finalDeviation);
  const { baselineDeviation: before, finalDeviation: after, correlation } = input;
  if (typeof correlation !== 'number' || !(correlation >= -1 && correlation <= 1)) {
    throw new RangeError(`correlation must lie from -1 to 1; received ${correlation}`);
  }
  // The same as s_b² + s_f² - 2 r s_b s_f, without cancelling when r is near 1.
  const variance = (after - before) ** 2 + 2 * (1 - correlation) * before * after;
  const standardDeviation = requireResult('standardDeviation', Math.sqrt(variance));
  const cautions: ScoreCaution[] = [
    {
      code: 'assumed-correlation',
      message: `The spread of the change rests on a correlation of ${correlation} between baseline and final scores; try others.`,
    },
  ];
  if (correlation < 0.5) {
    cautions.push({
      code: 'low-correlation',
      message: 'With a correlation below 0.5 the final scores alone are the more precise measure.',
    });
  }
  if (standardDeviation === 0) {
    cautions.push({ code: 'no-spread', message: 'The change has no spread, so it cannot be weighted.' });
  }
  return {
    kind: 'score-conversion',
    mean: requireResult('mean', input.finalMean - input.baselineMean),
    standardDeviation,
    method: `change from baseline with a stated correlation of ${correlation}`,
    source: 'Cochrane Handbook version 6, section 6.5.2.8',
    cautions,
    inputs: { ...input },
  };
}

/**
 * How strongly do baseline and final scores go together, given all three standard deviations?
 *
 * r = (s_b² + s_f² - s_c²) / (2 s_b s_f), s_c the standard deviation of the change.
 *
 * @throws RangeError when the three cannot belong together (r outside -1 to 1) or one is not above 0.
 * Source: Cochrane Handbook version 6, section 6.5.2.8.
 * @example
 * correlationFromDeviations({ baselineDeviation: 6.4, finalDeviation: 7.1, changeDeviation: 4.5 }) // 0.78
 */
export function correlationFromDeviations(input: {
  readonly baselineDeviation: number;
  readonly finalDeviation: number;
  readonly changeDeviation: number;
}): number {
  requirePositive('baselineDeviation', input.baselineDeviation);
  requirePositive('finalDeviation', input.finalDeviation);
  requireNotNegative('changeDeviation', input.changeDeviation);
  const { baselineDeviation: before, finalDeviation: after, changeDeviation: change } = input;
  const lowest = Math.abs(after - before);
  // A hair of room, so that a correlation of 1 or -1 can be recovered from rounded arithmetic.
  const hair = 1e-12 * (before + after);
  if (change < lowest - hair || change > before + after + hair) {
    throw new RangeError(
      `changeDeviation must lie from ${lowest} to ${before + after}, what the other two allow; received ${change}`,
    );
  }
  const correlation = 1 - ((change - lowest) * (change + lowest)) / (2 * before * after);
  return Math.max(-1, Math.min(1, correlation));
}
