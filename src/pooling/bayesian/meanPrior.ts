/**
 * What was believed about the mean of the studies before the data, on the analysis scale.
 *
 * - `flat`: every value alike. Improper: with no events anywhere there is no answer under it.
 * - `normal`: normal with `mean` and standard `deviation`.
 */
export type MeanPrior =
  | { readonly kind: 'flat' }
  | { readonly kind: 'normal'; readonly mean: number; readonly deviation: number };

/** Every kind of {@link MeanPrior}. */
export const meanPriorKinds = ['flat', 'normal'] as const satisfies readonly MeanPrior['kind'][];

/**
 * The default for a rate on the logit scale: normal with mean 0 and standard deviation 2.5.
 *
 * Why: its central 95 % is 0.7 % to 99.3 %, which holds every rate the question can have. Its pull towards 50 %
 * has the slope |logit|/2.5², which is that of 0.35 added events at a rate of 10 %, 0.74 at 1 % and 0.99 at
 * 0.2 %: at rare events it weighs about as much as the priors commonly placed on a single rate (half an event,
 * Jeffreys; one event, uniform), and it errs towards more events, never towards none. It is proper, so that
 * series without any event still have an answer.
 */
export const weaklyInformativeLogitMean: MeanPrior = { kind: 'normal', mean: 0, deviation: 2.5 };

/** Logarithm of the prior density of the mean (0 for the improper `flat`). */
export function logMeanPrior(prior: MeanPrior, mean: number): number {
  if (prior.kind === 'flat') return 0;
  const z = (mean - prior.mean) / prior.deviation;
  return -0.5 * z * z - Math.log(prior.deviation) - 0.5 * Math.log(2 * Math.PI);
}

/** The prior in words for a methods section. */
export function describeMeanPrior(prior: MeanPrior): string {
  return prior.kind === 'flat'
    ? 'flat (improper)'
    : `normal with mean ${prior.mean} and standard deviation ${prior.deviation}`;
}
