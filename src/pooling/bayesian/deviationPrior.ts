import { logGamma } from '../../numerics/distributions.ts';

/**
 * What was believed about the between-study standard deviation before the data, on the analysis scale.
 *
 * - `half-normal`: density proportional to exp(-τ²/2 scale²). 95 % of it lies below 1.96 scale.
 * - `half-cauchy`: density proportional to 1/(1 + (τ/scale)²). Half of it lies below scale; a heavy tail.
 * - `uniform`: every value from 0 to `upper` alike.
 * - `flat`: every value from 0 without end alike. Improper: needs enough studies, or the answer is refused.
 * - `log-normal`: ln τ is normal with `logMean` and `logDeviation`; see {@link logNormalFromVariance} for
 *   priors published for τ².
 * - `gamma-on-precision`: 1/τ² is gamma with `shape` and `rate`. Kept to reproduce older published analyses;
 *   it pushes τ away from zero in a way that depends on the small number chosen (Gelman 2006, section 4.3).
 *
 * Sources: Gelman A. Bayesian Anal 2006;1:515-534 (uniform, half-Cauchy, the trouble with the gamma).
 * Röver C, Bender R, Dias S, et al. Res Synth Methods 2021;12:448-474 (half-normal and half-Cauchy scales for
 * log odds ratios). Turner RM, Davey J, Clarke MJ, et al. Int J Epidemiol 2012;41:818-827, and Turner RM,
 * Jackson D, Wei Y, et al. Stat Med 2015;34:984-998 (log-normal priors for τ² by outcome and comparison).
 */
export type DeviationPrior =
  | { readonly kind: 'half-normal'; readonly scale: number }
  | { readonly kind: 'half-cauchy'; readonly scale: number }
  | { readonly kind: 'uniform'; readonly upper: number }
  | { readonly kind: 'flat' }
  | { readonly kind: 'log-normal'; readonly logMean: number; readonly logDeviation: number }
  | { readonly kind: 'gamma-on-precision'; readonly shape: number; readonly rate: number };

/** Every kind of {@link DeviationPrior}. */
export const deviationPriorKinds = [
  'half-normal',
  'half-cauchy',
  'uniform',
  'flat',
  'log-normal',
  'gamma-on-precision',
] as const satisfies readonly DeviationPrior['kind'][];

/**
 * The prior on the standard deviation that a published log-normal prior on the variance amounts to.
 *
 * If ln τ² is normal(m, s²), ln τ is normal(m/2, s²/4).
 *
 * @example
 * logNormalFromVariance(-2.56, 1.74) // Turner 2012, any outcome, log odds ratios (values from memory)
 */
export function logNormalFromVariance(logMean: number, logDeviation: number): DeviationPrior {
  return { kind: 'log-normal', logMean: logMean / 2, logDeviation: logDeviation / 2 };
}

/** Logarithm of the prior density at τ > 0, with its constant (the improper `flat` has density 1). */
export function logDeviationPrior(prior: DeviationPrior, deviation: number): number {
  switch (prior.kind) {
    case 'half-normal': {
      const z = deviation / prior.scale;
      return 0.5 * Math.log(2 / Math.PI) - Math.log(prior.scale) - 0.5 * z * z;
    }
    case 'half-cauchy': {
      const z = deviation / prior.scale;
      return Math.log(2 / (Math.PI * prior.scale)) - Math.log1p(z * z);
    }
    case 'uniform':
      return deviation <= prior.upper ? -Math.log(prior.upper) : Number.NEGATIVE_INFINITY;
    case 'flat':
      return 0;
    case 'log-normal': {
      const logTau = Math.log(deviation);
      const z = (logTau - prior.logMean) / prior.logDeviation;
      return -0.5 * z * z - logTau - Math.log(prior.logDeviation) - 0.5 * Math.log(2 * Math.PI);
    }
    case 'gamma-on-precision': {
      const { shape, rate } = prior;
      const constant = Math.LN2 + shape * Math.log(rate) - logGamma(shape);
      return constant - (2 * shape + 1) * Math.log(deviation) - rate / (deviation * deviation);
    }
  }
}

/** The p of a tail that falls like τ^-p; Infinity for tails lighter than any power, 0 for `flat`. */
export function deviationTailPower(prior: DeviationPrior): number {
  switch (prior.kind) {
    case 'half-cauchy':
      return 2;
    case 'gamma-on-precision':
      return 2 * prior.shape + 1;
    case 'flat':
      return 0;
    default:
      return Number.POSITIVE_INFINITY;
  }
}

/** A size of τ below which the prior does not change much, or below which it is nearly empty. */
export function deviationPriorScale(prior: DeviationPrior): number {
  switch (prior.kind) {
    case 'half-normal':
    case 'half-cauchy':
      return prior.scale;
    case 'uniform':
      return prior.upper;
    case 'flat':
      return Number.POSITIVE_INFINITY;
    case 'log-normal':
      return Math.exp(prior.logMean - prior.logDeviation);
    case 'gamma-on-precision':
      return Math.sqrt(prior.rate / (prior.shape + 0.5));
  }
}

/** The prior in words for a methods section, every number given. */
export function describeDeviationPrior(prior: DeviationPrior): string {
  switch (prior.kind) {
    case 'half-normal':
      return `half-normal with scale ${prior.scale}`;
    case 'half-cauchy':
      return `half-Cauchy with scale ${prior.scale}`;
    case 'uniform':
      return `uniform from 0 to ${prior.upper}`;
    case 'flat':
      return 'flat from 0 upwards (improper)';
    case 'log-normal':
      return `log-normal with log-scale mean ${prior.logMean} and standard deviation ${prior.logDeviation}`;
    case 'gamma-on-precision':
      return `implied by a gamma distribution with shape ${prior.shape} and rate ${prior.rate} for the precision`;
  }
}
