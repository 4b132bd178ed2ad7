// Every number of a pool against formulas written out at 50 digits (reference/makePoolReference.py, mpmath).
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Interval } from '../../src/numerics/interval.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { agree, estimatesOf } from './agree.ts';

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
    const number = (actual: number | undefined, key: string, tolerance: number, scale = 0) => {
      agree(actual, expected[key] as number, tolerance, scale);
    };
    const interval = (actual: Interval | undefined, key: string, tolerance: number, scale = 0) => {
      const limits = expected[key] as [number, number] | null;
      if (limits === null) {
        expect(actual).toBeUndefined();
        return;
      }
      agree(actual?.lower, limits[0], tolerance, scale);
      agree(actual?.upper, limits[1], tolerance, scale);
    };
    number(common.mean?.value, 'commonMean', 1e-13, size);
    number(common.mean?.standardError, 'commonStandardError', 1e-13);
    interval(common.mean?.interval, 'commonInterval', 1e-12, size);
    number(wald.heterogeneity?.q, 'q', 1e-12);
    number(wald.heterogeneity?.pValue, 'pValue', 1e-10);
    number(wald.heterogeneity?.betweenStudyVariance, 'betweenStudyVariance', 1e-12);
    number(wald.mean?.value, 'randomMean', 1e-13, size);
    number(wald.mean?.standardError, 'randomStandardError', 1e-12);
    interval(wald.mean?.interval, 'waldInterval', 1e-12, size);
    number(hartungKnapp.mean?.standardError, 'hartungKnappStandardError', 1e-12);
    interval(hartungKnapp.mean?.interval, 'hartungKnappInterval', 1e-12, size);
    interval(wald.prediction, 'prediction', 1e-11, size);
    number(wald.heterogeneity?.iSquared, 'iSquared', 1e-12);
    interval(wald.heterogeneity?.iSquaredInterval, 'iSquaredInterval', 1e-11);
    interval(wald.heterogeneity?.hSquaredInterval, 'hSquaredInterval', 1e-11);
    interval(wald.heterogeneity?.betweenStudyVarianceInterval, 'betweenStudyVarianceInterval', 1e-10);
  });
});
