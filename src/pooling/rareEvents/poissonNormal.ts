import { logGamma } from '../../numerics/distributions.ts';
import { poissonLogTerm } from './likelihoodTerms.ts';
import type { ArmExposure, OneArmOutcome } from './oneArmFit.ts';
import { oneArmMixedOutcome } from './oneArmMixedOutcome.ts';

/**
 * How many events per 100 shoulder-years, if each study's log rate is drawn from a normal distribution?
 *
 * `events ~ Poisson(shoulderYears · λ)`, `ln λ ~ normal(μ, τ²)`, maximum likelihood by adaptive Gauss-Hermite
 * quadrature. The rate is that of the median study, `100·e^μ`. It assumes that events come evenly over time:
 * for events that come early (a deformity after release) a rate over time dilutes long follow-up.
 *
 * Source: Stijnen T, Hamza TH, Özdemir P, Stat Med 2010;29:3046-3067, section 4.
 *
 * @example
 * poissonNormal(arms, 0.95, [25, 50, 100]).rate; // per 100 shoulder-years
 */
export function poissonNormal(
  arms: readonly ArmExposure[],
  level: number,
  points: readonly number[],
): OneArmOutcome {
  let events = 0;
  let years = 0;
  let constant = 0;
  for (const arm of arms) {
    events += arm.events;
    years += arm.shoulderYears;
    constant += arm.events * Math.log(arm.shoulderYears) - logGamma(arm.events + 1);
  }
  return oneArmMixedOutcome(
    arms.map((arm) => poissonLogTerm(arm.events, arm.shoulderYears)),
    Math.log(events / years),
    constant,
    (eta) => 100 * Math.exp(eta),
    level,
    points,
  );
}
