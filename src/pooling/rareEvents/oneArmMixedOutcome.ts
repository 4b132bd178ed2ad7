import { studentTQuantile } from '../../numerics/distributions.ts';
import type { Caution } from '../caution.ts';
import { fitSettledModel } from './fitSettledModel.ts';
import type { LikelihoodTerm } from './likelihoodTerms.ts';
import { mixedObjective } from './mixedModel.ts';
import { quadratureNotSettled } from './mixedOutcome.ts';
import type { OneArmOutcome } from './oneArmFit.ts';
import { wald } from './wald.ts';

/**
 * Fits one count per study with linear predictor `μ + τu`, `u ~ normal(0, 1)`, and turns the mean back into a
 * rate.
 *
 * @param constant the part of the log-likelihood that no parameter changes
 * @param back from the linear predictor to the rate, increasing
 */
export function oneArmMixedOutcome(
  terms: readonly LikelihoodTerm[],
  start: number,
  constant: number,
  back: (eta: number) => number,
  level: number,
  points: readonly number[],
): OneArmOutcome {
  const objectiveAt = (count: number) =>
    mixedObjective(
      terms.map((term) => [term]),
      { fixed: [[1]], random: [[1]] },
      count,
    );
  const { fit, points: used, settled } = fitSettledModel(objectiveAt, points, [start], [false]);
  if (!fit) {
    return {
      status: 'not-converged',
      quadraturePoints: used,
      reason:
        'No maximum of the likelihood could be established: it keeps rising as the variation between studies grows, or the studies differ more than the quadrature can follow.',
    };
  }
  const [mean, deviation] = fit.parameters as unknown as [number, number];
  const standardError = Math.sqrt(fit.covariance[0]!);
  const { interval } = wald(mean, standardError, level);
  const reach =
    terms.length < 3
      ? undefined
      : -studentTQuantile((1 - level) / 2, terms.length - 2) * Math.hypot(deviation, standardError);
  const around = (lower: number, upper: number) => {
    const limits = { lower: back(lower), upper: back(upper), level };
    return Number.isFinite(limits.upper) ? limits : undefined;
  };
  const prediction = reach === undefined ? undefined : around(mean - reach, mean + reach);
  const cautions: Caution[] = [];
  if (fit.severalMaxima) {
    cautions.push({
      code: 'several-likelihood-peaks',
      message: 'The likelihood has more than one peak; the highest found is reported.',
    });
  }
  if (!settled) cautions.push(quadratureNotSettled(used));
  if (reach !== undefined && !prediction) {
    cautions.push({
      code: 'limit-not-reached',
      message: 'The upper limit of the prediction is too large to be written as a number.',
    });
  }
  return {
    quadraturePoints: used,
    status: deviation === 0 ? 'boundary' : 'converged',
    reason:
      deviation === 0
        ? 'The likelihood is highest when the studies share one rate: the between-study deviation is estimated as 0.'
        : undefined,
    mean,
    standardError,
    betweenStudyDeviation: deviation,
    logLikelihood: fit.logLikelihood + constant,
    rate: back(mean),
    interval: around(interval.lower, interval.upper),
    prediction,
    cautions,
  };
}
