import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import { rateScales } from '../../src/effects/analysisScale.ts';
import { estimateRates } from '../../src/effects/estimateRates.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { pooledSites } from '../../src/extraction/site.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { protocolOptions } from '../../src/pooling/protocolOptions.ts';
import { whatWouldChange } from '../../src/robustness/influence/whatWouldChange.ts';
import { rateSizeTest } from '../../src/robustness/smallStudies/regressionTests.ts';
import { smallStudyTests } from '../../src/robustness/smallStudies/smallStudyTests.ts';
import { expectClose } from '../helpers/close.ts';

const review = readReview(demoFiles()).review!;
const outcomes = review.protocol.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id);

// Rücker G, Schwarzer G, Carpenter J, Stat Med 2008;27:746-763: on the arcsine scale the variance depends on size alone, and
// nothing is added to arms without events. A rate has one test of small studies, wherever it is told.
describe('small studies of a rate', () => {
  const cases = outcomes.flatMap((outcome) =>
    pooledSites.flatMap((site) =>
      (['protocol', 'leave-out', 'half', 'raw'] as const).map((pooled) => [outcome, site, pooled] as const),
    ),
  );
  const told: string[] = [];

  it.each(cases)('%s at %s, pooled by %s: its certainty and its page tell one p', (outcome, site, pooled) => {
    const selection = selectEvents(review, outcome);
    const pooling = {
      ...protocolOptions(review.protocol, selection.outcome),
      ...(pooled === 'leave-out' ? { zeroEvents: 'leave-out' as const } : {}),
      ...(pooled === 'half' ? { zeroEvents: { addToEachCell: 0.5 } } : {}),
      ...(pooled === 'raw' ? { scale: 'raw' as const } : {}),
    };
    const arms = selection.arms.filter((arm) => arm.site === site);
    const pool = poolRates(arms, pooling);
    const expected = rateSizeTest(estimateRates(pool.arms, { scale: 'arcsine' }).estimates);
    const rating = certaintyOfReview(
      { ...review, certainty: [] },
      { kind: 'rate', outcome, site },
      { pooling },
    );
    const evidence = rating.domains.find(({ domain }) => domain === 'publication bias')!.evidence.join(' ');
    const [, printed] = /p (below 0\.001|[\d.e-]+),/.exec(evidence) ?? [];
    if (expected.kind === 'small-study-refusal') expect(printed).toBeUndefined();
    else {
      const p = expected.pValue!;
      expect(printed, evidence).toBe(p < 0.001 ? 'below 0.001' : p.toPrecision(2));
      told.push(printed!);
    }
    const page = whatWouldChange(pool)?.sizeTest;
    if (page?.kind === 'regression-test' && expected.kind === 'regression-test')
      expectClose(page.pValue, expected.pValue!, 'identity');
  });

  it('is told of some', () => {
    expect(told.length).toBeGreaterThan(3);
  });
});

describe('the test of rates', () => {
  // Arms of one rate, four of them without an event: a half added to these makes small arms look worse.
  const arms = [0, 0, 0, 0, 1, 1, 2, 3, 4, 6, 8, 10].map((events, i) => ({
    study: `s${i}`,
    label: `Place ${i}`,
    arm: 'a',
    events,
    total: [12, 15, 18, 20, 40, 60, 90, 120, 180, 250, 330, 400][i]!,
  }));

  it.each(rateScales)(
    'gives one answer from estimates on the %s scale, with a half added or not',
    (scale) => {
      const [expected] = smallStudyTests(estimateRates(arms, { scale: 'arcsine' }).estimates);
      if (expected?.kind !== 'regression-test') throw new Error('not answered');
      const { estimates } = estimateRates(arms, { scale, zeroEvents: { addToEachCell: 0.5 } });
      const [found] = smallStudyTests(estimates);
      if (found?.kind !== 'regression-test') throw new Error('not answered');
      expectClose(found.pValue, expected.pValue!, 'identity');
      // Base R 4: x <- c(0,0,0,0,1,1,2,3,4,6,8,10); n <- c(12,15,18,20,40,60,90,120,180,250,330,400);
      // summary(lm(asin(sqrt(x / n)) ~ I(1 / n), weights = n))$coefficients[2, 4]
      expectClose(found.pValue, 1.51119844927193e-5, 'specialFunctionTail');
    },
  );
});
