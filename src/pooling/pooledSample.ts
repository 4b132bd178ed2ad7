/**
 * Values and variances laid out for arithmetic.
 *
 * Values are held as distances from the most precise study's value. The pooled mean lies near that study
 * whatever the between-study variance, so squares of small distances are never lost beside a large common
 * offset.
 */
export interface PooledSample {
  readonly count: number;
  /** Value of the most precise study. */
  readonly centre: number;
  /** Values less `centre`. */
  readonly distances: Float64Array;
  readonly variances: Float64Array;
  /** Position of the most precise study. */
  readonly mostPrecise: number;
  /** Room for the weights of the mean being computed, so that each is divided out once only. */
  readonly scratch: Float64Array;
}

/** Lays out values and variances of one or more studies. Takes both arrays over: `values` becomes distances. */
export function pooledSample(values: Float64Array, variances: Float64Array): PooledSample {
  const count = values.length;
  let mostPrecise = 0;
  let least = variances[0]!;
  for (let i = 1; i < count; i++) {
    const variance = variances[i]!;
    if (variance < least) {
      least = variance;
      mostPrecise = i;
    }
  }
  const centre = values[mostPrecise]!;
  for (let i = 0; i < count; i++) values[i] = values[i]! - centre;
  return { count, centre, distances: values, variances, mostPrecise, scratch: new Float64Array(count) };
}

/** The inverse-variance mean at one between-study variance, and the scatter around it. */
export interface WeightedMean {
  readonly betweenStudyVariance: number;
  /** Mean less the sample's centre. */
  readonly distance: number;
  /** Sum of the weights 1 / (variance + between-study variance). */
  readonly weightSum: number;
  /** Sum of the squared weights. */
  readonly squareSum: number;
  /** Generalised Q: weighted squared distances from the mean. */
  readonly q: number;
  /** Minus the slope of Q in the between-study variance: squared-weight squared distances. */
  readonly fall: number;
}

/**
 * Where do the studies centre, given a between-study variance, and how far do they scatter?
 *
 * `w = 1 / (v + τ²)`, `μ = Σ w y / Σ w`, `Q(τ²) = Σ w (y - μ)²`, `-dQ/dτ² = Σ w² (y - μ)²`.
 *
 * Source: DerSimonian R, Kacker R, Contemp Clin Trials 2007;28:105-114, section 2.
 */
export function weightedMean(sample: PooledSample, betweenStudyVariance: number): WeightedMean {
  const { count, distances, variances, scratch } = sample;
  let weightSum = 0;
  let weighted = 0;
  let otherWeightSum = 0;
  let otherWeighted = 0;
  const even = count & ~1;
  // Two sums side by side: one addition need not wait for the last, which is most of the time of these loops.
  for (let i = 0; i < even; i += 2) {
    const weight = 1 / (variances[i]! + betweenStudyVariance);
    const otherWeight = 1 / (variances[i + 1]! + betweenStudyVariance);
    scratch[i] = weight;
    scratch[i + 1] = otherWeight;
    weightSum += weight;
    otherWeightSum += otherWeight;
    weighted += weight * distances[i]!;
    otherWeighted += otherWeight * distances[i + 1]!;
  }
  if (even < count) {
    const weight = 1 / (variances[even]! + betweenStudyVariance);
    scratch[even] = weight;
    weightSum += weight;
    weighted += weight * distances[even]!;
  }
  weightSum += otherWeightSum;
  weighted += otherWeighted;
  const distance = weighted / weightSum;
  let q = 0;
  let fall = 0;
  let otherQ = 0;
  let otherFall = 0;
  let squareSum = 0;
  let otherSquareSum = 0;
  for (let i = 0; i < even; i += 2) {
    const weight = scratch[i]!;
    const residual = distances[i]! - distance;
    const contribution = weight * residual * residual;
    q += contribution;
    fall += weight * contribution;
    squareSum += weight * weight;
    const otherWeight = scratch[i + 1]!;
    const otherResidual = distances[i + 1]! - distance;
    const otherContribution = otherWeight * otherResidual * otherResidual;
    otherQ += otherContribution;
    otherFall += otherWeight * otherContribution;
    otherSquareSum += otherWeight * otherWeight;
  }
  if (even < count) {
    const weight = scratch[even]!;
    const residual = distances[even]! - distance;
    q += weight * residual * residual;
    fall += weight * weight * residual * residual;
    squareSum += weight * weight;
  }
  return {
    betweenStudyVariance,
    distance,
    weightSum,
    squareSum: squareSum + otherSquareSum,
    q: q + otherQ,
    fall: fall + otherFall,
  };
}
