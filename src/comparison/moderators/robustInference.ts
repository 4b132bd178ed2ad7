import type { Interval } from '../../numerics/interval.ts';
import { studyClusters } from '../../pooling/dependence/studyClusters.ts';
import { contrastJudge, jointJudge, robustCovariance, type WorkingModel } from './clusteredContrasts.ts';
import type { DesignMatrix, RegressionTerm } from './designMatrix.ts';
import { covariateTerms } from './jointTests.ts';
import type { JointTest, RegressionCoefficient } from './metaRegression.ts';
import type { RegressionSample } from './regressionSample.ts';
import type { WeightedRegression } from './weightedRegression.ts';

/**
 * How sure are the coefficients of a meta-regression when one study gives several rows?
 *
 * The fit's own weights `1 / (v + τ²)` are the working model; the errors are those of {@link contrastJudge}, the joint tests
 * those of {@link jointJudge}. A covariate whose joint test has no answer is left out of them.
 */
export function robustInference(
  design: DesignMatrix,
  sample: RegressionSample,
  weighted: WeightedRegression,
  level: number,
): {
  readonly coefficients: RegressionCoefficient[];
  readonly covariance: number[][];
  readonly jointTests: JointTest[];
} {
  const clusters = clustersOf(design);
  const working = workingModel(sample, clusters, weighted);
  const judge = contrastJudge(sample, clusters, working, 'cluster-robust', level);
  const joint = jointJudge(sample, clusters, working);
  const unit = (position: number): Float64Array =>
    Float64Array.from({ length: sample.width }, (_, index) => (index === position ? 1 : 0));
  const named: RegressionTerm[] = [
    { id: 'intercept', covariate: 'intercept', name: 'Intercept' },
    ...design.terms,
  ];
  return {
    coefficients: named.map((term, position): RegressionCoefficient => {
      const judged = judge(unit(position));
      const statistic = judged.standardError > 0 ? judged.value / judged.standardError : 0;
      return { ...term, statistic, ...judged };
    }),
    covariance: robustCovariance(
      sample,
      clusters,
      working,
      named.map((_, position) => unit(position)),
    ),
    jointTests: covariateTerms(design.terms).flatMap(({ covariate, positions }) => {
      const test = joint(positions.map(unit));
      return test ? [{ covariate, ...test }] : [];
    }),
  };
}

/** The same for one combination of the coefficients, such as a value to be predicted. */
export function robustContrast(
  design: DesignMatrix,
  sample: RegressionSample,
  weighted: WeightedRegression,
  level: number,
  weights: Float64Array,
): { readonly standardError: number; readonly interval: Interval } {
  const clusters = clustersOf(design);
  return contrastJudge(
    sample,
    clusters,
    workingModel(sample, clusters, weighted),
    'cluster-robust',
    level,
  )(weights);
}

type Clusters = ReturnType<typeof studyClusters>;

const clustersOf = (design: DesignMatrix): Clusters =>
  studyClusters(
    design.rows.map(({ estimate }) => estimate),
    0,
  );

function workingModel(
  sample: RegressionSample,
  clusters: Clusters,
  { coefficients, inverse, betweenStudyVariance }: WeightedRegression,
): WorkingModel {
  return {
    coefficients,
    inverse,
    weights: clusters.map(({ positions }) => {
      const size = positions.length;
      const weights = new Float64Array(size * size);
      for (const [row, position] of positions.entries())
        weights[row * (size + 1)] = 1 / (sample.variances[position]! + betweenStudyVariance);
      return weights;
    }),
  };
}
