import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { posteriorBinomialNormal } from '../../../src/pooling/bayesian/posteriorBinomialNormal.ts';
import { cumulativeAt, quantileOf } from '../../../src/pooling/bayesian/tabulatedDensity.ts';
import { BinomialNormalLikelihood, trapezoidalRule } from '../../../src/pooling/binomialNormalLikelihood.ts';
import { binomialNormalStudies } from '../../../src/pooling/quoted/binomialStudies.ts';
import { fitHypergeometricNormal } from '../../../src/pooling/quoted/comparisonContext.ts';
import { gridPosterior } from '../../../src/pooling/quoted/gridPosterior.ts';
import { emptyMean, meanLogOddsFor, meanOfStudies } from '../../../src/pooling/quoted/meanOfStudies.ts';
import { profileLimit } from '../../../src/pooling/quoted/profile.ts';
import { profileCutOffs } from '../../../src/pooling/quoted/profileCutOffs.ts';
import { rateContext } from '../../../src/pooling/quoted/rateContext.ts';
import {
  type RateMethod,
  type RateMethodName,
  rateMethods,
} from '../../../src/pooling/quoted/rateMethods.ts';
import { expectClose } from '../../helpers/close.ts';
import { countsOf, logOdds, tablesOf } from './quotedHelpers.ts';

// biome-ignore lint/suspicious/noExplicitAny: reference files are plain JSON, read where they are checked
type Json = any;

const read = (name: string): Json =>
  JSON.parse(readFileSync(new URL(`../../reference/${name}`, import.meta.url), 'utf8'));

/** mpmath at 40 digits, numpy and scipy. */
const reference: Json = read('quoted.json');
/** Base R and lme4. */
const byR: Json = read('quoted-r.json');

// tests/reference/quoted.py (mpmath, numpy, scipy) and quoted.R (lme4).
// scipy's searches for a maximum stop on the value, which is flat at the top: half its digits remain in the estimate.
const search = 2e-6;
const near = (actual: number | undefined, expected: number, within: number, label = ''): void => {
  expect(Math.abs((actual ?? Number.NaN) - expected), label).toBeLessThan(
    within * Math.max(1, Math.abs(expected)),
  );
};

describe('the mean over studies', () => {
  it.each(reference.meanOfStudies as { a: number; s: number; rate: string; rest: string }[])(
    'log odds normal($a, $s²), against adaptive quadrature at 40 digits',
    ({ a, s, rate, rest }) => {
      const mean = meanOfStudies(a, s);
      expectClose(mean.rate, Number(rate), 'specialFunctionTail');
      expectClose(mean.rest, Number(rest), 'specialFunctionTail');
      const back = meanLogOddsFor(Math.log(mean.rate / mean.rest), s, emptyMean());
      near(back, a, 1e-10);
    },
  );
});

const names = Object.keys(reference.rates);
const cutOffNames = Object.keys(profileCutOffs) as (keyof typeof profileCutOffs)[];

describe.each(names)('rates, %s', (name) => {
  const {
    counts: rows,
    median,
    mean,
    betaBinomial,
    dersimonianLaird,
    ratio,
    cutOffs,
  } = reference.rates[name];
  const counts = countsOf(rows);
  const context = rateContext(counts);

  it('cut-offs', () => {
    for (const cutOff of cutOffNames) {
      expectClose(profileCutOffs[cutOff].at(0.95, counts.length), cutOffs[cutOff], 'specialFunctionTail');
    }
  });

  it.each([
    ['median study', () => context.median(), median, 'median-study'],
    ['mean of studies', () => context.mean(), mean, 'mean-of-studies'],
    ['beta-binomial', () => context.betaBinomial(), betaBinomial, 'beta-binomial'],
  ] as const)('%s: highest point and profile limits', (_, fitted, expected, prefix) => {
    const { peak } = fitted()!;
    near(peak.t, expected.t, search, 't');
    near(peak.s, expected.deviation, 100 * search, 's');
    expectClose(peak.logLikelihood, expected.logLikelihood, 'specialFunctionTail');
    for (const cutOff of Object.keys(expected.limits) as (keyof typeof profileCutOffs)[]) {
      const method = rateMethods[`${prefix}-profile-${cutOff}` as RateMethodName] as RateMethod | undefined;
      if (!method) continue;
      const { interval, rate } = method.estimate(context, 0.95)!;
      near(logOdds(rate), expected.t, search, 'rate');
      near(logOdds(interval!.lower), expected.limits[cutOff][0], 1e-8, `${cutOff} lower`);
      near(logOdds(interval!.upper), expected.limits[cutOff][1], 1e-8, `${cutOff} upper`);
    }
  });

  it('profile limits put back into a likelihood integrated otherwise', () => {
    // The adaptive trapezoidal rule of the one-step model, points placed anew for every value.
    const other = new BinomialNormalLikelihood(counts, trapezoidalRule());
    const into = (a: number, s: number): number => other.at(a, s).logLikelihood;
    const scratch = emptyMean();
    const check = (
      fit: NonNullable<ReturnType<typeof context.median>>,
      at: (t: number, s: number) => number,
    ): void => {
      for (const cutOff of cutOffNames) {
        const allowed = profileCutOffs[cutOff].at(0.95, counts.length);
        for (const limit of fit.limits(allowed)) {
          const { t, s } = limit!;
          const top = at(fit.peak.t, fit.peak.s);
          near(2 * (top - at(t, s)), allowed, 1e-10, cutOff);
          // No other deviation is likelier there.
          const step = 1e-4;
          for (const beside of [Math.abs(s - step), s + step, 0, 0.3, 1, 3]) {
            expect(at(t, beside)).toBeLessThanOrEqual(at(t, s) + 1e-10);
          }
        }
      }
    };
    check(context.median()!, into);
    check(context.mean()!, (t, s) => into(s === 0 ? t : meanLogOddsFor(t, s, scratch), s));
  });

  it('DerSimonian-Laird and the ratio of sums', () => {
    for (const [key, expected] of Object.entries(dersimonianLaird) as [string, number[]][]) {
      const { rate, interval } = rateMethods[`dersimonian-laird-${key}` as RateMethodName].estimate(
        context,
        0.95,
      )!;
      expectClose(rate, expected[0]!, 'iterative', { label: key });
      expectClose(interval!.lower, expected[1]!, 'iterative', { label: `${key} lower` });
      expectClose(interval!.upper, expected[2]!, 'iterative', { label: `${key} upper` });
    }
    const robust = rateMethods['ratio-of-sums-robust'].estimate(context, 0.95)!;
    expectClose(robust.rate, ratio[0], 'iterative');
    expectClose(robust.interval!.lower, ratio[1], 'iterative');
    expectClose(robust.interval!.upper, ratio[2], 'iterative');
  });
});

