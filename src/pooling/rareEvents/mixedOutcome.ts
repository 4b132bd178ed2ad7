import type { Caution } from '../caution.ts';
import type { MixedFit } from './mixedModel.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import { wald } from './wald.ts';

/** What a fit says about the effect; `deviation` is undefined under a common effect. */
export function mixedOutcome(
  fit: MixedFit | undefined,
  level: number,
  at: { readonly effect: number; readonly deviation: number | undefined },
): TwoArmOutcome {
  if (!fit) {
    return {
      status: 'not-converged',
      reason:
        'no maximum of the likelihood was found: it keeps rising as the variation between studies grows, or is too flat',
    };
  }
  const size = fit.parameters.length;
  const value = fit.parameters[at.effect]!;
  const standardError = Math.sqrt(fit.covariance[at.effect * (size + 1)]!);
  const deviation = at.deviation === undefined ? undefined : fit.parameters[at.deviation]!;
  const cautions: Caution[] = [];
  if (fit.severalMaxima) {
    cautions.push({
      code: 'several-likelihood-peaks',
      message: 'The likelihood has more than one peak; the highest found is reported.',
    });
  }
  return {
    status: deviation === 0 ? 'boundary' : 'estimated',
    reason:
      deviation === 0
        ? 'the likelihood is highest when the studies share one effect: the between-study deviation is estimated as 0'
        : undefined,
    value,
    standardError,
    ...wald(value, standardError, level),
    betweenStudyDeviation: deviation,
    logLikelihood: fit.logLikelihood,
    cautions,
  };
}
