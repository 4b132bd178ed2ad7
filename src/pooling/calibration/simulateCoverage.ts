import { normalQuantile } from '../../numerics/distributions.ts';
import { seededUniform } from '../../numerics/seededUniform.ts';
import { meanIntervalMethods } from '../meanIntervalMethods.ts';
import { checkChoice, checkLevel } from '../optionChecks.ts';
import { pooledSample, weightedMean } from '../pooledSample.ts';
import { type MeanInterval, type VarianceEstimator, varianceEstimators } from '../poolOptions.ts';
import { intervalGoesWith } from '../resolvePoolOptions.ts';
import { varianceEstimatorMethods } from '../varianceEstimatorMethods.ts';

/** How the sampling variances of one simulated review are spread. */
export const studySizePatterns = [
  'equal',
  'half ten times larger',
  'one ten times larger',
  'one ten times smaller',
] as const;
export type StudySizePattern = (typeof studySizePatterns)[number];

/** One pair of methods whose coverage is measured. */
export interface CoverageMethod {
  readonly betweenStudyVariance: VarianceEstimator;
  readonly interval: MeanInterval;
}

export interface CoverageScenario {
  /** Studies in each simulated review, 2 or more. */
  readonly studies: number;
  /** True share of the variation that lies between studies, 0 up to but not including 1. */
  readonly iSquared: number;
  readonly sizes: StudySizePattern;
  /** Simulated reviews. */
  readonly reviews: number;
  readonly seed: number;
  readonly methods: readonly CoverageMethod[];
  readonly level?: number;
}

/** What share of simulated reviews had an interval that held the true mean. */
export interface CoverageResult extends CoverageMethod {
  readonly studies: number;
  readonly iSquared: number;
  readonly sizes: StudySizePattern;
  readonly reviews: number;
  readonly level: number;
  readonly coverage: number;
  /** Monte Carlo standard error of the coverage. */
  readonly monteCarloError: number;
}

/**
 * How often does each interval hold the true mean, when we know what is true?
 *
 * Every simulated review has true study values from a normal distribution around 0 and estimates around those with
 * known variances; I² fixes the between-study variance relative to the sampling variance of a typical study
 * (Higgins & Thompson 2002, equation 9). All methods see the same reviews. The same scenario and seed give the same
 * result wherever and in whatever order it is run.
 *
 * @throws RangeError naming the bound and the value received.
 * @see IntHout J, Ioannidis JPA, Borm GF. BMC Med Res Methodol 2014;14:25 (the design this follows).
 * @example
 * simulateCoverage({ studies: 5, iSquared: 0.5, sizes: 'equal', reviews: 1000, seed: 1,
 *   methods: [{ betweenStudyVariance: 'dersimonian-laird', interval: 'wald' }] })
 */
export function simulateCoverage(scenario: CoverageScenario): readonly CoverageResult[] {
  const { studies, iSquared, sizes, reviews, seed, methods } = scenario;
  const level = checkLevel(scenario.level ?? 0.95);
  if (!(Number.isInteger(studies) && studies >= 2)) {
    throw new RangeError(`studies must be a whole number of at least 2, received ${studies}`);
  }
  if (!(typeof iSquared === 'number' && iSquared >= 0 && iSquared < 1)) {
    throw new RangeError(`iSquared must be at least 0 and below 1, received ${iSquared}`);
  }
  if (!(Number.isInteger(reviews) && reviews >= 1)) {
    throw new RangeError(`reviews must be a whole number of at least 1, received ${reviews}`);
  }
  for (const { betweenStudyVariance, interval } of methods) {
    checkChoice('betweenStudyVariance', betweenStudyVariance, varianceEstimators);
    if (!intervalGoesWith(interval, 'random-effects', betweenStudyVariance)) {
      throw new RangeError(
        `interval ${interval} does not go with betweenStudyVariance ${betweenStudyVariance}`,
      );
    }
  }
  const variances = samplingVariances(studies, checkChoice('sizes', sizes, studySizePatterns));
  const betweenStudyDeviation = Math.sqrt((typicalVariance(variances) * iSquared) / (1 - iSquared));
  const standardNormal = normalSource(seed);
  const estimators = [...new Set(methods.map(({ betweenStudyVariance }) => betweenStudyVariance))];
  const held = methods.map(() => 0);
  const values = new Float64Array(studies);
  for (let review = 0; review < reviews; review++) {
    for (let i = 0; i < studies; i++) {
      values[i] = betweenStudyDeviation * standardNormal() + Math.sqrt(variances[i]!) * standardNormal();
    }
    const sample = pooledSample(values, variances);
    const common = weightedMean(sample, 0);
    for (const estimator of estimators) {
      const mean = weightedMean(sample, varianceEstimatorMethods[estimator].estimate(sample, common).value);
      methods.forEach(({ betweenStudyVariance, interval }, index) => {
        if (betweenStudyVariance !== estimator) return;
        const reach = meanIntervalMethods[interval].reach(sample, mean, level);
        const error = sample.centre + mean.distance;
        if (reach && error - reach.below <= 0 && error + reach.above >= 0) held[index]! += 1;
      });
    }
  }
  return methods.map((method, index) => {
    const coverage = held[index]! / reviews;
    return {
      ...method,
      studies,
      iSquared,
      sizes,
      reviews,
      level,
      coverage,
      monteCarloError: Math.sqrt((coverage * (1 - coverage)) / reviews),
    };
  });
}

/** Sampling variances with a typical study of 1; larger studies have smaller variances. */
function samplingVariances(studies: number, sizes: StudySizePattern): Float64Array {
  const variances = new Float64Array(studies).fill(1);
  if (sizes === 'half ten times larger') variances.fill(0.1, 0, Math.floor(studies / 2));
  if (sizes === 'one ten times larger') variances[0] = 0.1;
  if (sizes === 'one ten times smaller') variances[0] = 10;
  return variances;
}

function typicalVariance(variances: Float64Array): number {
  let sum = 0;
  let squares = 0;
  for (const variance of variances) {
    sum += 1 / variance;
    squares += 1 / (variance * variance);
  }
  return ((variances.length - 1) * sum) / (sum * sum - squares);
}

/** Standard normal numbers by inverting the distribution function at seeded uniform numbers. */
function normalSource(seed: number): () => number {
  const uniform = seededUniform(seed);
  return () => normalQuantile(uniform());
}
