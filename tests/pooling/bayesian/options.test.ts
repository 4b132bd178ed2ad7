import { describe, expect, it } from 'vitest';
import { posteriorBinomialNormal } from '../../../src/pooling/bayesian/posteriorBinomialNormal.ts';
import { posteriorNormalNormal } from '../../../src/pooling/bayesian/posteriorNormalNormal.ts';
import type { PosteriorOptions } from '../../../src/pooling/bayesian/posteriorOptions.ts';
import { priorSensitivity, usualDeviationPriors } from '../../../src/pooling/bayesian/priorSensitivity.ts';
import { densityAt } from '../../../src/pooling/bayesian/tabulatedDensity.ts';
import { cautionCodes } from '../../../src/pooling/caution.ts';
import { binomialPosteriorOf, countsOf, estimatesOf, normalPosterior } from './shapes.ts';

const values = [0.2, 0.5, -0.1];
const variances = [0.1, 0.2, 0.1];
const counts = countsOf([2, 0, 5], [30, 25, 40]);

describe('misuse', () => {
  const normal = (options: unknown) => () =>
    posteriorNormalNormal(estimatesOf(values, variances, 'logit'), options as PosteriorOptions);

  it.each([
    [{ prior: 1 }, 'unknown option "prior", the options are deviationPrior, meanPrior, level, studyEffects'],
    [{ level: 95 }, 'level must be a number above 0 and below 1, such as 0.95, received 95'],
    [
      { deviationPrior: { kind: 'half-t', scale: 1 } },
      'deviationPrior.kind must be one of half-normal, half-cauchy, uniform, flat, log-normal, gamma-on-precision, received "half-t"',
    ],
    [
      { deviationPrior: { kind: 'half-normal' } },
      'deviationPrior.scale must be a finite number, received undefined',
    ],
    [
      { deviationPrior: { kind: 'half-normal', scale: 0 } },
      'deviationPrior.scale must be above 0 (1e-100 to 1e+100), received 0',
    ],
    [
      { deviationPrior: { kind: 'uniform', upper: 2, scale: 1 } },
      'deviationPrior has no field "scale", the fields are kind, upper',
    ],
    [{ meanPrior: { kind: 'cauchy' } }, 'meanPrior.kind must be one of flat, normal, received "cauchy"'],
    [
      { meanPrior: { kind: 'normal', mean: 0, deviation: -1 } },
      'meanPrior.deviation must be above 0 (1e-100 to 1e+100), received -1',
    ],
    [{ studyEffects: 1 }, 'studyEffects must be true or false, received 1'],
  ])('%j', (options, message) => {
    expect(normal(options)).toThrow(message);
  });

  it('asks for a prior where the scale has no usual one', () => {
    expect(() => posteriorNormalNormal(estimatesOf(values, variances, 'mean-difference'))).toThrow(
      'deviationPrior must be given on the scale "mean-difference"',
    );
  });

  it('names the estimate or count that is wrong', () => {
    const broken = estimatesOf(values, [0.1, 0, 0.1], 'logit');
    expect(() => posteriorNormalNormal(broken)).toThrow(
      'variance of Study 1 must be finite and above 0, received 0',
    );
    const mixed = [...estimatesOf([1], [1], 'logit'), ...estimatesOf([1], [1], 'plain')];
    expect(() => posteriorNormalNormal(mixed)).toThrow('all estimates must be on one scale');
    expect(() => posteriorBinomialNormal(countsOf([3], [2]))).toThrow(
      'events of Study 0 must be a whole number from 0 to the total 2, received 3',
    );
    expect(() => posteriorBinomialNormal(countsOf([0], [0]))).toThrow(
      'total of Study 0 must be a whole number of at least 1, received 0',
    );
  });
});

