// A protocol may name exactly the options the later stages know: extraction may not import them, so this test holds
// the two lists together.
import { expect, test } from 'vitest';
import { pairMeasures } from '../../src/comparison/pairs/comparePairs.ts';
import { rateScales } from '../../src/effects/analysisScale.ts';
import { rateIntervalMethods } from '../../src/effects/rateInterval.ts';
import * as protocol from '../../src/extraction/protocol.ts';
import * as pooling from '../../src/pooling/poolOptions.ts';
import { intervalGoesWith } from '../../src/pooling/resolvePoolOptions.ts';

test.each([
  ['models', protocol.protocolModels, pooling.poolingModels],
  ['variance estimators', protocol.protocolVarianceEstimators, pooling.varianceEstimators],
  ['intervals of the mean', protocol.protocolMeanIntervals, pooling.meanIntervals],
  ['intervals of the variance', protocol.protocolVarianceIntervals, pooling.varianceIntervals],
  ['prediction intervals', protocol.protocolPredictionIntervals, pooling.predictionIntervals],
  ['scales of rates', protocol.protocolRateScales, rateScales],
  ['measures of a comparison', protocol.protocolMeasures, pairMeasures],
  ['study intervals', protocol.protocolStudyIntervals, rateIntervalMethods],
])('%s', (_name, inProtocol, known) => {
  expect([...inProtocol].sort()).toEqual([...known].sort());
});

test('the protocol refuses the combinations that pooling refuses, and no others', () => {
  const { analysis } = protocol.protocolSchema.shape;
  for (const model of pooling.poolingModels) {
    for (const betweenStudyVariance of pooling.varianceEstimators) {
      for (const interval of pooling.meanIntervals) {
        const { success } = analysis.safeParse({
          model,
          betweenStudyVariance,
          interval,
          prediction: 't-k-minus-2',
          rateScale: 'logit',
          zeroEvents: 'leave-out',
          studyInterval: 'wilson',
          level: 0.95,
        });
        expect(success, `${model}, ${betweenStudyVariance}, ${interval}`).toBe(
          intervalGoesWith(interval, model, betweenStudyVariance),
        );
      }
    }
  }
});
