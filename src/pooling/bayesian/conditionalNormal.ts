import type { MeanPrior } from './meanPrior.ts';

/** What the normal model says when the between-study standard deviation is known. */
export interface ConditionalNormal {
  /** Log of the data's density with the mean integrated out, up to a constant that does not depend on τ. */
  readonly logMarginal: number;
  /** Posterior mean and standard deviation of the mean of the studies. */
  readonly mean: number;
  readonly deviation: number;
}

/**
 * Posterior of the mean given τ, and the marginal likelihood of τ, both in closed form.
 *
 * With weights w = 1/(v+τ²), and the prior's precision p₀ (0 when flat) at m₀: the mean is normal around
 * m = (Σwy + p₀m₀)/(Σw + p₀) with variance 1/(Σw + p₀), and the log marginal likelihood is
 * -½[Σln(v+τ²) + ln(Σw + p₀) + Σw(y-m)² + p₀(m₀-m)²].
 *
 * Source: Gelman A, Carlin JB, Stern HS, et al. Bayesian Data Analysis, 3rd ed. 2013, section 5.4,
 * equations 5.20 and 5.21.
 */
export function conditionalNormal(
  values: Float64Array,
  variances: Float64Array,
  prior: MeanPrior,
  betweenStudyDeviation: number,
): ConditionalNormal {
  const between = betweenStudyDeviation * betweenStudyDeviation;
  const priorPrecision = prior.kind === 'normal' ? 1 / (prior.deviation * prior.deviation) : 0;
  const priorMean = prior.kind === 'normal' ? prior.mean : 0;
  let precision = priorPrecision;
  let weighted = priorPrecision * priorMean;
  let logs = 0;
  for (let index = 0; index < values.length; index++) {
    const total = variances[index]! + between;
    const weight = 1 / total;
    precision += weight;
    weighted += weight * values[index]!;
    logs += Math.log(total);
  }
  const mean = weighted / precision;
  let squares = priorPrecision * (priorMean - mean) * (priorMean - mean);
  for (let index = 0; index < values.length; index++) {
    const distance = values[index]! - mean;
    squares += (distance * distance) / (variances[index]! + between);
  }
  return {
    logMarginal: -0.5 * (logs + Math.log(precision) + squares),
    mean,
    deviation: 1 / Math.sqrt(precision),
  };
}
