import type { PooledSample } from './pooledSample.ts';

/** The log-likelihood of a between-study variance, with the mean at its best, and its slope. */
export interface VarianceLikelihood {
  readonly betweenStudyVariance: number;
  /** Mean less the sample's centre. */
  readonly distance: number;
  readonly weightSum: number;
  readonly logLikelihood: number;
  /** Derivative of the log-likelihood in the between-study variance. */
  readonly slope: number;
  /** Expected information on the between-study variance. */
  readonly information: number;
}

/**
 * How likely is this between-study variance?
 *
 * `ℓ(τ²) = -½ [k ln 2π + Σ ln(v + τ²) + Σ w (y - μ)²]`, `w = 1 / (v + τ²)`, μ the weighted mean. Restricted: one
 * `ln 2π` fewer and `ln Σ w` more inside the bracket. Slopes: `-½ [Σ w - Σ w² (y - μ)²]`, restricted
 * `-½ [Σ w - Σ w² / Σ w - Σ w² (y - μ)²]`. Expected information: `½ Σ w²`, restricted
 * `½ [Σ w² - 2 Σ w³ / Σ w + (Σ w² / Σ w)²]`.
 *
 * @param restricted whether the mean is allowed for as estimated; not meaningful with a mean held
 * @param heldDistance holds the mean at this distance from the sample's centre instead of the weighted mean
 *
 * Source: Hardy RJ, Thompson SG, Stat Med 1996;15:619-629, section 2; Viechtbauer W, J Educ Behav Stat
 * 2005;30:261-293, equations 12 to 16.
 */
export function varianceLikelihood(
  sample: PooledSample,
  betweenStudyVariance: number,
  restricted: boolean,
  heldDistance?: number,
): VarianceLikelihood {
  const { count, distances, variances } = sample;
  let weightSum = 0;
  let weighted = 0;
  let logProduct = 0;
  // Logarithms are the dear part of this loop: variances are multiplied up and logged when the product gets large.
  let product = 1;
  for (let i = 0; i < count; i++) {
    const total = variances[i]! + betweenStudyVariance;
    const weight = 1 / total;
    weightSum += weight;
    weighted += weight * distances[i]!;
    product *= total;
    if (product > 1e200 || product < 1e-200) {
      logProduct += Math.log(product);
      product = 1;
    }
  }
  logProduct += Math.log(product);
  const distance = heldDistance ?? weighted / weightSum;
  let q = 0;
  let fall = 0;
  let squares = 0;
  let cubes = 0;
  for (let i = 0; i < count; i++) {
    const weight = 1 / (variances[i]! + betweenStudyVariance);
    const residual = distances[i]! - distance;
    const contribution = weight * residual * residual;
    q += contribution;
    fall += weight * contribution;
    squares += weight * weight;
    cubes += weight * weight * weight;
  }
  const share = squares / weightSum;
  return {
    betweenStudyVariance,
    distance,
    weightSum,
    logLikelihood: restricted
      ? -0.5 * ((count - 1) * LOG_TWO_PI + logProduct + Math.log(weightSum) + q)
      : -0.5 * (count * LOG_TWO_PI + logProduct + q),
    slope: restricted ? -0.5 * (weightSum - share - fall) : -0.5 * (weightSum - fall),
    information: restricted ? 0.5 * (squares - (2 * cubes) / weightSum + share * share) : 0.5 * squares,
  };
}

const LOG_TWO_PI = Math.log(2 * Math.PI);
