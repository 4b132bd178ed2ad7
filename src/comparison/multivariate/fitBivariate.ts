import { betaQuantile, chiSquareQuantile } from '../../numerics/distributions.ts';
import type { Caution } from '../../pooling/caution.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';
import { levelText } from '../../pooling/methodsSentence.ts';
import { naturalSummary } from '../../pooling/naturalSummary.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { reachOf } from '../moderators/regressionInference.ts';
import {
  type BivariateFit,
  type BivariateMean,
  type BivariateOptions,
  bivariateEstimators,
  bivariateIntervals,
} from './bivariateFit.ts';
import { bivariateData } from './bivariateLikelihood.ts';
import type { BivariateUnit } from './bivariateUnits.ts';
import { maximiseBivariate } from './maximiseBivariate.ts';

const edgePoints = 72;

/**
 * What are the rates of two outcomes at once, and how does uncertainty of one go with that of the other?
 *
 * Bivariate random effects: true values of a unit vary around two means with a covariance between studies; sampling
 * errors have the stated correlation. Means by weighted least squares, the covariance by (restricted) maximum
 * likelihood. The joint region is the ellipse `(m - μ)ᵀC⁻¹(m - μ) ≤ c` turned back to the natural scale, c from
 * chi-square with 2 degrees of freedom, or twice an F quantile when scaled.
 *
 * @param units at least two estimates of each outcome, all on one scale
 * @throws RangeError for an unknown option, a correlation outside (-1, 1), or mixed scales
 *
 * Source: van Houwelingen HC, Arends LR, Stijnen T, Stat Med 2002;21:589-624; Riley RD, J R Stat Soc A
 * 2009;172:789-811 (unknown within-study correlation); Jackson D, Riley RD, Stat Med 2014;33:541-554 (scaled).
 *
 * @example
 * fitBivariate(pairOutcomes(deformity, pain), { correlationWithinStudy: 0.3 }).fit?.region
 */
export function fitBivariate(units: readonly BivariateUnit[], options: BivariateOptions = {}): BivariateFit {
  checkOptionNames(options, ['estimator', 'interval', 'correlationWithinStudy', 'level']);
  const correlation = options.correlationWithinStudy ?? 0;
  if (!(typeof correlation === 'number' && correlation > -1 && correlation < 1)) {
    throw new RangeError(`correlationWithinStudy must lie between -1 and 1, received ${correlation}`);
  }
  const resolved = {
    estimator: checkChoice(
      'estimator',
      options.estimator ?? 'restricted-maximum-likelihood',
      bivariateEstimators,
    ),
    interval: checkChoice('interval', options.interval ?? 'wald', bivariateIntervals),
    correlationWithinStudy: correlation,
    level: checkLevel(options.level ?? 0.95),
  };
  const estimates = units
    .flatMap(({ first, second }) => [first, second])
    .filter((each) => each !== undefined);
  const scale = checkEstimates(estimates, undefined);
  const both = units.filter(({ first, second }) => first && second).length;
  const firstOnly = units.filter(({ first, second }) => first && !second).length;
  const secondOnly = units.filter(({ first, second }) => !first && second).length;
  const enough = both + firstOnly >= 2 && both + secondOnly >= 2;
  const studies = new Set(units.map(({ study }) => study)).size;
  const cautions: Caution[] = [];
  if (!enough) {
    cautions.push({
      code: 'too-few-rows',
      message: `Nothing is fitted: each outcome needs two arms at least, and there are ${both + firstOnly} and ${both + secondOnly}.`,
    });
  } else if (both < 3) {
    cautions.push({
      code: 'outcomes-not-paired',
      message: `Only ${both} ${both === 1 ? 'arm reports' : 'arms report'} both outcomes: how they go together between studies cannot be known.`,
    });
  }
  if (studies < units.length && enough) {
    cautions.push({
      code: 'several-arms-of-one-study',
      message: 'More than one arm comes from the same study: they are taken as independent.',
    });
  }
  const fit = enough ? fitUnits(units, scale, resolved) : undefined;
  const between = fit?.correlationBetweenStudies;
  if (between !== undefined && Math.abs(between) > 0.999) {
    cautions.push({
      code: 'two-outcomes-correlation-at-bound',
      message: `The correlation between studies is estimated at its bound (${Math.sign(between)}): the arms are too few or too alike to tell it.`,
    });
  }
  return {
    kind: 'bivariate-fit',
    scale,
    options: resolved,
    units,
    reported: { both, firstOnly, secondOnly },
    studies,
    fit,
    cautions,
    methodsSentence: `Two outcomes of ${units.length} arms were pooled together in a bivariate random-effects model by ${resolved.estimator.replaceAll('-', ' ')}, with a correlation of ${correlation} assumed between the sampling errors of one arm and ${levelText(resolved.level)} ${resolved.interval === 'wald' ? 'Wald' : 'scatter-scaled'} intervals.`,
  };
}

