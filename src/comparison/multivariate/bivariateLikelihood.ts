import type { BivariateUnit } from './bivariateUnits.ts';

/** Between-study variances of both outcomes and their covariance. */
export type BetweenStudies = readonly [first: number, covariance: number, second: number];

/** Everything a search needs at one between-study covariance. */
export interface BivariatePoint {
  readonly between: BetweenStudies;
  readonly means: readonly [number, number];
  /** Covariance of the means: first, covariance, second. */
  readonly covariance: readonly [number, number, number];
  readonly logLikelihood: number;
  /** Slopes in first variance, covariance, second variance. */
  readonly score: readonly [number, number, number];
  /** ½ tr(Ω⁻¹DΩ⁻¹D'), without allowance for the means: a metric for steps, row by row. */
  readonly metric: readonly number[];
  /** Weighted residual squares. */
  readonly q: number;
}

/** Values and sampling covariances laid out for arithmetic. */
export interface BivariateData {
  readonly values: readonly (readonly [number | undefined, number | undefined])[];
  readonly variances: readonly (readonly [number, number, number])[];
  readonly count: number;
}

/** @param correlation of the sampling errors of one arm's two outcomes */
export function bivariateData(units: readonly BivariateUnit[], correlation: number): BivariateData {
  return {
    values: units.map(({ first, second }) => [first?.value, second?.value] as const),
    variances: units.map(({ first, second }) => {
      const one = first?.variance ?? 0;
      const two = second?.variance ?? 0;
      return [one, correlation * Math.sqrt(one * two), two] as const;
    }),
    count: units.reduce((sum, { first, second }) => sum + (first ? 1 : 0) + (second ? 1 : 0), 0),
  };
}

/** Inverse of a symmetric 2 × 2 matrix, zero in the rows and columns not observed. */
type Symmetric = readonly [number, number, number];

function inverseObserved(
  [a, b, c]: Symmetric,
  one: boolean,
  two: boolean,
): { inverse: Symmetric; log: number } {
  if (!two) return { inverse: [1 / a, 0, 0], log: Math.log(a) };
  if (!one) return { inverse: [0, 0, 1 / c], log: Math.log(c) };
  const determinant = a * c - b * b;
  return { inverse: [c / determinant, -b / determinant, a / determinant], log: Math.log(determinant) };
}

/**
 * How likely is this covariance between studies, and which way is up?
 *
 * Unit i has `yᵢ = μ + uᵢ + eᵢ`, `Ωᵢ = Vᵢ + Ψ` over the outcomes it reports. Restricted log-likelihood
 * `-½ [Σ ln|Ωᵢ| + ln|ΣΩᵢ⁻¹| + Σ rᵢᵀΩᵢ⁻¹rᵢ]`; slopes `-½ [tr PD - yᵀPDPy]`.
 *
 * Source: van Houwelingen HC, Arends LR, Stijnen T, Stat Med 2002;21:589-624, section 4; Jackson D, Riley R, White IR,
 * Stat Med 2011;30:2481-2498.
 */
export function bivariatePoint(
  data: BivariateData,
  between: BetweenStudies,
  restricted: boolean,
): BivariatePoint | undefined {
  const inverses: Symmetric[] = [];
  let logs = 0;
  const sum = [0, 0, 0];
  const right = [0, 0];
  for (const [i, [one, two]] of data.values.entries()) {
    const v = data.variances[i]!;
    const { inverse, log } = inverseObserved(
      [v[0] + between[0], v[1] + between[1], v[2] + between[2]],
      one !== undefined,
      two !== undefined,
    );
    if (!Number.isFinite(log)) return undefined;
    logs += log;
    inverses.push(inverse);
    const [y1, y2] = [one ?? 0, two ?? 0];
    for (let k = 0; k < 3; k++) sum[k]! += inverse[k]!;
    right[0]! += inverse[0] * y1 + inverse[1] * y2;
    right[1]! += inverse[1] * y1 + inverse[2] * y2;
  }
  const determinant = sum[0]! * sum[2]! - sum[1]! * sum[1]!;
  if (!(determinant > 0)) return undefined;
  const covariance: [number, number, number] = [
    sum[2]! / determinant,
    -sum[1]! / determinant,
    sum[0]! / determinant,
  ];
  const means: [number, number] = [
    covariance[0] * right[0]! + covariance[1] * right[1]!,
    covariance[1] * right[0]! + covariance[2] * right[1]!,
  ];
  const score: [number, number, number] = [0, 0, 0];
  const metric = new Array<number>(9).fill(0);
  // ΣΩ⁻¹DΩ⁻¹ for each direction, as symmetric triples.
  const carried = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  let q = 0;
  for (const [i, [one, two]] of data.values.entries()) {
    const [a, b, c] = inverses[i]!;
    const r1 = one === undefined ? 0 : one - means[0];
    const r2 = two === undefined ? 0 : two - means[1];
    const [w1, w2] = [a * r1 + b * r2, b * r1 + c * r2];
    q += r1 * w1 + r2 * w2;
    // Traces of Ω⁻¹D and quadratic forms (Ω⁻¹r)ᵀD(Ω⁻¹r), D = E11, E12 + E21, E22.
    const traces = [a, 2 * b, c];
    const forms = [w1 * w1, 2 * w1 * w2, w2 * w2];
    for (let k = 0; k < 3; k++) score[k]! += -0.5 * (traces[k]! - forms[k]!);
    const products = [
      [a * a, a * b, b * b],
      [2 * a * b, a * c + b * b, 2 * b * c],
      [b * b, b * c, c * c],
    ];
    for (let k = 0; k < 3; k++) {
      for (let m = 0; m < 3; m++) carried[k]![m]! += products[k]![m]!;
      metric[k * 3]! += 0.5 * products[k]![0]!;
      metric[k * 3 + 1]! += products[k]![1]!;
      metric[k * 3 + 2]! += 0.5 * products[k]![2]!;
    }
  }
  if (restricted) {
    for (let k = 0; k < 3; k++) {
      const [p, s, t] = carried[k]!;
      score[k]! += 0.5 * (covariance[0] * p! + 2 * covariance[1] * s! + covariance[2] * t!);
    }
  }
  return {
    between,
    means,
    covariance,
    logLikelihood: -0.5 * (logs + q + (restricted ? Math.log(determinant) : 0)),
    score,
    metric,
    q,
  };
}
