import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { Caution } from '../../pooling/caution.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';
import { type StudyCluster, studyClusters } from '../../pooling/dependence/studyClusters.ts';
import { levelText, scaleNames } from '../../pooling/methodsSentence.ts';
import { naturalSummary } from '../../pooling/naturalSummary.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { counted } from '../../wording/words.ts';
import {
  type ArmDependence,
  type ArmPrediction,
  type ArmProfile,
  type ArmRegression,
  type ArmRegressionFit,
  type ArmRegressionOptions,
  armDependences,
  type LevelContrast,
} from './armRegression.ts';
import { climbLikelihood } from './climbLikelihood.ts';
import { type ContrastJudge, contrastJudge } from './clusteredContrasts.ts';
import { clusteredPoint } from './clusteredLikelihood.ts';
import { type Covariate, levelName, type RegressionRow } from './covariate.ts';
import { type DesignMatrix, designMatrix, designVector } from './designMatrix.ts';
import { betweenStudyContrast } from './metaRegression.ts';
import { dataCautions, oneStudyTells } from './regressionCautions.ts';
import { reachOf } from './regressionInference.ts';
import { regressionSample } from './regressionSample.ts';

/**
 * How do sites compare when arms are made alike in age, cuff repair and whatever else was reported?
 *
 * `y = Xβ + u + w + e` over arms: u varies between studies, w between arms of one study (both by restricted maximum
 * likelihood), e is sampling error, independent between arms since no patient is in two. Standard errors are robust to
 * a wrong model of the likeness of arms, or come from the model on request. Comparisons within studies and between
 * them are used together: adjusting helps against what was reported, and against nothing else.
 *
 * @param rows arms' estimates on one scale with their covariates; a row with one not reported is left out and listed
 * @returns `fit` undefined with a caution when there are no more studies than columns
 * @throws RangeError for misuse: unknown options, mixed scales, values of the wrong kind
 *
 * Source: Konstantopoulos S, Res Synth Methods 2011;2:61-76; Tipton E, Pustejovsky JE, J Educ Behav Stat
 * 2015;40:604-634.
 *
 * @example
 * regressArms(rows, [siteCovariate, ageCovariate]).fit?.contrasts
 */
export function regressArms(
  rows: readonly RegressionRow[],
  covariates: readonly Covariate[],
  options: ArmRegressionOptions = {},
): ArmRegression {
  checkOptionNames(options, ['dependence', 'level', 'at', 'leftOut']);
  const dependence = checkChoice('dependence', options.dependence ?? 'cluster-robust', armDependences);
  const level = checkLevel(options.level ?? 0.95);
  const estimates = rows.map(({ estimate }) => estimate);
  const scale = checkEstimates(estimates, undefined);
  const design = designMatrix(rows, covariates);
  const clusters =
    design.rows.length === 0
      ? []
      : studyClusters(
          design.rows.map(({ estimate }) => estimate),
          0,
        );
  const enough = clusters.length > design.columns.length;
  const fit = enough
    ? fitArms(design, clusters, covariates, scale, dependence, level, options.at ?? [])
    : undefined;
  const cautions: Caution[] = dataCautions(design, true).filter(
    ({ code }) => code !== 'several-arms-of-one-study',
  );
  if (!enough) {
    cautions.unshift({
      code: 'too-few-rows',
      message: `Nothing is fitted: ${counted(clusters.length, 'study', 'studies')} cannot carry ${design.columns.length} coefficients.`,
    });
  } else if (design.terms.length > 0) {
    cautions.push({ code: 'between-study-contrast', message: betweenStudyContrast });
  }
  const rough = fit?.contrasts.filter(({ degreesOfFreedom }) => degreesOfFreedom < 4) ?? [];
  if (rough.length > 0) {
    cautions.push({
      code: 'few-degrees-of-freedom',
      message: `Fewer than 4 effective degrees of freedom, so that the interval is unreliable: ${rough.map(({ covariate, level: one, against }) => `${printedLevel(covariates, covariate, one)} against ${printedLevel(covariates, covariate, against)}`).join('; ')}.`,
    });
  }
  const alone = fit?.contrasts.filter(({ fromModel }) => fromModel) ?? [];
  if (alone.length > 0) {
    cautions.push(
      oneStudyTells(
        alone.map(
          ({ covariate, level: one, against }) =>
            `${printedLevel(covariates, covariate, one)} against ${printedLevel(covariates, covariate, against)}`,
        ),
      ),
    );
  }
  return {
    kind: 'arm-regression',
    scale,
    options: { dependence, level },
    covariates,
    references: design.references,
    studies: clusters.length,
    fit,
    leftOut: [...(options.leftOut ?? []), ...design.leftOut],
    dropped: design.dropped,
    cautions,
    methodsSentence: sentence(design, covariates, scale, dependence, level, clusters.length),
  };
}

