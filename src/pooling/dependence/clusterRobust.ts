import { EigenvalueDecomposition, inverse, Matrix } from 'ml-matrix';
import type { Estimate } from '../../effects/estimate.ts';
import { studentTQuantile, studentTUpperTail } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { Caution } from '../caution.ts';
import { checkEstimates } from '../checkEstimates.ts';
import { naturalSummary } from '../naturalSummary.ts';
import type { NaturalSummary } from '../pooledResult.ts';
import type { VarianceComponents } from './restrictedLikelihood.ts';
import { type CovarianceWithinStudy, studyClusters } from './studyClusters.ts';

export interface ClusterRobustOptions {
  /** Working variances; they set the weights, and the result stays valid when they are wrong. */
  readonly working: VarianceComponents;
  /** Working sampling covariance of two estimates of one study: a function or one correlation; default 0. */
  readonly covarianceWithinStudy?: CovarianceWithinStudy | number;
  readonly level?: number;
}

/** A pooled mean whose interval does not rest on how the estimates of one study depend on each other. */
export interface ClusterRobustMean {
  readonly kind: 'cluster-robust-mean';
  readonly options: {
    readonly working: VarianceComponents;
    readonly covarianceWithinStudy: number | 'given pair by pair';
    readonly level: number;
  };
  readonly studies: number;
  readonly estimates: readonly Estimate[];
  readonly mean: { readonly value: number; readonly standardError: number; readonly interval: Interval };
  /** Satterthwaite degrees of freedom; below 4 the interval itself is not to be trusted. */
  readonly degreesOfFreedom: number;
  /** Two-sided p of a mean of zero on the analysis scale. */
  readonly pValue: number;
  readonly natural: NaturalSummary | undefined;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/**
 * How sure is the mean if I do not trust the correlation assumed within studies?
 *
 * Weights W = Φ⁻¹ from a working covariance Φ; the variance of the mean comes from the residuals of whole studies,
 * adjusted so that it would be unbiased if Φ were right (the bias-reduced form): each study's residuals e are
 * multiplied by A = Φ^½ [Φ^½ (Φ − 1M1ᵀ) Φ^½]^(−½) Φ^½ with M = (1ᵀW1)⁻¹. Student's t with Satterthwaite degrees of
 * freedom.
 *
 * @param estimates all on one scale, from at least two studies.
 * @throws RangeError for too few studies, mixed scales, negative working variances or a level outside (0, 1).
 * @see Bell RM, McCaffrey DF. Surv Methodol 2002;28:169-181. Tipton E. Psychol Methods 2015;20:375-393,
 *   equations 6 to 12.
 * @example
 * clusterRobustMean(estimates, { working: fitThreeLevel(estimates).components, covarianceWithinStudy: 0.6 })
 */
export function clusterRobustMean(
  estimates: readonly Estimate[],
  options: ClusterRobustOptions,
): ClusterRobustMean {
  const level = options.level ?? 0.95;
  if (!(typeof level === 'number' && level > 0 && level < 1))
    throw new RangeError(`level must lie between 0 and 1, received ${level}`);
  for (const [name, value] of Object.entries(options.working)) {
    if (!(typeof value === 'number' && value >= 0))
      throw new RangeError(`working.${name} must not be negative, received ${value}`);
  }
  const mixed = estimates.find(({ scale }) => scale !== estimates[0]!.scale);
  if (mixed) {
    throw new RangeError(
      `estimates must be on one scale, received ${estimates[0]!.scale} and ${mixed.scale}`,
    );
  }
  checkEstimates(estimates, undefined);
  const covariance = options.covarianceWithinStudy ?? 0;
  const clusters = estimates.length > 0 ? studyClusters(estimates, covariance) : [];
  if (clusters.length < 2) {
    throw new RangeError(`estimates must come from at least 2 studies, received ${clusters.length}`);
  }

  const parts = clusters.map((cluster) => {
    const size = cluster.values.length;
    const phi = new Matrix(size, size);
    for (let row = 0; row < size; row++) {
      for (let column = 0; column < size; column++) {
        phi.set(
          row,
          column,
          cluster.covariance[row * size + column]! +
            options.working.betweenStudies +
            (row === column ? options.working.withinStudies : 0),
        );
      }
    }
    const ones = Matrix.ones(size, 1);
    const sums = inverse(phi).mmul(ones);
    return { values: cluster.values, size, phi, ones, sums, total: sums.sum() };
  });
  const weight = parts.reduce((sum, { total }) => sum + total, 0);
  const centre = parts[0]!.values[0]!;
  const shiftedMean =
    parts.reduce(
      (sum, { values, sums }) =>
        sum + values.reduce((inner, value, row) => inner + sums.get(row, 0) * (value - centre), 0),
      0,
    ) / weight;

  // g = A W 1 for each study: what its residuals are multiplied by in the sandwich.
  const adjusted = parts.map(({ phi, ones, sums }) => {
    const root = symmetricPower(phi, 0.5);
    const middle = root.mmul(Matrix.sub(phi, ones.mmul(ones.transpose()).mul(1 / weight))).mmul(root);
    return root.mmul(symmetricPower(middle, -0.5)).mmul(root).mmul(sums);
  });
  const meat = parts.reduce((sum, { values }, index) => {
    const total = values.reduce(
      (inner, value, row) => inner + adjusted[index]!.get(row, 0) * (value - centre - shiftedMean),
      0,
    );
    return sum + total ** 2;
  }, 0);
  const standardError = Math.sqrt(meat) / weight;

  // Under Φ the sandwich is a sum of squares of jointly normal terms with covariance
  // cov(i, j) = [i = j] gᵢᵀΦᵢgᵢ − (gᵢᵀ1)(gⱼᵀ1)/weight; Satterthwaite matches its first two moments.
  const own = parts.map(({ phi }, index) =>
    adjusted[index]!.transpose().mmul(phi).mmul(adjusted[index]!).get(0, 0),
  );
  const crossed = adjusted.map((vector) => vector.sum());
  let trace = 0;
  let squares = 0;
  for (let i = 0; i < parts.length; i++) {
    for (let j = 0; j < parts.length; j++) {
      const entry = (i === j ? own[i]! : 0) - (crossed[i]! * crossed[j]!) / weight;
      if (i === j) trace += entry;
      squares += entry * entry;
    }
  }
  const degreesOfFreedom = trace ** 2 / squares;

  const value = centre + shiftedMean;
  const halfWidth = studentTQuantile(1 - (1 - level) / 2, degreesOfFreedom) * standardError;
  const interval: Interval = { lower: value - halfWidth, upper: value + halfWidth, level };
  const cautions: Caution[] = [];
  if (degreesOfFreedom < 4) {
    cautions.push({
      code: 'few-degrees-of-freedom',
      message: `Only ${degreesOfFreedom.toFixed(1)} effective degrees of freedom: the robust interval is unreliable below 4.`,
    });
  }
  return {
    kind: 'cluster-robust-mean',
    options: {
      working: options.working,
      covarianceWithinStudy: typeof covariance === 'number' ? covariance : 'given pair by pair',
      level,
    },
    studies: clusters.length,
    estimates,
    mean: { value, standardError, interval },
    degreesOfFreedom,
    pValue:
      standardError > 0
        ? 2 * studentTUpperTail(Math.abs(value) / standardError, degreesOfFreedom)
        : value === 0
          ? 1
          : 0,
    natural: naturalSummary(estimates[0]!.scale, value, interval, undefined, undefined),
    cautions,
    methodsSentence: `The interval of the mean is robust to dependence among estimates of one study (bias-reduced sandwich variance over ${clusters.length} studies, Student's t with ${degreesOfFreedom.toFixed(1)} Satterthwaite degrees of freedom).`,
  };
}

/**
 * A real power of a symmetric positive semidefinite matrix through its eigenvalues. Directions whose eigenvalue is
 * zero to rounding (a study that carries all the weight) are left out, as in the Moore-Penrose inverse.
 */
export function symmetricPower(matrix: Matrix, power: number): Matrix {
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(matrix, {
    assumeSymmetric: true,
  });
  const floor = 1e-14 * Math.max(...realEigenvalues);
  const scaled = Matrix.diag(
    realEigenvalues.map((eigenvalue) => (eigenvalue > floor ? eigenvalue ** power : 0)),
  );
  return eigenvectorMatrix.mmul(scaled).mmul(eigenvectorMatrix.transpose());
}