function fitUnits(
  units: readonly BivariateUnit[],
  scale: BivariateFit['scale'],
  { estimator, interval, correlationWithinStudy, level }: Required<BivariateOptions>,
): NonNullable<BivariateFit['fit']> {
  const data = bivariateData(units, correlationWithinStudy);
  const spread = [0, 1].map((outcome) => {
    const values = data.values.flatMap((pair) => (pair[outcome] === undefined ? [] : [pair[outcome]]));
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
    return square > 0 ? square : data.variances[0]![0] || data.variances[0]![2];
  });
  const { point, converged } = maximiseBivariate(
    data,
    [spread[0]!, spread[1]!],
    estimator === 'restricted-maximum-likelihood',
  );
  const free = data.count - 2;
  const scaling = interval === 'scaled' && point.q > 0 ? point.q / free : 1;
  const reach = reachOf(level, interval === 'scaled' ? free : undefined);
  const mean = (outcome: 0 | 1): BivariateMean => {
    const value = point.means[outcome];
    const standardError = Math.sqrt(point.covariance[outcome === 0 ? 0 : 2] * scaling);
    const limits = { lower: value - reach * standardError, upper: value + reach * standardError, level };
    return {
      value,
      standardError,
      interval: limits,
      natural: naturalSummary(scale, value, limits, undefined, undefined),
      betweenStudyVariance: point.between[outcome === 0 ? 0 : 2],
    };
  };
  const [first, cross, second] = point.between;
  const covariance = [
    point.covariance[0] * scaling,
    point.covariance[1] * scaling,
    point.covariance[2] * scaling,
  ] as const;
  const vary = first > 1e-10 * spread[0]! && second > 1e-10 * spread[1]!;
  return {
    status: converged ? 'converged' : 'not-converged',
    first: mean(0),
    second: mean(1),
    correlationOfMeans: covariance[1] / Math.sqrt(covariance[0] * covariance[2]),
    correlationBetweenStudies: vary
      ? Math.max(-1, Math.min(1, cross / Math.sqrt(first * second)))
      : undefined,
    covariance,
    logLikelihood: point.logLikelihood,
    region: jointRegion(
      point.means,
      covariance,
      interval === 'scaled' ? 2 * fQuantile(level, 2, free) : chiSquareQuantile(level, 2),
      level,
      scale,
    ),
  };
}

/** Quantile of the F distribution through the beta distribution. */
function fQuantile(probability: number, numerator: number, denominator: number): number {
  const share = betaQuantile(probability, numerator / 2, denominator / 2);
  return (denominator * share) / (numerator * (1 - share));
}

function jointRegion(
  means: readonly [number, number],
  [first, cross, second]: readonly [number, number, number],
  squaredReach: number,
  level: number,
  scale: BivariateFit['scale'],
): NonNullable<BivariateFit['fit']>['region'] {
  const reach = Math.sqrt(squaredReach);
  const across = Math.sqrt(first);
  const along = cross / across;
  const up = Math.sqrt(Math.max(0, second - along * along));
  const back = (value: number): number | undefined =>
    naturalSummary(scale, value, { lower: value, upper: value, level }, undefined, undefined)?.value;
  const edge: (readonly [number, number])[] = [];
  for (let step = 0; step <= edgePoints; step++) {
    // The last point is the first one again, to the bit.
    const angle = (2 * Math.PI * (step % edgePoints)) / edgePoints;
    const [cosine, sine] = [Math.cos(angle), Math.sin(angle)];
    const x = back(means[0] + reach * across * cosine);
    const y = back(means[1] + reach * (along * cosine + up * sine));
    if (x === undefined || y === undefined) return undefined;
    edge.push([x, y]);
  }
  return { level, edge };
}
