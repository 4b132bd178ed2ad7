import { rateScales } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { estimateRates } from '../../effects/estimateRates.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { mergeArms } from '../../extraction/mergeArms.ts';
import { beggMazumdarTest, type RankCorrelation } from './beggMazumdarTest.ts';
import { eggerTest, harbordTest, petersTest, type RegressionTest, rateSizeTest } from './regressionTests.ts';
import type { SmallStudyOptions, SmallStudyRefusal } from './smallStudyAnswer.ts';

export type SmallStudyTest = RegressionTest | RankCorrelation | SmallStudyRefusal;

/**
 * Do small studies tell another story, by every test fit for this kind of result?
 *
 * Rates: the sample-size test on the arcsine scale (see {@link smallStudyTestsOfRates}, which takes the arms). Odds ratios with counts: score-based, sample-size-based, and the two classical tests
 * beside them. Everything else: the two classical tests. A test that cannot be done is there as a refusal.
 *
 * @throws RangeError as the tests
 *
 * Source: Sterne JAC, Sutton AJ, Ioannidis JPA et al., BMJ 2011;343:d4002 (which test for which effect).
 *
 * @example
 * smallStudyTests(estimates).map((test) => test.method)
 */
export function smallStudyTests(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): readonly SmallStudyTest[] {
  const scale = estimates[0]?.scale;
  if ((rateScales as readonly (string | undefined)[]).includes(scale))
    return [rateSizeTest(estimates, options)];
  const classical = [eggerTest(estimates, options), beggMazumdarTest(estimates, options)];
  if (scale !== 'log-odds-ratio' || !estimates.every(({ counts }) => counts)) return classical;
  return [harbordTest(estimates, options), petersTest(estimates, options), ...classical];
}

/**
 * Do small series tell another story than large ones?
 *
 * The sample-size test of every arm's rate on the arcsine scale with nothing added, whatever scale the rates are pooled on
 * and whatever is done there with arms without events: one question has one answer.
 *
 * @param arms events among shoulders; arms of one study at one site are counted together, as in the pool
 * @throws RangeError for an impossible count or an unknown option
 *
 * Sources: as for {@link rateSizeTest}.
 *
 * @example
 * smallStudyTestsOfRates(selection.arms)[0] // { kind: 'regression-test', pValue: 0.50, … } or a refusal with its reason
 */
export function smallStudyTestsOfRates(
  arms: readonly ArmEvents[],
  options: SmallStudyOptions = {},
): readonly (RegressionTest | SmallStudyRefusal)[] {
  return [rateSizeTest(estimateRates(mergeArms(arms), { scale: 'arcsine' }).estimates, options)];
}
