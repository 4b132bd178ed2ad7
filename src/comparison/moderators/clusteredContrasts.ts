import { inverse, Matrix } from 'ml-matrix';
import { symmetricPower } from '../../pooling/dependence/clusterRobust.ts';
import type { StudyCluster } from '../../pooling/dependence/studyClusters.ts';
import type { ArmDependence, RegressionContrast } from './armRegression.ts';
import type { ClusteredPoint } from './clusteredLikelihood.ts';
import { reachOf, twoSided } from './regressionInference.ts';
import type { RegressionSample } from './regressionSample.ts';

/** Judges any linear combination of the coefficients: `weights` as they multiply the model's columns. */
export type ContrastJudge = (weights: Float64Array) => RegressionContrast;

/**
 * How sure is a linear combination of coefficients when arms of one study are alike?
 *
 * Three-level: variance `cᵀ(XᵀΩ⁻¹X)⁻¹c`, Student's t with studies - p degrees of freedom. Cluster-robust: the
 * bias-reduced sandwich over whole studies with working covariance Ω, each study's residuals e multiplied by
 * `A = Ω^½ [Ω^½ (Ω - X M Xᵀ) Ω^½]^(-½) Ω^½`, `M = (XᵀΩ⁻¹X)⁻¹`; Student's t with Satterthwaite degrees of freedom,
 * which differ from one combination to another.
 *
 * Source: Bell RM, McCaffrey DF, Surv Methodol 2002;28:169-181; Tipton E, Psychol Methods 2015;20:375-393.
 */
export function contrastJudge(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  point: ClusteredPoint,
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
    const { standardError, degreesOfFreedom } = spread(onBasis);
    const reach = reachOf(level, degreesOfFreedom) * standardError;
    return {
      value,
      standardError,
      degreesOfFreedom,
      pValue: standardError > 0 ? twoSided(value / standardError, degreesOfFreedom) : value === 0 ? 1 : 0,
      interval: { lower: value - reach, upper: value + reach, level },
    };
  };
}

interface Spread {
  readonly standardError: number;
  readonly degreesOfFreedom: number;
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
  point: ClusteredPoint,
): (onBasis: Float64Array) => Spread {
  return (onBasis) => {
    let variance = 0;
    for (let i = 0; i < width; i++) {
      for (let j = 0; j < width; j++) variance += onBasis[i]! * point.inverse[i * width + j]! * onBasis[j]!;
    }
    return { standardError: Math.sqrt(variance), degreesOfFreedom: clusters.length - width };
  };
}

function robustSpread(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  point: ClusteredPoint,
): (onBasis: Float64Array) => Spread {
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
  return (onBasis) => {
    const combination = Matrix.columnVector([...onBasis]);
    let square = 0;
    const vectors = parts.map(({ columns, covariance, reach, residuals }) => {
      const vector = reach.mmul(combination).to1DArray();
      square += vector.reduce((sum, entry, row) => sum + entry * residuals[row]!, 0) ** 2;
      const column = Matrix.columnVector(vector);
      return {
        own: column.transpose().mmul(covariance).mmul(column).get(0, 0),
        crossed: columns.transpose().mmul(column),
      };
    });
    let trace = 0;
    let squares = 0;
    const carried = vectors.map(({ crossed }) => meat.mmul(crossed).to1DArray());
    for (const [i, { own, crossed }] of vectors.entries()) {
      const here = crossed.to1DArray();
      for (let j = 0; j < vectors.length; j++) {
        const shared = here.reduce((sum, entry, row) => sum + entry * carried[j]![row]!, 0);
        const entry = (i === j ? own : 0) - shared;
        if (i === j) trace += entry;
        squares += entry * entry;
      }
    }
    return { standardError: Math.sqrt(square), degreesOfFreedom: (trace * trace) / squares };
  };
}

const toRows = (matrix: Float64Array, width: number): number[][] =>
  Array.from({ length: width }, (_, row) => [...matrix.subarray(row * width, (row + 1) * width)]);
