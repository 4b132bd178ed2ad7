import { EigenvalueDecomposition, inverse, Matrix } from 'ml-matrix';
import { symmetricPower } from '../../pooling/dependence/clusterRobust.ts';
import type { StudyCluster } from '../../pooling/dependence/studyClusters.ts';
import type { ArmDependence, RegressionContrast } from './armRegression.ts';
import type { ClusteredPoint } from './clusteredLikelihood.ts';
import { fUpperTail } from './jointTests.ts';
import type { JointTest } from './metaRegression.ts';
import { reachOf, twoSided } from './regressionInference.ts';
import type { RegressionSample } from './regressionSample.ts';

/** Coefficients on the basis with the covariance of the rows they were found with, study by study. */
export type WorkingModel = Pick<ClusteredPoint, 'coefficients' | 'inverse' | 'weights'>;

/** Judges any linear combination of the coefficients: `weights` as they multiply the model's columns. */
export type ContrastJudge = (weights: Float64Array) => RegressionContrast;

/**
 * How sure is a linear combination of coefficients when arms of one study are alike?
 *
 * Three-level: variance `cᵀ(XᵀΩ⁻¹X)⁻¹c`, Student's t with studies - p degrees of freedom. Cluster-robust: the
 * bias-reduced sandwich over whole studies with working covariance Ω, each study's residuals e multiplied by
 * `A = Ω^½ [Ω^½ (Ω - X M Xᵀ) Ω^½]^(-½) Ω^½`, `M = (XᵀΩ⁻¹X)⁻¹`; Student's t with Satterthwaite degrees of freedom,
 * which differ from one combination to another. A combination that one study alone tells (a level no other study has) leaves
 * that study no residual to be judged by: the sandwich would take it as certain, so that the model's own variance with
 * studies - p degrees of freedom is given and marked `fromModel`.
 *
 * Source: Bell RM, McCaffrey DF, Surv Methodol 2002;28:169-181; Hedges LV, Tipton E, Johnson MC, Res Synth Methods
 * 2010;1:39-65; Tipton E, Psychol Methods 2015;20:375-393.
 */
export function contrastJudge(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  point: WorkingModel,
  dependence: ArmDependence,
  level: number,
): ContrastJudge {
  const spread =
    dependence === 'three-level'
      ? modelSpread(sample, clusters, point)
      : robustSpread(sample, clusters, point);
  return (weights) => {
    const onBasis = toBasis(sample, weights);
    let value = weights[0]! * sample.centre;
    for (let i = 0; i < sample.width; i++) value += onBasis[i]! * point.coefficients[i]!;
    const { standardError, degreesOfFreedom, fromModel } = spread(onBasis);
    const reach = reachOf(level, degreesOfFreedom) * standardError;
    return {
      value,
      standardError,
      degreesOfFreedom,
      pValue: standardError > 0 ? twoSided(value / standardError, degreesOfFreedom) : value === 0 ? 1 : 0,
      interval: { lower: value - reach, upper: value + reach, level },
      ...(fromModel ? { fromModel } : {}),
    };
  };
}

interface Spread {
  readonly standardError: number;
  readonly degreesOfFreedom: number;
  readonly fromModel?: true;
}

/** `R⁻ᵀc`: the combination in terms of the coefficients on the basis. */
function toBasis({ width, back }: RegressionSample, weights: Float64Array): Float64Array {
  const onBasis = new Float64Array(width);
  for (let j = 0; j < width; j++) {
    for (let i = 0; i <= j; i++) onBasis[j]! += back[i * width + j]! * weights[i]!;
  }
  return onBasis;
}

function modelSpread(
  { width }: RegressionSample,
  clusters: readonly StudyCluster[],
  point: WorkingModel,
): (onBasis: Float64Array) => Spread {
  return (onBasis) => {
    let variance = 0;
    for (let i = 0; i < width; i++) {
      for (let j = 0; j < width; j++) variance += onBasis[i]! * point.inverse[i * width + j]! * onBasis[j]!;
    }
    return { standardError: Math.sqrt(variance), degreesOfFreedom: clusters.length - width };
  };
}

