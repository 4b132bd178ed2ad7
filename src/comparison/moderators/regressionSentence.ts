import type { AnalysisScale } from '../../effects/analysisScale.ts';
import { levelText, scaleNames } from '../../pooling/methodsSentence.ts';
import { varianceEstimatorMethods } from '../../pooling/varianceEstimatorMethods.ts';
import type { Covariate } from './covariate.ts';
import type { DesignMatrix } from './designMatrix.ts';
import type { RegressionTest, ResolvedMetaRegressionOptions } from './metaRegression.ts';

const testTexts: Readonly<Record<RegressionTest, string>> = {
  'knapp-hartung': 'Knapp-Hartung tests and intervals',
  'truncated-knapp-hartung': 'Knapp-Hartung tests and intervals, never narrower than their weights allow,',
  wald: 'Wald tests and intervals',
  'cluster-robust':
    "tests and intervals that are robust to the dependence of rows of one study (bias-reduced sandwich over studies, Student's t with Satterthwaite degrees of freedom)",
};

/** One sentence naming every choice, ready for a methods section. */
export function regressionSentence(
  { model, betweenStudyVariance, test, level }: ResolvedMetaRegressionOptions,
  covariates: readonly Covariate[],
  design: DesignMatrix,
  studies: number,
  scale: AnalysisScale,
): string {
  const names = covariates.map(({ name }) => name.toLowerCase());
  const on = names.length === 0 ? 'an intercept alone' : names.join(', ');
  const variance =
    model === 'common-effect'
      ? 'without variance between studies beyond the covariates'
      : typeof betweenStudyVariance === 'string'
        ? `with the residual between-study variance by the ${varianceEstimatorMethods[betweenStudyVariance].name}`
        : `with a between-study variance of ${betweenStudyVariance.given} taken as given`;
  const left =
    design.leftOut.length === 0
      ? ''
      : `; ${design.leftOut.length} ${design.leftOut.length === 1 ? 'row' : 'rows'} with a covariate not reported left out`;
  const rows = design.rows.length;
  const from =
    studies === rows
      ? ''
      : ` of ${studies} ${studies === 1 ? 'study' : 'studies'}${test === 'cluster-robust' ? '' : ', taken as independent,'}`;
  return `${rows} ${scaleNames[scale] ?? 'values'}${from} were regressed on ${on} by inverse-variance weighting, ${variance}, with ${levelText(level)} ${testTexts[test]}${left}.`;
}
