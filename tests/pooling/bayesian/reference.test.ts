import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { binomialPosterior, studyTable } from '../../../src/pooling/bayesian/binomialPosterior.ts';
import type { DeviationPrior } from '../../../src/pooling/bayesian/deviationPrior.ts';
import type { MeanPrior } from '../../../src/pooling/bayesian/meanPrior.ts';
import { cumulativeAt, quantileOf } from '../../../src/pooling/bayesian/tabulatedDensity.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { binomialPosteriorOf, normalPosterior } from './shapes.ts';

interface Priors {
  readonly name: string;
  readonly deviationPrior: DeviationPrior;
  readonly meanPrior: MeanPrior;
}
interface NormalRow extends Priors {
  readonly values: number[];
  readonly variances: number[];
  readonly mean: number;
  readonly meanDeviation: number;
  readonly tauMean: number;
  readonly tauDeviation: number;
  readonly meanQuantiles: number[];
  readonly nextQuantiles: number[];
  readonly tauQuantiles: number[];
  readonly studyEffects: [number, number][];
}
interface BinomialRow extends Priors {
  readonly events: number[];
  readonly totals: number[];
  readonly study: number;
  readonly gridDifference: number;
  readonly mean: number;
  readonly meanDeviation: number;
  readonly tauMean: number;
  readonly rateMean: number;
  readonly rateDeviation: number;
  readonly nextRateMean: number;
  readonly meanQuantiles: number[];
  readonly tauQuantiles: number[];
  readonly studyRateMean: number;
  readonly studyRateDeviation: number;
  readonly studyLogitMean: number;
}
interface ArmRow {
  readonly events: number;
  readonly total: number;
  readonly scale: number;
  readonly rateMean: number;
  readonly rateDeviation: number;
  readonly below: number[];
  readonly limits: number[];
}

const read = <T>(name: string): T =>
  JSON.parse(readFileSync(new URL(`../../reference/${name}`, import.meta.url), 'utf8')) as T;
const grids = read<{ normalNormal: NormalRow[]; binomialNormal: BinomialRow[] }>('bayesian.json');
const integrals = read<{ normalNormal: NormalRow[]; oneArm: ArmRow[] }>('bayesian-r.json');
const priorsOf = ({ deviationPrior, meanPrior }: Priors) => ({ deviationPrior, meanPrior });
const probabilities = [0.025, 0.5, 0.975];

describe('normal model against sums over fine grids of mean and standard deviation (numpy)', () => {
  it.each(grids.normalNormal)('$name', (row) => {
    const posterior = normalPosterior(row.values, row.variances, priorsOf(row));
    const { mean, betweenStudyDeviation, studyEffects } = posterior;
    expectClose(mean.mean, row.mean, 'otherLibrary');
    expectClose(mean.standardDeviation, row.meanDeviation, 'otherLibrary');
    expectClose(betweenStudyDeviation.mean, row.tauMean, 'otherLibrary');
    expectClose(betweenStudyDeviation.standardDeviation, row.tauDeviation, 'otherLibrary');
    const quantiles = (of: typeof mean) => probabilities.map((p) => quantileOf(of.density, p));
    expectAllClose(quantiles(mean), row.meanQuantiles, 'otherLibrary');
    expectAllClose(quantiles(betweenStudyDeviation), row.tauQuantiles, 'otherLibrary');
    expectAllClose(
      studyEffects.flatMap((effect) => [effect.mean, effect.standardDeviation]),
      row.studyEffects.flat(),
      'otherLibrary',
    );
    expect(posterior.numerics.agreed).toBe(true);
  });
});

describe('normal model against base R integrate()', () => {
  it.each(integrals.normalNormal)('$name', (row) => {
    const { mean, betweenStudyDeviation, prediction } = normalPosterior(
      row.values,
      row.variances,
      priorsOf(row),
    );
    expectClose(mean.mean, row.mean, 'iterative');
    expectClose(mean.standardDeviation, row.meanDeviation, 'iterative');
    expectClose(betweenStudyDeviation.mean, row.tauMean, 'iterative');
    for (const [index, p] of probabilities.entries()) {
      expectClose(quantileOf(mean.density, p), row.meanQuantiles[index]!, 'iterative');
      expectClose(quantileOf(prediction.density, p), row.nextQuantiles[index]!, 'iterative');
    }
  });
});

describe('binomial model against sums over fine grids of mean, standard deviation and logits (numpy)', () => {
  it.each(grids.binomialNormal)('$name', (row) => {
    expect(row.gridDifference).toBeLessThan(1e-6);
    const posterior = binomialPosteriorOf(row.events, row.totals, priorsOf(row));
    const { mean, betweenStudyDeviation, rate, nextRate } = posterior;
    const study = posterior.studyRates[row.study]!;
    expectClose(mean.mean, row.mean, 'otherLibrary');
    expectClose(mean.standardDeviation, row.meanDeviation, 'otherLibrary');
    expectClose(betweenStudyDeviation.mean, row.tauMean, 'otherLibrary');
    expectClose(rate.mean, row.rateMean, 'otherLibrary');
    expectClose(rate.standardDeviation, row.rateDeviation, 'otherLibrary');
    expectClose(nextRate.mean, row.nextRateMean, 'otherLibrary');
    const quantiles = (of: typeof mean) => probabilities.map((p) => quantileOf(of.density, p));
    expectAllClose(quantiles(mean), row.meanQuantiles, 'otherLibrary');
    expectAllClose(quantiles(betweenStudyDeviation), row.tauQuantiles, 'otherLibrary');
    expectClose(study.rate.mean, row.studyRateMean, 'otherLibrary');
    expectClose(study.rate.standardDeviation, row.studyRateDeviation, 'otherLibrary');
    expectClose(study.logit.mean, row.studyLogitMean, 'otherLibrary');
    expect(posterior.numerics.agreed).toBe(true);
  });
});

describe('one binomial arm against base R integrate()', () => {
  it.each(integrals.oneArm)('$events of $total', (row) => {
    const posterior = binomialPosteriorOf([row.events], [row.total], {
      deviationPrior: { kind: 'half-normal', scale: row.scale },
    });
    const [study] = posterior.studyRates;
    expectClose(study!.rate.mean, row.rateMean, 'iterative');
    expectClose(study!.rate.standardDeviation, row.rateDeviation, 'iterative');
    const joint = binomialPosterior(
      posterior.counts,
      posterior.options.deviationPrior,
      posterior.options.meanPrior,
      2,
    );
    const table = studyTable(joint, 0);
    expectAllClose(
      row.limits.map((limit) => cumulativeAt(table, Math.log(limit / (1 - limit)))),
      row.below,
      'iterative',
    );
  });
});