/** What the sandwich is made of: (BᵀΩ⁻¹B)⁻¹, and study by study its columns, Ω, residuals and A Ω⁻¹ B M. */
function sandwich(sample: RegressionSample, clusters: readonly StudyCluster[], point: WorkingModel) {
  const { width, basis, distances } = sample;
  const meat = new Matrix(toRows(point.inverse, width));
  const parts = clusters.map(({ positions }, index) => {
    const columns = new Matrix(
      positions.map((position) => [...basis.subarray(position * width, (position + 1) * width)]),
    );
    const weight = new Matrix(toRows(point.weights[index]!, positions.length));
    const covariance = inverse(weight);
    const root = symmetricPower(covariance, 0.5);
    const free = Matrix.sub(covariance, columns.mmul(meat).mmul(columns.transpose()));
    const adjust = root.mmul(symmetricPower(root.mmul(free).mmul(root), -0.5)).mmul(root);
    const residuals = positions.map((position) => {
      let residual = distances[position]!;
      for (let i = 0; i < width; i++) residual -= basis[position * width + i]! * point.coefficients[i]!;
      return residual;
    });
    // A Ω⁻¹ B M: what a combination is multiplied by to weigh the study's residuals.
    return { columns, covariance, reach: adjust.mmul(weight).mmul(columns).mmul(meat), residuals };
  });
  return { meat, parts };
}

/** A combination seen from each study: its term of the sandwich, and what its covariance with other terms is made of. */
function termsOf({ meat, parts }: ReturnType<typeof sandwich>, onBasis: ArrayLike<number>) {
  const combination = Matrix.columnVector(Array.from(onBasis));
  return parts.map(({ columns, covariance, reach, residuals }) => {
    const column = reach.mmul(combination);
    const crossed = columns.transpose().mmul(column);
    return {
      term: column.to1DArray().reduce((sum, entry, row) => sum + entry * residuals[row]!, 0),
      column,
      covered: covariance.mmul(column),
      crossed: crossed.to1DArray(),
      carried: meat.mmul(crossed).to1DArray(),
    };
  });
}

type Terms = ReturnType<typeof termsOf>;

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, entry, index) => sum + entry * b[index]!, 0);

/** Covariance, under the working model, of study i's term of one combination with study j's term of another. */
const covarianceOf = (one: Terms, i: number, other: Terms, j: number): number =>
  (i === j ? dot(one[i]!.column.to1DArray(), other[i]!.covered.to1DArray()) : 0) -
  dot(one[i]!.crossed, other[j]!.carried);

function robustSpread(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  point: WorkingModel,
): (onBasis: Float64Array) => Spread {
  const made = sandwich(sample, clusters, point);
  const byModel = modelSpread(sample, clusters, point);
  return (onBasis) => {
    const terms = termsOf(made, onBasis);
    const model = byModel(onBasis);
    let trace = 0;
    let squares = 0;
    for (let i = 0; i < terms.length; i++) {
      for (let j = 0; j < terms.length; j++) {
        const entry = covarianceOf(terms, i, terms, j);
        if (i === j) trace += entry;
        squares += entry * entry;
      }
    }
    // The adjusted sandwich is unbiased under the model unless a study has no residual left.
    if (trace < (1 - 1e-6) * model.standardError ** 2) return { ...model, fromModel: true };
    const square = terms.reduce((sum, { term }) => sum + term * term, 0);
    return { standardError: Math.sqrt(square), degreesOfFreedom: (trace * trace) / squares };
  };
}

