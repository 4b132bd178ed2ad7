import { rateScales } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import {
  answerBase,
  refusal,
  refuse,
  type SmallStudyBase,
  type SmallStudyOptions,
  type SmallStudyRefusal,
  studiesAmong,
} from './smallStudyAnswer.ts';
import { type Coefficient, type WeightedLine, weightedLine } from './weightedLine.ts';

/** The precision-effect estimate switches to the squared form when its own test of no effect is below this, two-sided. */
export const precisionEffectSwitch = 0.1;

export interface PrecisionEffect extends SmallStudyBase {
  readonly kind: 'precision-effect';
  /** Values on the standard error: its slope is the small-study test, its intercept the effect at perfect precision. */
  readonly linear: WeightedLine;
  /** Values on the sampling variance. */
  readonly squared: WeightedLine;
  /** Which of the two the conditional estimator takes, and its intercept. */
  readonly chosen: 'linear' | 'squared';
  readonly conditional: Coefficient;
}

/**
 * What effect would a study of perfect precision show, if the lean of the funnel goes on to its tip?
 *
 * `y = a + b se` (precision-effect test) and `y = a + b se²` (with standard error), weights `1 / v`, dispersion
 * estimated. The conditional estimator takes the second when the first's intercept differs from zero at 10 %
 * two-sided, else the first. It means something for comparisons only, where zero is no effect.
 *
 * @throws RangeError as `poolEstimates` for impossible estimates, and for an unknown option
 *
 * Source: Stanley TD, Doucouliagos H, Res Synth Methods 2014;5:60-78, sections 2 and 4.
 *
 * @example
 * precisionEffect(oddsRatios)
 */
export function precisionEffect(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): PrecisionEffect | SmallStudyRefusal {
  checkOptionNames(options, ['force', 'level']);
  const level = checkLevel(options.level ?? 0.95);
  const method = 'precision-effect tests with the conditional estimator';
  if ((rateScales as readonly string[]).includes(estimates[0]?.scale ?? '')) {
    return refusal(method, studiesAmong(estimates), 'on a rate scale zero is not "no effect"');
  }
  const refused = refuse(method, estimates, options);
  if (refused) return refused;
  const values = estimates.map(({ value }) => value);
  const weights = estimates.map(({ variance }) => 1 / variance);
  const line = (x: readonly number[]) => weightedLine(x, values, weights, level);
  const linear = line(estimates.map(({ variance }) => Math.sqrt(variance)));
  const squared = line(estimates.map(({ variance }) => variance));
  if (!linear || !squared) {
    return refusal(method, studiesAmong(estimates), 'all studies have the same precision');
  }
  // Points that lie on a line exactly have no test: an intercept that is not zero is then beyond doubt.
  const p = linear.intercept.pValue ?? (linear.intercept.value === 0 ? 1 : 0);
  const chosen = p < precisionEffectSwitch ? 'squared' : 'linear';
  return {
    kind: 'precision-effect',
    ...answerBase(method, 'Stanley TD, Doucouliagos H. Res Synth Methods 2014;5:60-78', estimates, [
      'Where studies differ for other reasons than precision, the corrected value can be further off than the plain one.',
    ]),
    linear,
    squared,
    chosen,
    conditional: (chosen === 'squared' ? squared : linear).intercept,
  };
}
