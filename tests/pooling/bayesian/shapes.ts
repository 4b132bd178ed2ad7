import type { Estimate } from '../../../src/effects/estimate.ts';
import { posteriorBinomialNormal } from '../../../src/pooling/bayesian/posteriorBinomialNormal.ts';
import { posteriorNormalNormal } from '../../../src/pooling/bayesian/posteriorNormalNormal.ts';
import type { PosteriorOptions } from '../../../src/pooling/bayesian/posteriorOptions.ts';
import type {
  PosteriorBinomialNormal,
  PosteriorNormalNormal,
  StudyCount,
} from '../../../src/pooling/bayesian/posteriorResult.ts';

/** Estimates on the plain scale, one study each. */
export function estimatesOf(
  values: readonly number[],
  variances: readonly number[],
  scale: Estimate['scale'] = 'plain',
): Estimate[] {
  return values.map((value, index) => ({
    study: `s${index}`,
    label: `Study ${index}`,
    value,
    variance: variances[index]!,
    scale,
    addedToEachCell: 0,
    rows: [],
  }));
}

/** Counts, one study each. */
export function countsOf(events: readonly number[], totals: readonly number[]): StudyCount[] {
  return events.map((count, index) => ({
    study: `s${index}`,
    label: `Study ${index}`,
    events: count,
    total: totals[index]!,
  }));
}

export function normalPosterior(
  values: readonly number[],
  variances: readonly number[],
  options: PosteriorOptions,
): PosteriorNormalNormal {
  const posterior = posteriorNormalNormal(estimatesOf(values, variances), options);
  if (posterior.status === 'refused') throw new Error(posterior.reason);
  return posterior;
}

export function binomialPosteriorOf(
  events: readonly number[],
  totals: readonly number[],
  options: PosteriorOptions = {},
): PosteriorBinomialNormal {
  const posterior = posteriorBinomialNormal(countsOf(events, totals), options);
  if (posterior.status === 'refused') throw new Error(posterior.reason);
  return posterior;
}

/** Paths of every number in a result that is not finite. */
export function notFinite(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${path} = ${value}`];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${path}.${key}`));
}
