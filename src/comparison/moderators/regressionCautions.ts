import type { Caution } from '../../pooling/caution.ts';
import type { DesignMatrix } from './designMatrix.ts';
import {
  betweenStudyContrast,
  type RegressionFit,
  type ResolvedMetaRegressionOptions,
} from './metaRegression.ts';

const counted = (count: number, word: string, several = `${word}s`): string =>
  `${count} ${count === 1 ? word : several}`;

/** Why nothing is fitted, when nothing is. */
export function tooFewRows(
  design: DesignMatrix,
  studies: number,
  { studiesPerCovariate, fewStudies, test }: ResolvedMetaRegressionOptions,
): Caution | undefined {
  const columns = design.columns.length;
  const rows = design.rows.length;
  if (rows === 0) return { code: 'nothing-to-pool', message: 'No row has every covariate reported.' };
  if (test === 'cluster-robust' && studies <= columns) {
    return {
      code: 'too-few-rows',
      message: `Nothing is fitted: ${counted(studies, 'study', 'studies')} cannot carry ${counted(columns, 'coefficient')}.`,
    };
  }
  if (rows <= columns) {
    return {
      code: 'too-few-rows',
      message: `Nothing is fitted: ${counted(rows, 'row')} cannot carry ${counted(columns, 'coefficient')}.`,
    };
  }
  if (fewStudies === 'refuse' && studies < studiesPerCovariate * design.terms.length) {
    return {
      code: 'few-studies-per-covariate',
      message: `Nothing is fitted: ${counted(studies, 'study', 'studies')} for ${counted(design.terms.length, 'column')}, and at least ${studiesPerCovariate} for each are asked for.`,
    };
  }
  return undefined;
}

/** What a reader must know of a regression between studies. */
export function regressionCautions(
  design: DesignMatrix,
  studies: number,
  { studiesPerCovariate, fewStudies, test }: ResolvedMetaRegressionOptions,
  fit: RegressionFit | undefined,
): Caution[] {
  const cautions: Caution[] = [...dataCautions(design, test === 'cluster-robust')];
  const columns = design.terms.length;
  if (fit && columns > 0) {
    cautions.push({ code: 'between-study-contrast', message: betweenStudyContrast });
    if (fewStudies === 'caution' && studies < studiesPerCovariate * columns) {
      cautions.push({
        code: 'few-studies-per-covariate',
        message: `${counted(studies, 'study', 'studies')} for ${counted(columns, 'column')}, fewer than ${studiesPerCovariate} for each: a chance pattern is easily taken for an effect.`,
      });
    }
  }
  if (fit) {
    const steering = fit.points.filter(({ leverage }) => leverage > 0.5 + 1e-9);
    if (columns > 0 && steering.length > 0) {
      cautions.push({
        code: 'high-leverage',
        message: `${steering.map(({ estimate }) => estimate.label).join(', ')}: more than half of the fitted value comes from the row itself, so that the line follows it.`,
      });
    }
    const rough = fit.coefficients.filter(
      ({ degreesOfFreedom }) => test === 'cluster-robust' && (degreesOfFreedom ?? 4) < 4,
    );
    if (rough.length > 0) {
      cautions.push({
        code: 'few-degrees-of-freedom',
        message: `Fewer than 4 effective degrees of freedom, so that the interval is unreliable: ${rough.map(({ name }) => name).join('; ')}.`,
      });
    }
    const alone = fit.coefficients.filter(({ fromModel }) => fromModel);
    if (alone.length > 0) cautions.push(oneStudyTells(alone.map(({ name }) => name)));
    if (test !== 'wald' && test !== 'cluster-robust' && fit.residual.q < 1e-20) {
      cautions.push({
        code: 'identical-estimates',
        message:
          'The fit leaves no scatter to judge it by: standard errors come from the sampling variances alone.',
      });
    }
  }
  return cautions;
}

/** Rows left out, columns dropped, studies that come twice. */
export function dataCautions(design: DesignMatrix, robust: boolean): Caution[] {
  const cautions: Caution[] = [];
  if (design.leftOut.length > 0) {
    cautions.push({
      code: 'covariate-missing',
      message: `${counted(design.leftOut.length, 'row')} left out, since a covariate is not reported (nothing is filled in): ${design.leftOut.map(({ label, arm, reason }) => `${label}${arm === undefined ? '' : `, ${arm}`} (${reason})`).join('; ')}.`,
    });
  }
  for (const { name, reason } of design.dropped) {
    cautions.push({ code: 'term-dropped', message: `${name} is not in the model: ${reason}.` });
  }
  const seen = new Set<string>();
  const repeated = new Set<string>();
  for (const { estimate } of design.rows) {
    if (seen.has(estimate.study)) repeated.add(estimate.label);
    seen.add(estimate.study);
  }
  if (repeated.size > 0) {
    cautions.push({
      code: 'several-arms-of-one-study',
      message: `More than one row comes from ${[...repeated].join(', ')}: ${
        robust
          ? 'standard errors come from whole studies, which allows for it.'
          : 'they are taken as independent, which makes intervals too short.'
      }`,
    });
  }
  return cautions;
}

/** What only one study tells has an error from the model, not from the scatter of studies. */
export const oneStudyTells = (names: readonly string[]): Caution => ({
  code: 'one-study',
  message: `One study alone tells the following, so that the standard error comes from the model and not from the scatter of whole studies: ${names.join('; ')}.`,
});
