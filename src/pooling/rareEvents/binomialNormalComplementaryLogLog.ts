import { binomialComplementaryLogLogTerm } from './likelihoodTerms.ts';
import { logBinomialCoefficients } from './logBinomialCoefficients.ts';
import type { ArmExposure, OneArmOutcome } from './oneArmFit.ts';
import { oneArmMixedOutcome } from './oneArmMixedOutcome.ts';

/**
 * What is the rate, if each study's log cumulative hazard is drawn from a normal distribution?
 *
 * `events ~ binomial(total, p)`, `ln(−ln(1 − p)) ~ normal(μ, τ²)`, maximum likelihood by adaptive
 * Gauss-Hermite quadrature. With equal follow-up everywhere the mean moves with the logarithm of time, which
 * the logit does not. The rate is that of the median study, `1 − exp(−e^μ)`.
 *
 * Sources: Stijnen T, Hamza TH, Özdemir P, Stat Med 2010;29:3046-3067, section 2 (model); McCullagh P, Nelder
 * JA, Generalized Linear Models, 2nd ed. 1989, section 4.3.1 (link).
 *
 * @example
 * binomialNormalComplementaryLogLog(arms, 0.95, [25, 50, 100]).rate;
 */
export function binomialNormalComplementaryLogLog(
  arms: readonly ArmExposure[],
  level: number,
  points: readonly number[],
): OneArmOutcome {
  const events = arms.reduce((sum, arm) => sum + arm.events, 0);
  const total = arms.reduce((sum, arm) => sum + arm.total, 0);
  return oneArmMixedOutcome(
    arms.map((arm) => binomialComplementaryLogLogTerm(arm.events, arm.total)),
    Math.log(-Math.log1p(-events / total)),
    logBinomialCoefficients(arms),
    (eta) => -Math.expm1(-Math.exp(eta)),
    level,
    points,
  );
}
