import type { Caution } from '../caution.ts';
import type { SettledFit } from './fitSettledModel.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import { wald } from './wald.ts';

/** What a fit says about the effect; `deviation` is undefined under a common effect. */
export function mixedOutcome(
  { fit, points, settled }: SettledFit,
  level: number,
  at: { readonly effect: number; readonly deviation: number | undefined },
): TwoArmOutcome {
  if (!fit) {
    return {
      status: 'not-converged',
      quadraturePoints: points,
      reason:
        'no maximum of the likelihood could be established: it keeps rising as the variation between studies grows, or the studies differ more than the quadrature can follow',
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
  if (!settled) cautions.push(quadratureNotSettled(points));
  return {
    quadraturePoints: points,
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

/** The caution for a fit that more quadrature points might still move. */
export const quadratureNotSettled = (points: number): Caution => ({
  code: 'quadrature-not-settled',
  message: `Even with ${points} quadrature points the estimates are not settled: the studies differ more than the model can follow.`,
});
