import { checkEstimates } from '../../pooling/checkEstimates.ts';
import type { Covariate, RegressionRow } from './covariate.ts';
import { type DesignMatrix, designMatrix } from './designMatrix.ts';
import { jointTests } from './jointTests.ts';
import type {
  MetaRegression,
  MetaRegressionOptions,
  RegressionFit,
  RegressionPoint,
  ResolvedMetaRegressionOptions,
} from './metaRegression.ts';
import { regressionCautions, tooFewRows } from './regressionCautions.ts';
import { inferenceOf, type RegressionInference, regressionCoefficients } from './regressionInference.ts';
import { resolveRegressionOptions } from './regressionOptions.ts';
import { type RegressionSample, regressionSample } from './regressionSample.ts';
import { regressionSentence } from './regressionSentence.ts';
import { residualHeterogeneity } from './residualHeterogeneity.ts';
import { residualVarianceEstimators } from './residualVariance.ts';
import { robustInference } from './robustInference.ts';
import { type WeightedRegression, weightedRegression } from './weightedRegression.ts';

/**
 * Which features of the studies go with their results, and how much of the difference between studies is left?
 *
 * Mixed-effects meta-regression: `y = Xβ + u + e`, u with residual variance τ², e with the known sampling variances;
 * weights `1 / (v + τ²)`. Tests by Wald (normal), Knapp-Hartung (Student's t with k - p degrees of freedom, variance
 * scaled by `Q(τ²) / (k - p)`) or the same never scaled below one. Where one study gives several rows they are not
 * independent: standard errors are then the bias-reduced sandwich over studies, with Student's t and Satterthwaite degrees of
 * freedom ({@link contrastJudge}). Without covariates, and one row a study, it is the pool itself.
 *
 * @param rows estimates on one scale with their covariates; a row with one not reported is left out and listed
 * @param covariates the order decides which of two that say the same is kept
 * @param options see {@link MetaRegressionOptions}
 * @returns coefficients, joint tests, residual heterogeneity, leverage; `fit` undefined with a caution when there are
 *   no more rows than columns, or fewer studies than the rule `refuse` asks for
 * @throws RangeError for misuse: unknown options, mixed scales, values of the wrong kind
 *
 * Source: Berkey CS et al., Stat Med 1995;14:395-411; Knapp G, Hartung J, Stat Med 2003;22:2693-2710; Cochrane
 * Handbook for Systematic Reviews of Interventions, version 6.5, section 10.11.4 (ten studies for each covariate); Hedges LV,
 * Tipton E, Johnson MC, Res Synth Methods 2010;1:39-65 (rows of one study).
 *
 * @example
 * fitMetaRegression(rows, [{ id: 'age', name: 'Mean age', kind: 'continuous', unit: 'year' }]).fit?.coefficients
 */
export function fitMetaRegression(
  rows: readonly RegressionRow[],
  covariates: readonly Covariate[],
  options: MetaRegressionOptions = {},
): MetaRegression {
  const scale = checkEstimates(
    rows.map(({ estimate }) => estimate),
    undefined,
  );
  const design = designMatrix(rows, covariates);
  const studies = new Set(design.rows.map(({ estimate }) => estimate.study)).size;
  const resolved = resolveRegressionOptions(options, studies < design.rows.length);
  const refusal = tooFewRows(design, studies, resolved);
  const fit = refusal ? undefined : fitDesign(design, resolved);
  return {
    kind: 'meta-regression',
    scale,
    options: resolved,
    covariates,
    references: design.references,
    studies,
    fit,
    leftOut: [...(options.leftOut ?? []), ...design.leftOut],
    dropped: design.dropped,
    cautions: [...(refusal ? [refusal] : []), ...regressionCautions(design, studies, resolved, fit)],
    methodsSentence: regressionSentence(resolved, covariates, design, studies, scale),
  };
}

/** The residual variance a model uses for its weights and tests. */
export function residualVarianceOf(
  sample: RegressionSample,
  common: WeightedRegression,
  { model, betweenStudyVariance }: Pick<ResolvedMetaRegressionOptions, 'model' | 'betweenStudyVariance'>,
): { readonly estimated: number; readonly used: number } {
  const estimated =
    typeof betweenStudyVariance === 'string'
      ? residualVarianceEstimators[betweenStudyVariance](sample, common)
      : betweenStudyVariance.given;
  return { estimated, used: model === 'common-effect' ? 0 : estimated };
}

function fitDesign(design: DesignMatrix, options: ResolvedMetaRegressionOptions): RegressionFit {
  const sample = regressionSample(design);
  const common = weightedRegression(sample, 0);
  const { estimated, used } = residualVarianceOf(sample, common, options);
  const weighted = used > 0 ? weightedRegression(sample, used) : common;
  const inference = inferenceOf(sample, weighted, options.test);
  const robust =
    options.test === 'cluster-robust' ? robustInference(design, sample, weighted, options.level) : undefined;
  const alone = regressionSample({ rows: design.rows, columns: design.columns.slice(0, 1) });
  const without = residualVarianceOf(alone, weightedRegression(alone, 0), options).estimated;
  return {
    ...(robust ?? {
      ...regressionCoefficients(sample, weighted, inference, design.terms, options.level),
      jointTests: jointTests(sample, weighted, inference, design.terms),
    }),
    degreesOfFreedom: inference.degreesOfFreedom,
    residual: residualHeterogeneity(sample, common, estimated, options.level),
    varianceWithoutCovariates: without,
    varianceExplained: without > 0 ? Math.max(0, 1 - estimated / without) : undefined,
    points: pointsOf(design, sample, weighted, inference),
  };
}

function pointsOf(
  design: DesignMatrix,
  sample: RegressionSample,
  weighted: WeightedRegression,
  { scaling }: RegressionInference,
): RegressionPoint[] {
  const { count, width, variances, basis } = sample;
  const weights = variances.map((variance) => 1 / (variance + weighted.betweenStudyVariance));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return Array.from({ length: count }, (_, row): RegressionPoint => {
    let reach = 0;
    for (let i = 0; i < width; i++) {
      for (let j = 0; j < width; j++)
        reach += basis[row * width + i]! * weighted.inverse[i * width + j]! * basis[row * width + j]!;
    }
    const leverage = Math.min(1, weights[row]! * reach);
    const residual = weighted.residuals[row]!;
    const free = 1 - leverage;
    // A row the fit must pass through has no residual to judge it by.
    const deviation = free > 1e-10 ? Math.sqrt((free * scaling) / weights[row]!) : undefined;
    const standardised = deviation !== undefined && deviation > 0 ? residual / deviation : undefined;
    return {
      ...design.rows[row]!,
      fitted: design.rows[row]!.estimate.value - residual,
      residual,
      standardisedResidual: standardised,
      leverage,
      cookDistance: standardised === undefined ? undefined : (standardised ** 2 * leverage) / (free * width),
      weight: weights[row]! / total,
    };
  });
}
