import type { Count } from '../../effects/estimate.ts';
import { logGamma } from '../../numerics/distributions.ts';

/** Sum of ln C(total, events): the part of a binomial log-likelihood that no parameter changes. */
export const logBinomialCoefficients = (counts: readonly Count[]): number =>
  counts.reduce(
    (sum, { events, total }) =>
      sum + logGamma(total + 1) - logGamma(events + 1) - logGamma(total - events + 1),
    0,
  );
