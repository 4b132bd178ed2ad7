import type {
  PosteriorBinomialNormal,
  PosteriorDistribution,
  PosteriorNormalNormal,
} from './posteriorResult.ts';

/** A posterior that speaks of rates: counts, or estimates on the logit scale. */
export type RatePosterior = PosteriorBinomialNormal | PosteriorNormalNormal;

/** Its two logits, of the median and of the next hospital. Throws for a posterior that has none. */
export function logitsOf(
  posterior: RatePosterior,
  name: string,
): { readonly mean: PosteriorDistribution; readonly prediction: PosteriorDistribution } {
  if (posterior.status !== 'computed') {
    throw new RangeError(`${name} must be a computed posterior, received status "${posterior.status}"`);
  }
  if (posterior.kind === 'posterior-normal-normal' && posterior.scale !== 'logit') {
    throw new RangeError(`${name} must be of rates: on the scale "logit", received "${posterior.scale}"`);
  }
  return { mean: posterior.mean, prediction: posterior.prediction };
}
