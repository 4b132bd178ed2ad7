import { studentTQuantile } from '../../numerics/distributions.ts';
import { scatterStandardError } from '../meanIntervals/hartungKnapp.ts';
import type { PooledSample, WeightedMean } from '../pooledSample.ts';
import type { PredictionMethod, PredictionReach } from '../predictionIntervalMethods.ts';

/**
 * Where may the true value of the next study lie?
 *
 * `μ ± t(k-2) sqrt(τ² + 1 / Σ w)`. No answer below three studies; rough below five.
 *
 * Source: Higgins JPT, Thompson SG, Spiegelhalter DJ, J R Stat Soc A 2009;172:137-159, section 4.
 */
export const studentKMinusTwo: PredictionMethod = {
  id: 't-k-minus-2',
  name: "Student's t distribution with k - 2 degrees of freedom",
  source: 'Higgins JPT, Thompson SG, Spiegelhalter DJ. J R Stat Soc A 2009;172:137-159',
  reach: (sample, mean, level) =>
    symmetric(sample.count, 2, mean.betweenStudyVariance + 1 / mean.weightSum, level),
};

/**
 * Where may the true value of the next study lie, one degree of freedom spent on the mean?
 *
 * `μ ± t(k-1) sqrt(τ² + 1 / Σ w)`. No answer below three studies, as for the version with k - 2.
 *
 * Source: Cochrane Handbook for Systematic Reviews of Interventions, version 6.5, section 10.10.4.3 (from memory).
 */
export const studentKMinusOne: PredictionMethod = {
  id: 't-k-minus-1',
  name: "Student's t distribution with k - 1 degrees of freedom",
  source: 'Cochrane Handbook for Systematic Reviews of Interventions. Version 6.5, 2024, section 10.10.4.3',
  reach: (sample, mean, level) =>
    symmetric(sample.count, 1, mean.betweenStudyVariance + 1 / mean.weightSum, level),
};

/**
 * Where may the true value of the next study lie, the mean's uncertainty judged from the scatter?
 *
 * `μ ± t(k-2) sqrt(τ² + SE²)` with the Hartung-Knapp standard error. No answer without scatter.
 *
 * Source: Partlett C, Riley RD, Stat Med 2017;36:301-317, section 2.4.
 */
export const hartungKnappPrediction: PredictionMethod = {
  id: 'hartung-knapp',
  name: "Student's t distribution with k - 2 degrees of freedom and the Hartung-Knapp standard error",
  source: 'Partlett C, Riley RD. Stat Med 2017;36:301-317',
  reach: (sample, mean, level) => fromScatter(sample, mean, 2, level),
};

/**
 * Where may the true value of the next study lie, both choices made as for the Hartung-Knapp interval of the mean?
 *
 * `μ ± t(k-1) sqrt(τ² + SE²)` with the Hartung-Knapp standard error: one degree of freedom spent, on the mean, as in
 * that interval, so that with τ² = 0 the two are the same. No answer without scatter, nor below three studies.
 *
 * Source: Partlett C, Riley RD, Stat Med 2017;36:301-317, section 2.4 (the standard error); Cochrane Handbook for
 * Systematic Reviews of Interventions, version 6.5, section 10.10.4.3 (k - 1; from memory).
 */
export const hartungKnappKMinusOne: PredictionMethod = {
  id: 't-k-minus-1-hartung-knapp',
  name: "Student's t distribution with k - 1 degrees of freedom and the Hartung-Knapp standard error",
  source: 'Partlett C, Riley RD. Stat Med 2017;36:301-317',
  reach: (sample, mean, level) => fromScatter(sample, mean, 1, level),
};

function fromScatter(
  sample: PooledSample,
  mean: WeightedMean,
  spentDegreesOfFreedom: number,
  level: number,
): PredictionReach | undefined {
  const standardError = scatterStandardError(sample, mean);
  if (standardError === undefined) return undefined;
  return symmetric(
    sample.count,
    spentDegreesOfFreedom,
    mean.betweenStudyVariance + standardError ** 2,
    level,
  );
}

function symmetric(
  count: number,
  spentDegreesOfFreedom: number,
  variance: number,
  level: number,
): PredictionReach | undefined {
  if (count < 3) return undefined;
  const margin = -studentTQuantile((1 - level) / 2, count - spentDegreesOfFreedom) * Math.sqrt(variance);
  return { below: margin, above: margin };
}