describe('lme4', () => {
  it.each(Object.keys(byR.rates))('%s: estimate, deviation and the profile of the intercept', (name) => {
    const context = rateContext(countsOf(reference.rates[name].counts));
    const { value, deviation, limits } = byR.rates[name];
    const { peak } = context.median()!;
    // lme4 stops its own search near 1e-5 of the estimates.
    near(peak.t, value, 5e-5);
    near(peak.s, deviation, 2e-4);
    const [lower, upper] = context.median()!.limits(profileCutOffs['chi-square'].at(0.95, 9));
    near(lower!.t, limits[0], 2e-4);
    near(upper!.t, limits[1], 2e-4);
  });
});

describe('the quick posterior', () => {
  const entries = names.flatMap((name) =>
    Object.entries(reference.rates[name].posterior ?? {}).map(([prior, expected]) => ({
      name,
      prior,
      expected,
    })),
  );
  it.each(entries)('$name, priors $prior, against a dense grid', ({ name, prior, expected }) => {
    const [scale, deviation] = prior.split(' ').map(Number) as [number, number];
    const counts = countsOf(reference.rates[name].counts);
    const posterior = gridPosterior(
      binomialNormalStudies(counts),
      { kind: 'half-normal', scale },
      { kind: 'normal', mean: 0, deviation },
      -2,
    );
    for (const [quantity, quantiles] of Object.entries(expected as Record<string, number[]>)) {
      [0.025, 0.5, 0.975].forEach((p, i) => {
        // The reference reads its own grid linearly.
        near(posterior.quantile(quantity as 'next study', p), quantiles[i]!, 2e-3, `${quantity} ${p}`);
      });
    }
  });

  it.each(names)('%s: the same probabilities as the adaptive posterior', (name) => {
    const counts = countsOf(reference.rates[name].counts);
    const priors = {
      deviationPrior: { kind: 'half-normal', scale: 1 },
      meanPrior: { kind: 'normal', mean: 0, deviation: 2.5 },
    } as const;
    const adaptive = posteriorBinomialNormal(
      counts.map((count, i) => ({ ...count, study: `s${i}`, label: `${i}` })),
      { ...priors, studyEffects: false },
    );
    if (adaptive.status !== 'computed') throw new Error('the posterior must be proper');
    const quick = gridPosterior(binomialNormalStudies(counts), priors.deviationPrior, priors.meanPrior, -2);
    for (const p of [0.025, 0.25, 0.5, 0.9, 0.975]) {
      const median = quantileOf(adaptive.mean.density, p);
      const next = quantileOf(adaptive.prediction.density, p);
      near(quick.below('median study', median), cumulativeAt(adaptive.mean.density, median), 1e-4);
      near(quick.below('next study', next), cumulativeAt(adaptive.prediction.density, next), 1e-4);
    }
  });
});

describe.each(Object.keys(reference.comparisons))('odds ratios, %s', (name) => {
  const { tables, studies, hypergeometricNormal: expected } = reference.comparisons[name];
  it('hypergeometric-normal: highest point and profile limits', () => {
    const fit = fitHypergeometricNormal(
      tablesOf(tables.map(([treated, comparator]: Json) => ({ treated, comparator }))),
    )!;
    expect(fit.studies).toBe(studies);
    near(fit.peak.t, expected.t, search);
    near(fit.peak.s, expected.deviation, 100 * search);
    for (const cutOff of Object.keys(expected.limits) as (keyof typeof profileCutOffs)[]) {
      const allowed = profileCutOffs[cutOff].at(0.95, studies);
      const lower = profileLimit(fit.problem, fit.peak, allowed, -1);
      const upper = profileLimit(fit.problem, fit.peak, allowed, 1);
      near(lower?.t, expected.limits[cutOff][0], 1e-8, `${cutOff} lower`);
      near(upper?.t, expected.limits[cutOff][1], 1e-8, `${cutOff} upper`);
    }
  });
});
