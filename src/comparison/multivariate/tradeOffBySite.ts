import type { RateScale } from '../../effects/analysisScale.ts';
import type { LeftOut } from '../../effects/estimate.ts';
import { estimateRates } from '../../effects/estimateRates.ts';
import type { ZeroEvents } from '../../effects/zeroEvents.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { mergeArms } from '../../extraction/mergeArms.ts';
import { type PooledSite, pooledSites, siteNames } from '../../extraction/site.ts';
import type { BivariateFit, BivariateOptions } from './bivariateFit.ts';
import { pairOutcomes } from './bivariateUnits.ts';
import { fitBivariate } from './fitBivariate.ts';

export interface TradeOffOptions extends BivariateOptions {
  /** Default `logit`. */
  readonly scale?: RateScale;
  readonly zeroEvents?: ZeroEvents;
}

/** Two outcomes at each site, with their uncertainty taken together. */
export interface TradeOff {
  readonly kind: 'trade-off';
  readonly outcomes: readonly [first: string, second: string];
  readonly sites: readonly {
    readonly site: PooledSite;
    readonly name: string;
    readonly joint: BivariateFit;
    /** Arms with no finite estimate of an outcome, and why. */
    readonly leftOut: readonly LeftOut[];
  }[];
}

/**
 * What does each site trade: fewer of one bad outcome for more of another?
 *
 * {@link fitBivariate} over the arms of each site. Sites are set side by side, which is not a comparison of
 * treatments.
 *
 * @param first arms of one outcome, `second` of the other; matched by study and arm
 * @example
 * tradeOffBySite({ name: 'Deformity', arms }, { name: 'Groove pain', arms: pain }, { correlationWithinStudy: 0.3 })
 */
export function tradeOffBySite(
  first: { readonly name: string; readonly arms: readonly ArmEvents[] },
  second: { readonly name: string; readonly arms: readonly ArmEvents[] },
  options: TradeOffOptions = {},
): TradeOff {
  const { scale = 'logit', zeroEvents = 'leave-out', ...joint } = options;
  if (scale === 'double-arcsine') {
    throw new RangeError(
      "scale must be one that turns back without a sample size, received 'double-arcsine'",
    );
  }
  const severalArms = new Set(
    [first.arms, second.arms]
      .flatMap(mergeArms)
      .flatMap(({ merged, study, site }) => (merged === undefined ? [] : [`${study} ${site}`])),
  );
  const at = (arms: readonly ArmEvents[], site: PooledSite) =>
    estimateRates(
      mergeArms(arms.filter((arm) => arm.site === site)).map((arm) =>
        // By its site, so that the two outcomes meet also where only one of them counted both arms.
        severalArms.has(`${arm.study} ${site}`) ? { ...arm, arm: site } : arm,
      ),
      { scale, zeroEvents },
    );
  return {
    kind: 'trade-off',
    outcomes: [first.name, second.name],
    sites: pooledSites.map((site) => {
      const one = at(first.arms, site);
      const two = at(second.arms, site);
      return {
        site,
        name: siteNames[site],
        joint: fitBivariate(pairOutcomes(one.estimates, two.estimates), joint),
        leftOut: [...one.leftOut, ...two.leftOut],
      };
    }),
  };
}
