import { type DeviationPrior, deviationTailPower } from './deviationPrior.ts';
import type { MeanPrior } from './meanPrior.ts';

/** Whether a posterior exists at all, and how many of its moments do. */
export interface PosteriorProperties {
  readonly proper: boolean;
  /** Highest power of τ, 0 to 2, with a finite posterior mean. */
  readonly deviationMoments: 0 | 1 | 2;
}

/**
 * Is the posterior proper, and which moments does it have?
 *
 * For large τ the marginal likelihood falls like τ^-n with n the estimates that pin their study down (all of
 * them in the normal model, those with an event and a non-event in the binomial one), one power less when the
 * mean is flat and integrated out. Times the prior's own tail τ^-p that makes τ^-q; the posterior is proper when
 * q > 1 and the r-th moment exists when q > r + 1. A margin of a quarter and a half is asked for, since closer
 * to the bound the number exists on paper but rests on values of τ no review could ever see.
 */
export function posteriorProperties(
  informative: number,
  deviationPrior: DeviationPrior,
  meanPrior: MeanPrior,
): PosteriorProperties {
  const power = deviationTailPower(deviationPrior) + informative - (meanPrior.kind === 'flat' ? 1 : 0);
  return {
    proper: power >= 1.25,
    deviationMoments: power >= 3.5 ? 2 : power >= 2.5 ? 1 : 0,
  };
}
