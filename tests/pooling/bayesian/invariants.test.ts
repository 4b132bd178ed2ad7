import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DeviationPrior } from '../../../src/pooling/bayesian/deviationPrior.ts';
import { deviationPriorKinds } from '../../../src/pooling/bayesian/deviationPrior.ts';
import { posteriorBinomialNormal } from '../../../src/pooling/bayesian/posteriorBinomialNormal.ts';
import { posteriorNormalNormal } from '../../../src/pooling/bayesian/posteriorNormalNormal.ts';
import type { PosteriorNormalNormal } from '../../../src/pooling/bayesian/posteriorResult.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';
import { binomialPosteriorOf, countsOf, estimatesOf, normalPosterior, notFinite } from './shapes.ts';

/** A prior of each kind at a given scale: multiplying the scale by c is the prior of c times the deviation. */
const priorAt: Readonly<Record<DeviationPrior['kind'], (scale: number) => DeviationPrior>> = {
  'half-normal': (scale) => ({ kind: 'half-normal', scale }),
  'half-cauchy': (scale) => ({ kind: 'half-cauchy', scale }),
  uniform: (scale) => ({ kind: 'uniform', upper: 4 * scale }),
  flat: () => ({ kind: 'flat' }),
  'log-normal': (scale) => ({ kind: 'log-normal', logMean: Math.log(scale), logDeviation: 0.8 }),
  'gamma-on-precision': (scale) => ({ kind: 'gamma-on-precision', shape: 1.5, rate: scale * scale }),
};

const numbersOf = (posterior: PosteriorNormalNormal): number[] =>
  [posterior.mean, posterior.betweenStudyDeviation, posterior.prediction, ...posterior.studyEffects].flatMap(
    ({ median, interval }) => [median, interval.lower, interval.upper],
  );

const study = fc.record({
  value: fc.double({ min: 4, max: 10, noNaN: true }),
  variance: fc.double({ min: 0.01, max: 2, noNaN: true }),
});
const studies = fc.array(study, { minLength: 4, maxLength: 8 });
const run = { numRuns: runs(8), seed: 20261125 };

describe.each(deviationPriorKinds)('normal model, %s prior', (kind) => {
  // Values lie around 7, so that nothing compared is close to zero.
  const options = (scale = 0.6, centre = 7) =>
    ({
      deviationPrior: priorAt[kind](scale),
      meanPrior: { kind: 'normal', mean: centre, deviation: 4 * (scale / 0.6) },
    }) as const;

  it('moves with a shift of the values', () => {
    fc.assert(
      fc.property(studies, fc.double({ min: -50, max: 50, noNaN: true }), (rows, shift) => {
        const variances = rows.map((row) => row.variance);
        const values = rows.map((row) => row.value);
        const here = normalPosterior(values, variances, options());
        const there = normalPosterior(
          values.map((value) => value + shift),
          variances,
          options(0.6, 7 + shift),
        );
        expectAllClose(
          [there.mean, there.prediction, ...there.studyEffects].map((part) => part.interval.upper - shift),
          [here.mean, here.prediction, ...here.studyEffects].map((part) => part.interval.upper),
          'iterative',
          { ofSize: 1 + Math.abs(shift) },
        );
        expectClose(there.betweenStudyDeviation.median, here.betweenStudyDeviation.median, 'iterative');
      }),
      run,
    );
  });

  it('stretches with the scale when the priors do', () => {
    fc.assert(
      fc.property(studies, fc.constantFrom(1e-3, 0.1, 7, 1e4), (rows, factor) => {
        const here = normalPosterior(
          rows.map((row) => row.value),
          rows.map((row) => row.variance),
          options(),
        );
        const there = normalPosterior(
          rows.map((row) => factor * row.value),
          rows.map((row) => factor * factor * row.variance),
          options(0.6 * factor, 7 * factor),
        );
        expectAllClose(
          numbersOf(there).map((value) => value / factor),
          numbersOf(here),
          'iterative',
          { ofSize: 1 },
        );
      }),
      run,
    );
  });

  it('does not care for the order or the names of studies', () => {
    fc.assert(
      fc.property(studies, (rows) => {
        const estimates = estimatesOf(
          rows.map((row) => row.value),
          rows.map((row) => row.variance),
        );
        const turned = estimates
          .toReversed()
          .map((row, index) => ({ ...row, study: `x${index}`, label: `Other ${index}` }));
        const here = posteriorNormalNormal(estimates, options());
        const there = posteriorNormalNormal(turned, options());
        if (here.status === 'refused' || there.status === 'refused') throw new Error('refused');
        expectAllClose(
          numbersOf({ ...there, studyEffects: there.studyEffects.toReversed() }),
          numbersOf(here),
          'iterative',
          { ofSize: 1 },
        );
      }),
      run,
    );
  });
});

const arm = fc
  .record({ total: fc.integer({ min: 1, max: 300 }), share: fc.double({ min: 0, max: 1, noNaN: true }) })
  .map(({ total, share }) => ({ total, events: Math.round(total * share ** 2) }));
const arms = fc.array(arm, { minLength: 1, maxLength: 6 });

describe('binomial model', () => {
  it('mirrors when events and non-events change places', () => {
    fc.assert(
      fc.property(arms, (rows) => {
        const totals = rows.map((row) => row.total);
        const events = rows.map((row) => row.events);
        const here = binomialPosteriorOf(events, totals);
        const there = binomialPosteriorOf(
          events.map((count, index) => totals[index]! - count),
          totals,
        );
        expectClose(there.rate.median, 1 - here.rate.median, 'otherLibrary');
        expectClose(there.nextRate.interval.lower, 1 - here.nextRate.interval.upper, 'otherLibrary', {
          ofSize: 1,
        });
        expectClose(there.betweenStudyDeviation.median, here.betweenStudyDeviation.median, 'otherLibrary');
        expectAllClose(
          there.studyRates.map(({ rate }) => rate.median),
          here.studyRates.map(({ rate }) => 1 - rate.median),
          'otherLibrary',
          { ofSize: 1 },
        );
      }),
      run,
    );
  });

  it('does not care for the order of arms, and every number it gives is finite', () => {
    fc.assert(
      fc.property(arms, fc.constantFrom(...deviationPriorKinds), (rows, kind) => {
        const options = { deviationPrior: priorAt[kind](0.8) };
        const counts = countsOf(
          rows.map((row) => row.events),
          rows.map((row) => row.total),
        );
        const here = posteriorBinomialNormal(counts, options);
        const there = posteriorBinomialNormal(counts.toReversed(), options);
        expect(notFinite(here)).toEqual([]);
        expect(there.status).toBe(here.status);
        if (here.status === 'refused' || there.status === 'refused') return;
        expectClose(there.mean.median, here.mean.median, 'iterative', { ofSize: 1 });
        expectClose(there.prediction.interval.lower, here.prediction.interval.lower, 'iterative', {
          ofSize: 1,
        });
        expectAllClose(
          there.studyRates.toReversed().map(({ rate }) => rate.interval.upper),
          here.studyRates.map(({ rate }) => rate.interval.upper),
          'otherLibrary',
        );
        for (const { rate } of here.studyRates) {
          expect(rate.interval.lower).toBeGreaterThanOrEqual(0);
          expect(rate.interval.upper).toBeLessThanOrEqual(1);
        }
      }),
      run,
    );
  });
});