/**
 * Do several combinations differ from zero together, when rows of one study are alike?
 *
 * `Q = (Cβ)ᵀ D⁻¹ (Cβ)` with D the bias-reduced sandwich of the q combinations; `(η - q + 1) / (η q) Q` is taken as F with q
 * and η - q + 1 degrees of freedom, `η = q (q + 1) / Σ Var(dₛₜ)` from the variances of the entries of D brought to unit
 * matrix under the working model (Hotelling's T² approximated).
 *
 * @returns a function of the combinations, as they multiply the model's columns; undefined where η is too small, or where one
 *   study alone tells a combination
 *
 * Source: Tipton E, Pustejovsky JE, J Educ Behav Stat 2015;40:604-634, section on the AHT test with η_Z.
 */
export function jointJudge(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  point: WorkingModel,
): (combinations: readonly Float64Array[]) => Omit<JointTest, 'covariate'> | undefined {
  const made = sandwich(sample, clusters, point);
  return (combinations) => {
    const onBasis = new Matrix(combinations.map((weights) => [...toBasis(sample, weights)]));
    const model = onBasis.mmul(made.meat).mmul(onBasis.transpose());
    // Rows that the model holds as independent and of unit variance.
    const unit = inverseRoot(model)?.mmul(onBasis);
    if (!unit) return undefined;
    const numerator = combinations.length;
    const terms = unit.to2DArray().map((row) => termsOf(made, row));
    const entry = (s: number, t: number): number =>
      terms[s]!.reduce((sum, { term }, study) => sum + term * terms[t]![study]!.term, 0);
    const sandwiched = new Matrix(terms.map((_, s) => terms.map((__, t) => entry(s, t))));
    let variances = 0;
    const studies = clusters.length;
    for (let s = 0; s < numerator; s++) {
      let trace = 0;
      for (let i = 0; i < studies; i++) trace += covarianceOf(terms[s]!, i, terms[s]!, i);
      if (trace < 1 - 1e-6) return undefined;
      for (let t = 0; t < numerator; t++) {
        for (let i = 0; i < studies; i++) {
          for (let j = 0; j < studies; j++) {
            variances +=
              covarianceOf(terms[s]!, i, terms[s]!, j) * covarianceOf(terms[t]!, i, terms[t]!, j) +
              covarianceOf(terms[s]!, i, terms[t]!, j) * covarianceOf(terms[t]!, i, terms[s]!, j);
          }
        }
      }
    }
    const eta = (numerator * (numerator + 1)) / variances;
    const denominator = eta - numerator + 1;
    const half = inverseRoot(sandwiched);
    if (!half || !(denominator > 1e-3)) return undefined;
    const values = half.mmul(unit.mmul(Matrix.columnVector([...point.coefficients]))).to1DArray();
    const statistic = (denominator / (eta * numerator)) * dot(values, values);
    return {
      statistic,
      distribution: 'F',
      numerator,
      denominator,
      pValue: fUpperTail(statistic, numerator, denominator),
    };
  };
}

/** The sandwich of several combinations: the sum over studies of products of their terms. */
export function robustCovariance(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  point: WorkingModel,
  combinations: readonly Float64Array[],
): number[][] {
  const made = sandwich(sample, clusters, point);
  const terms = combinations.map((weights) => termsOf(made, toBasis(sample, weights)));
  return terms.map((one) =>
    terms.map((other) => one.reduce((sum, { term }, study) => sum + term * other[study]!.term, 0)),
  );
}

/** M^(-½) of a covariance; undefined where it is singular. */
function inverseRoot(matrix: Matrix): Matrix | undefined {
  const { realEigenvalues } = new EigenvalueDecomposition(matrix, { assumeSymmetric: true });
  const largest = Math.max(...realEigenvalues);
  return Math.min(...realEigenvalues) > 1e-12 * largest ? symmetricPower(matrix, -0.5) : undefined;
}

const toRows = (matrix: Float64Array, width: number): number[][] =>
  Array.from({ length: width }, (_, row) => [...matrix.subarray(row * width, (row + 1) * width)]);
