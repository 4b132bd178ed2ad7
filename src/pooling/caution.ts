/** Everything a pooled result may warn of. Misuse throws; awkward data give one of these. */
export const cautionCodes = [
  'nothing-to-pool',
  'one-study',
  'fewer-than-three-studies',
  'fewer-than-five-studies',
  'no-events',
  'all-events',
  'arms-left-out',
  'correction-added',
  'one-study-dominates',
  'identical-estimates',
  'several-arms-of-one-study',
  'double-arcsine-back-transformation',
  'one-step-differs',
  'one-step-not-converged',
  'one-step-at-boundary',
  'hartung-knapp-narrower-than-wald',
  'interval-method-replaced',
  'limit-not-reached',
  'two-likelihood-peaks',
  'interval-choice',
  'one-estimate-per-study',
  'few-degrees-of-freedom',
  'no-finite-estimate',
  'several-likelihood-peaks',
  'pairing-not-used',
  'prior-decides-spread',
  'prior-decides-mean',
  'posterior-moment-undefined',
  'posterior-at-prior-bound',
  'quadrature-disagrees',
  'few-studies-per-covariate',
  'covariate-missing',
  'term-dropped',
  'too-few-rows',
  'two-outcomes-correlation-at-bound',
  'high-leverage',
  'outside-observed-range',
  'between-study-contrast',
  'outcomes-not-paired',
  'quadrature-not-settled',
] as const;
export type CautionCode = (typeof cautionCodes)[number];

/** A typed warning with a sentence a reader can act on. */
export interface Caution {
  readonly code: CautionCode;
  readonly message: string;
}
