import { describe, expect, it } from 'vitest';
import { betaQuantile, normalQuantile } from '../../../src/numerics/distributions.ts';
import { posteriorBinomialNormal } from '../../../src/pooling/bayesian/posteriorBinomialNormal.ts';
import { posteriorNormalNormal } from '../../../src/pooling/bayesian/posteriorNormalNormal.ts';
import { quantileOf } from '../../../src/pooling/bayesian/tabulatedDensity.ts';
import { expectClose } from '../../helpers/close.ts';
import { binomialPosteriorOf, countsOf, estimatesOf, normalPosterior, notFinite } from './shapes.ts';

const flat = { kind: 'flat' } as const;
const z = normalQuantile(0.975);

describe('a standard deviation known to be next to nothing', () => {
  const prior = { kind: 'half-normal', scale: 1e-7 } as const;
  const values = [1, 2.5, 1.2, 3.1];
  const variances = [0.1, 0.4, 0.2, 0.8];

  it('is the common-effect pool of estimates', () => {
    const precision = variances.reduce((sum, variance) => sum + 1 / variance, 0);
    const common = values.reduce((sum, value, index) => sum + value / variances[index]!, 0) / precision;
    const { mean, prediction, studyEffects } = normalPosterior(values, variances, { deviationPrior: prior });
    for (const part of [mean, prediction, ...studyEffects]) {
      expectClose(part.median, common, 'iterative');
      expectClose(part.interval.upper, common + z / Math.sqrt(precision), 'iterative');
    }
  });

  it('is the beta posterior of the combined count, where the prior of the logit is flat', () => {
    // A flat prior on the logit is Beta(0, 0), so that the posterior is Beta(events, non-events).
    const { rate, studyRates } = binomialPosteriorOf([1, 0, 4], [30, 12, 60], {
      deviationPrior: prior,
      meanPrior: flat,
    });
    for (const part of [rate, ...studyRates.map((study) => study.rate)]) {
      expectClose(part.mean, 5 / 102, 'otherLibrary');
      expectClose(part.median, betaQuantile(0.5, 5, 97), 'otherLibrary');
      expectClose(part.interval.lower, betaQuantile(0.025, 5, 97), 'otherLibrary');
      expectClose(part.interval.upper, betaQuantile(0.975, 5, 97), 'otherLibrary');
    }
  });
});

describe('a standard deviation known to be huge', () => {
  const prior = { kind: 'log-normal', logMean: 14, logDeviation: 0.1 } as const;

  it('leaves every study to itself', () => {
    const values = [1, 2.5, 1.2];
    const variances = [0.1, 0.4, 0.2];
    const { mean, studyEffects } = normalPosterior(values, variances, { deviationPrior: prior });
    // The mean is then the plain average of the values.
    expectClose(mean.median, (1 + 2.5 + 1.2) / 3, 'otherLibrary');
    studyEffects.forEach((effect, index) => {
      expectClose(effect.median, values[index]!, 'otherLibrary');
      expectClose(effect.standardDeviation, Math.sqrt(variances[index]!), 'otherLibrary');
    });
  });

  it('leaves every rate to its own count under a flat logit', () => {
    const { studyRates } = binomialPosteriorOf([2, 9, 30], [30, 40, 61], {
      deviationPrior: prior,
      meanPrior: flat,
    });
    for (const { events, total, rate } of studyRates) {
      expectClose(rate.mean, events / total, 'otherLibrary');
      expectClose(rate.interval.upper, betaQuantile(0.975, events, total - events), 'otherLibrary');
    }
  });
});

describe('one and two studies', () => {
  it('one estimate under a flat mean leaves the deviation at its prior', () => {
    const posterior = normalPosterior([0.4], [0.3], { deviationPrior: { kind: 'half-normal', scale: 2 } });
    for (const p of [0.1, 0.5, 0.9]) {
      const prior = 2 * normalQuantile(0.5 + p / 2);
      expectClose(quantileOf(posterior.betweenStudyDeviation.density, p), prior, 'iterative');
    }
    expectClose(posterior.studyEffects[0]!.standardDeviation, Math.sqrt(0.3), 'iterative');
    expect(posterior.cautions.map((caution) => caution.code)).toEqual(['one-study']);
  });

  it('two estimates are told to rest on the prior, and heavy tails to have no moments', () => {
    const posterior = normalPosterior([0.4, 1], [0.3, 0.2], {
      deviationPrior: { kind: 'half-cauchy', scale: 1 },
    });
    expect(posterior.mean.standardDeviation).toBeUndefined();
    expect(posterior.cautions.map((caution) => caution.code)).toEqual([
      'prior-decides-spread',
      'posterior-moment-undefined',
    ]);
  });

  it('improper priors with too few studies are refused with the reason', () => {
    for (const values of [[0.4], [0.4, 1]]) {
      const posterior = posteriorNormalNormal(
        estimatesOf(
          values,
          values.map(() => 0.2),
        ),
        { deviationPrior: flat },
      );
      expect(posterior).toMatchObject({ status: 'refused', code: 'posterior-not-proper' });
    }
    expect(normalPosterior([0.4, 1, 2], [0.2, 0.2, 0.2], { deviationPrior: flat }).status).toBe('computed');
  });
});