function printedLevel(covariates: readonly Covariate[], id: string, level: string): string {
  const covariate = covariates.find((each) => each.id === id);
  return covariate?.kind === 'categorical' ? levelName(covariate, level) : level;
}

function fitArms(
  design: DesignMatrix,
  clusters: readonly StudyCluster[],
  covariates: readonly Covariate[],
  scale: AnalysisScale,
  dependence: ArmDependence,
  level: number,
  profiles: readonly ArmProfile[],
): ArmRegressionFit {
  const sample = regressionSample(design);
  const spread = sample.distances.reduce((sum, value) => sum + value * value, 0) / (sample.count - 1);
  const { point, converged } = climbLikelihood(
    (components) => clusteredPoint(sample, clusters, components),
    spread > 0 ? spread : sample.variances[0]!,
    clusters.length < sample.count,
  );
  const judge = contrastJudge(sample, clusters, point, dependence, level);
  const unit = (position: number): Float64Array =>
    Float64Array.from({ length: sample.width }, (_, index) => (index === position ? 1 : 0));
  const { betweenStudies, withinStudies } = point.components;
  return {
    status: converged ? 'converged' : 'not-converged',
    coefficients: [
      { id: 'intercept', covariate: 'intercept', name: 'Intercept', ...judge(unit(0)) },
      ...design.terms.map((term, index) => ({ ...term, ...judge(unit(index + 1)) })),
    ],
    components: point.components,
    contrasts: levelContrasts(design, covariates, scale, judge),
    predictions: profiles.map(({ name, values }): ArmPrediction => {
      const at = judge(designVector(design, covariates, values));
      const reach =
        reachOf(level, clusters.length - sample.width) *
        Math.sqrt(betweenStudies + withinStudies + at.standardError ** 2);
      const prediction = { lower: at.value - reach, upper: at.value + reach, level };
      return {
        ...at,
        name,
        values,
        prediction,
        natural: naturalSummary(scale, at.value, at.interval, prediction, undefined),
      };
    }),
    rows: design.rows,
  };
}

/** Every level against every other, for each categorical covariate. */
function levelContrasts(
  design: DesignMatrix,
  covariates: readonly Covariate[],
  scale: AnalysisScale,
  judge: ContrastJudge,
): LevelContrast[] {
  return covariates
    .filter(({ kind }) => kind === 'categorical')
    .flatMap(({ id }) => {
      const places = design.terms.flatMap((term, index) =>
        term.covariate === id ? [{ level: term.level!, place: index + 1 }] : [],
      );
      const levels = [{ level: design.references[id]!, place: 0 }, ...places];
      return levels.flatMap((against, index) =>
        levels.slice(index + 1).map((one): LevelContrast => {
          const weights = new Float64Array(design.columns.length);
          weights[one.place] = 1;
          if (against.place > 0) weights[against.place] = -1;
          const contrast = judge(weights);
          const ratioScale =
            scale === 'logit' ? 'log-odds-ratio' : scale === 'log' ? 'log-risk-ratio' : undefined;
          return {
            covariate: id,
            level: one.level,
            against: against.level,
            ...contrast,
            ratio:
              ratioScale &&
              naturalSummary(ratioScale, contrast.value, contrast.interval, undefined, undefined),
          };
        }),
      );
    });
}

function sentence(
  design: DesignMatrix,
  covariates: readonly Covariate[],
  scale: AnalysisScale,
  dependence: ArmDependence,
  level: number,
  studies: number,
): string {
  const errors =
    dependence === 'three-level'
      ? "from that model with Student's t"
      : "robust to the dependence of arms of one study (bias-reduced sandwich, Student's t with Satterthwaite degrees of freedom)";
  const on = covariates.map(({ name }) => name.toLowerCase()).join(', ');
  return `${counted(design.rows.length, 'arm')} of ${counted(studies, 'study', 'studies')} (${scaleNames[scale] ?? 'values'}) were regressed on ${on === '' ? 'an intercept alone' : on} in a three-level model (arms within studies, variances by restricted maximum likelihood), with ${levelText(level)} intervals ${errors}.`;
}
