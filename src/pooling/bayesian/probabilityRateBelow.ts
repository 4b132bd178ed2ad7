import { logitsOf, type RatePosterior } from './ratePosterior.ts';
import { cumulativeAt } from './tabulatedDensity.ts';

/** Posterior probabilities that a rate lies below a limit. */
export interface ProbabilityRateBelow {
  readonly kind: 'probability-rate-below';
  /** The limit named, 0 to 1. */
  readonly limit: number;
  /** Probability that the rate of the median hospital is below it. */
  readonly medianHospital: number;
  /** Probability that the true rate at the next hospital is below it. */
  readonly nextHospital: number;
  /** What the two numbers are, in words. */
  readonly label: string;
}

/**
 * How probable is it that the rate is below a limit the reader names?
 *
 * The cumulative posterior at the limit's logit: for the median hospital (the mean of the model) and for the next
 * hospital (whose own rate differs from it, so that its probability is nearer to one half).
 *
 * @param posterior of counts, or of estimates on the logit scale
 * @param limit a rate above 0 and below 1
 * @throws RangeError when the limit is out of bounds, or the posterior is not of rates
 *
 * @example
 * probabilityRateBelow(posterior, 0.05).nextHospital
 */
export function probabilityRateBelow(posterior: RatePosterior, limit: number): ProbabilityRateBelow {
  if (!(typeof limit === 'number' && limit > 0 && limit < 1))
    throw new RangeError(`limit must be above 0 and below 1, received ${limit}`);
  const { mean, prediction } = logitsOf(posterior, 'posterior');
  const logit = Math.log(limit / (1 - limit));
  return {
    kind: 'probability-rate-below',
    limit,
    medianHospital: cumulativeAt(mean.density, logit),
    nextHospital: cumulativeAt(prediction.density, logit),
    label: `Posterior probability that the rate is below ${Number((100 * limit).toPrecision(6))} %, given these studies and the stated priors.`,
  };
}
