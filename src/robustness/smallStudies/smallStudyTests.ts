import { rateScales } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { beggMazumdarTest, type RankCorrelation } from './beggMazumdarTest.ts';
import { eggerTest, harbordTest, petersTest, type RegressionTest, rateSizeTest } from './regressionTests.ts';
import type { SmallStudyOptions, SmallStudyRefusal } from './smallStudyAnswer.ts';

export type SmallStudyTest = RegressionTest | RankCorrelation | SmallStudyRefusal;

/**
 * Do small studies tell another story, by every test fit for this kind of result?
 *
 * Rates: the sample-size test. Odds ratios with counts: score-based, sample-size-based, and the two classical tests
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
