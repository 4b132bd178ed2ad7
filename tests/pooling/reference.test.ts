// Every number of a pool against formulas written out at 50 digits (reference/makePoolReference.py, mpmath).
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Interval } from '../../src/numerics/interval.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import type { Tier } from '../helpers/close.ts';
import { estimatesOf, expectNear } from './estimates.ts';

interface Expected {
  readonly [key: string]: number | [number, number] | null;
}
const reference = JSON.parse(
  readFileSync(new URL('./reference/poolReference.json', import.meta.url), 'utf8'),
) as { made: string; sets: { id: string; values: number[]; variances: number[]; expected: Expected }[] };

describe(`pools against ${reference.made}`, () => {
  test.each(reference.sets)('$id', ({ values, variances, expected }) => {
    const estimates = estimatesOf(values, variances);
    const common = poolEstimates(estimates, { model: 'common-effect' });
    const wald = poolEstimates(estimates);
    const hartungKnapp = poolEstimates(estimates, { interval: 'hartung-knapp' });
    // A mean near zero, or one beside a large offset, is known to the rounding of the values themselves.
    const size = Math.max(...values.map(Math.abs));
    const number = (actual: number | undefined, key: string, tier: Tier, scale = 0) => {
      expectNear(actual, expected[key] as number, tier, scale);
    };
    const interval = (actual: Interval | undefined, key: string, tier: Tier, scale = 0) => {
      const limits = expected[key] as [number, number] | null;
      if (limits === null) {
        expect(actual).toBeUndefined();
        return;
      }
      expectNear(actual?.lower, limits[0], tier, scale);
      expectNear(actual?.upper, limits[1], tier, scale);
    };
    number(common.mean?.value, 'commonMean', 'identity', size);
    number(common.mean?.standardError, 'commonStandardError', 'identity');
    interval(common.mean?.interval, 'commonInterval', 'specialFunction', size);
    number(wald.heterogeneity?.q, 'q', 'specialFunction');
    number(wald.heterogeneity?.pValue, 'pValue', 'specialFunctionTail');
    number(wald.heterogeneity?.betweenStudyVariance, 'betweenStudyVariance', 'specialFunction');
    number(wald.mean?.value, 'randomMean', 'identity', size);
    number(wald.mean?.standardError, 'randomStandardError', 'specialFunction');
    interval(wald.mean?.interval, 'waldInterval', 'specialFunction', size);
    number(hartungKnapp.mean?.standardError, 'hartungKnappStandardError', 'specialFunction');
    interval(hartungKnapp.mean?.interval, 'hartungKnappInterval', 'specialFunction', size);
    interval(wald.prediction, 'prediction', 'specialFunctionTail', size);
    number(wald.heterogeneity?.iSquared, 'iSquared', 'specialFunction');
    interval(wald.heterogeneity?.iSquaredInterval, 'iSquaredInterval', 'specialFunctionTail');
    interval(wald.heterogeneity?.hSquaredInterval, 'hSquaredInterval', 'specialFunctionTail');
    interval(
      wald.heterogeneity?.betweenStudyVarianceInterval,
      'betweenStudyVarianceInterval',
      'specialFunctionTail',
    );
  });
});