describe('no events, all events', () => {
  it('no events under a flat mean are refused, under a proper one bounded', () => {
    const refused = posteriorBinomialNormal(countsOf([0, 0], [30, 50]), { meanPrior: flat });
    expect(refused).toMatchObject({ status: 'refused', code: 'mean-not-identified' });
    expect(refused.cautions.map((caution) => caution.code)).toEqual(['no-events']);

    const posterior = binomialPosteriorOf([0, 0], [30, 50]);
    expect(posterior.cautions[0]!.code).toBe('prior-decides-mean');
    expect(posterior.rate.interval.lower).toBeGreaterThan(0);
    // More shoulders without an event push the limit down.
    const more = binomialPosteriorOf([0, 0], [300, 500]);
    expect(more.rate.interval.upper).toBeLessThan(posterior.rate.interval.upper);
  });

  it('the default prior of the mean stays close to the exact limit of a single large series without events', () => {
    // With next to no spread the model is one binomial. The exact one-sided limit is 1 - 0.025^(1/n); the
    // default prior must neither undercut it by much nor swamp it (see weaklyInformativeLogitMean).
    for (const total of [50, 200, 1000]) {
      const exact = 1 - 0.025 ** (1 / total);
      const { rate } = binomialPosteriorOf([0], [total], {
        deviationPrior: { kind: 'half-normal', scale: 1e-6 },
      });
      expect(rate.interval.upper / exact).toBeGreaterThan(0.6);
      expect(rate.interval.upper / exact).toBeLessThan(1.2);
    }
  });

  it('all events mirror it', () => {
    expect(posteriorBinomialNormal(countsOf([30, 50], [30, 50]), { meanPrior: flat })).toMatchObject({
      status: 'refused',
      code: 'mean-not-identified',
    });
    expect(binomialPosteriorOf([30, 50], [30, 50]).rate.interval.upper).toBeLessThan(1);
  });

  it('nothing to pool is a refusal', () => {
    expect(posteriorBinomialNormal([])).toMatchObject({ status: 'refused', code: 'nothing-to-pool' });
    expect(posteriorNormalNormal([])).toMatchObject({ status: 'refused', code: 'nothing-to-pool' });
  });
});

describe('awkward data', () => {
  const halfCauchy = { deviationPrior: { kind: 'half-cauchy', scale: 1 } } as const;

  it.each([
    ['variances from 1e-8 to 1e4', [0, 1, 2, 3], [1e-8, 1, 1e4, 1e-4]],
    ['nearly all variation beyond chance', [-5, 0, 5, 9, -8], [1e-3, 1e-3, 1e-3, 1e-3, 1e-3]],
    ['identical studies', [1, 1, 1, 1], [0.1, 0.1, 0.1, 0.1]],
    ['one study a thousand times more precise', [0.2, 1.4, 0.9], [1e-4, 0.1, 0.1]],
  ])('normal model: %s', (_, values, variances) => {
    const posterior = normalPosterior(values, variances, halfCauchy);
    expect(notFinite(posterior)).toEqual([]);
    expect(posterior.numerics.agreed).toBe(true);
    const lowest = Math.min(...values);
    const highest = Math.max(...values);
    for (const part of [posterior.mean, ...posterior.studyEffects]) {
      expect(part.median).toBeGreaterThanOrEqual(lowest - 1e-9);
      expect(part.median).toBeLessThanOrEqual(highest + 1e-9);
    }
  });

  it('values a billion from zero keep their digits', () => {
    const near = normalPosterior([0, 1, 2.5], [0.1, 0.2, 0.1], halfCauchy);
    const far = normalPosterior([1e9, 1e9 + 1, 1e9 + 2.5], [0.1, 0.2, 0.1], halfCauchy);
    expect(Math.abs(far.mean.median - 1e9 - near.mean.median)).toBeLessThan(1e-6);
    expectClose(far.betweenStudyDeviation.median, near.betweenStudyDeviation.median, 'iterative');
  });

  it.each([
    ['one study a thousand times larger', [1, 0, 2, 3000], [30, 20, 25, 60_000]],
    ['sixty million shoulders in one', [1, 0, 2, 3_000_000], [30, 20, 25, 60_000_000]],
    ['rates from 0.01 % to 99.99 %', [1, 9000, 100, 5000, 9999], [10_000, 10_000, 10_000, 10_000, 10_000]],
    ['single shoulders', [1, 0, 0, 1, 0], [1, 1, 1, 1, 1]],
    ['no events beside all events', [0, 20], [30, 20]],
  ])('binomial model: %s', (_, events, totals) => {
    for (const deviationPrior of [{ kind: 'half-normal', scale: 1 }, halfCauchy.deviationPrior] as const) {
      const posterior = binomialPosteriorOf(events, totals, { deviationPrior });
      expect(notFinite(posterior)).toEqual([]);
      expect(posterior.numerics.agreed).toBe(true);
    }
  });

  it('a hundred times the shoulders at the same rates leave the giant at its own rate', () => {
    const { studyRates } = binomialPosteriorOf([1, 0, 2, 3000], [30, 20, 25, 60_000]);
    const giant = studyRates[3]!.rate;
    expectClose(giant.median, betaQuantile(0.5, 3000, 57_000), 'otherLibrary', { ofSize: 50 });
    // And shrink a small study towards the rest: its own rate is 8 %, the median hospital's below that.
    expect(studyRates[2]!.rate.median).toBeLessThan(2 / 25);
    expect(studyRates[1]!.rate.median).toBeGreaterThan(0);
  });

  it('a prior that cuts the data off is named', () => {
    const posterior = normalPosterior([-5, 0, 5, 9, -8], [1e-3, 1e-3, 1e-3, 1e-3, 1e-3], {
      deviationPrior: { kind: 'uniform', upper: 2 },
    });
    expect(posterior.cautions.map((caution) => caution.code)).toEqual(['posterior-at-prior-bound']);
    expect(posterior.betweenStudyDeviation.interval.upper).toBeLessThan(2);
  });
});
