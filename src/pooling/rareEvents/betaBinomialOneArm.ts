import { betaBinomialObjective } from './betaBinomialObjective.ts';
import { fitMixedModel } from './mixedModel.ts';
import type { ArmExposure, OneArmOutcome } from './oneArmFit.ts';
import { wald } from './wald.ts';

/**
 * What is the mean rate over studies, if each study's rate is drawn from a beta distribution?
 *
 * Maximum likelihood over the mean π and the intraclass correlation ρ (the beta distribution's parameters add
 * up to `(1 − ρ)/ρ`). The interval is Wald's on the log odds of π, from the observed information of both. The
 * rate is the mean over studies, not that of the median study, and is the larger of the two for rare events.
 * No prediction interval: quantiles of the fitted beta distribution would pass over how poorly ρ is known.
 *
 * Sources: Griffiths DA, Biometrics 1973;29:637-648; Young-Xu Y, Chan KA, BMC Med Res Methodol 2008;8:58.
 *
 * @example
 * betaBinomialOneArm(arms, 0.95).overdispersion;
 */
export function betaBinomialOneArm(arms: readonly ArmExposure[], level: number): OneArmOutcome {
  const events = arms.reduce((sum, arm) => sum + arm.events, 0);
  const total = arms.reduce((sum, arm) => sum + arm.total, 0);
  const start = Math.log(events / (total - events));
  const fit = fitMixedModel(betaBinomialObjective([arms]), [start], [false]);
  if (!fit) {
    return {
      status: 'not-converged',
      reason:
        'The likelihood has no maximum that could be found: it keeps rising as studies are let differ more, as it does when arms have either no events or nothing but events.',
    };
  }
  const mean = fit.parameters[0]!;
  const delta = fit.parameters[1]! ** 2;
  const standardError = Math.sqrt(fit.covariance[0]!);
  const { interval } = wald(mean, standardError, level);
  const rateOf = (logit: number): number => 1 / (1 + Math.exp(-logit));
  return {
    status: delta === 0 ? 'boundary' : 'converged',
    reason:
      delta === 0
        ? 'The likelihood is highest when the studies share one rate: the overdispersion is estimated as 0.'
        : undefined,
    mean,
    standardError,
    overdispersion: delta / (1 + delta),
    logLikelihood: fit.logLikelihood,
    rate: rateOf(mean),
    interval: { lower: rateOf(interval.lower), upper: rateOf(interval.upper), level },
  };
}