describe('results', () => {
  const normal = normalPosterior(values, variances, { deviationPrior: { kind: 'half-normal', scale: 0.5 } });
  const binomial = binomialPosteriorOf([2, 0, 5], [30, 25, 40]);

  it('survive JSON and still answer', () => {
    for (const posterior of [normal, binomial]) {
      const copy = JSON.parse(JSON.stringify(posterior)) as typeof posterior;
      expect(copy).toEqual(posterior);
      expect(densityAt(copy.mean.density, copy.mean.median)).toBe(
        densityAt(posterior.mean.density, posterior.mean.median),
      );
    }
  });

  it('carry every choice, in the options and in a sentence', () => {
    expect(binomial.options).toEqual({
      deviationPrior: { kind: 'half-normal', scale: 1 },
      meanPrior: { kind: 'normal', mean: 0, deviation: 2.5 },
      level: 0.95,
      studyEffects: true,
    });
    expect(binomial.methodsSentence).toBe(
      'Events were pooled in a Bayesian binomial model with normal random effects on the logit scale (prior of the between-study standard deviation half-normal with scale 1, prior of the mean normal with mean 0 and standard deviation 2.5), integrated by deterministic quadrature without any correction at zero; intervals are equal-tailed with probability 95 %.',
    );
    expect(normal.methodsSentence).toContain(
      'prior of the between-study standard deviation half-normal with scale 0.5, prior of the mean flat (improper)',
    );
  });

  it('warn of arms that share a study', () => {
    const twice = counts.map((row, index) => ({ ...row, study: 'same', arm: `arm ${index}` }));
    const posterior = posteriorBinomialNormal(twice);
    expect(posterior.cautions.map((caution) => caution.code)).toEqual([
      'one-study',
      'several-arms-of-one-study',
    ]);
    for (const { code } of posterior.cautions) expect(cautionCodes).toContain(code);
    if (posterior.status === 'computed') expect(posterior.studyRates[1]!.arm).toBe('arm 1');
  });

  it('leave study effects out when not asked for', () => {
    expect(binomialPosteriorOf([2, 5], [30, 40], { studyEffects: false }).studyRates).toEqual([]);
  });

  it('widen with the level', () => {
    const wide = binomialPosteriorOf([2, 0, 5], [30, 25, 40], { level: 0.99 });
    expect(wide.rate.interval.upper).toBeGreaterThan(binomial.rate.interval.upper);
    expect(wide.rate.interval.level).toBe(0.99);
  });
});

describe('prior sensitivity', () => {
  it('repeats the answer under each prior, as the model itself gives it', () => {
    const table = priorSensitivity(counts, usualDeviationPriors, { points: 50 });
    expect(table.rows.map((row) => row.name)).toEqual(usualDeviationPriors.map((prior) => prior.name));
    for (const [index, row] of table.rows.entries()) {
      const { deviationPrior } = usualDeviationPriors[index]!;
      const alone = binomialPosteriorOf([2, 0, 5], [30, 25, 40], { deviationPrior: deviationPrior! });
      expect(row.answer!.rate).toEqual(alone.rate);
      expect(row.answer!.betweenStudyDeviation.median).toBe(alone.betweenStudyDeviation.median);
      expect(row.answer!.densities.prediction).toHaveLength(50);
    }
    const medians = table.rows.map((row) => row.answer!.mean.median);
    expect(table.medians!.mean).toEqual([Math.min(...medians), Math.max(...medians)]);
    expect(JSON.parse(JSON.stringify(table))).toEqual(table);
    expect(table.methodsSentence).toContain('half-Cauchy with scale 0.5');
  });

  it('keeps the row of a prior without an answer', () => {
    const table = priorSensitivity(estimatesOf([1, 2], [0.1, 0.1]), [
      { deviationPrior: { kind: 'flat' } },
      { name: 'kept', deviationPrior: { kind: 'half-normal', scale: 1 } },
    ]);
    expect(table.model).toBe('normal-normal');
    expect(table.rows[0]).toMatchObject({ name: 'flat from 0 upwards (improper); mean flat (improper)' });
    expect(table.rows[0]!.answer).toBeUndefined();
    expect(table.rows[0]!.reason).toContain('improper');
    expect(table.rows[1]!.answer!.rate).toBeUndefined();
  });

  it('asks for data, priors and known options', () => {
    expect(() => priorSensitivity([], usualDeviationPriors)).toThrow('data must hold at least one row');
    expect(() => priorSensitivity(counts, [])).toThrow('priors must hold at least one pair');
    expect(() => priorSensitivity(counts, usualDeviationPriors, { levels: 1 } as object)).toThrow(
      'unknown option "levels", the options are level, points',
    );
  });
});
