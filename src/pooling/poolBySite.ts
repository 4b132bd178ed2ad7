import type { ArmEvents } from '../extraction/armEvents.ts';
import {
  type ClassifiedSite,
  classifiedSites,
  type PooledSite,
  pooledSites,
  siteNames,
} from '../extraction/site.ts';
import type { PooledRate } from './pooledRate.ts';
import { poolRates } from './poolRates.ts';
import type { RatePoolOptions } from './ratePoolOptions.ts';

/** What must stand beside any row of pools by site. */
export const notAComparison =
  'Not a randomised comparison: each site is pooled from its own arms, and the patients, surgeons, years and definitions behind them differ, so a difference between two rows is not the effect of the site.';

/** One site's pool. */
export interface SitePool {
  readonly site: PooledSite;
  readonly name: string;
  readonly pool: PooledRate;
  /** Id of the answer this pool is the number of; products print it beside the number. */
  readonly answer?: string;
}

/** Arms of one class that belong to no pool, kept in sight. */
export interface ArmsOutside {
  readonly site: ClassifiedSite;
  readonly name: string;
  readonly arms: readonly ArmEvents[];
}

/** One outcome pooled at each site, proximal to distal, and what stayed outside. */
export interface SitePools {
  readonly kind: 'site-pools';
  /** All four sites in order; a site without arms has an empty pool. */
  readonly sites: readonly SitePool[];
  /** Soft-tissue and unclassified arms; empty when there are none. */
  readonly outside: readonly ArmsOutside[];
  readonly notAComparison: string;
}

/**
 * How often does this happen at each fixation site?
 *
 * Every site is pooled by itself with {@link poolRates}. Soft-tissue arms and arms whose site is unclear belong
 * to none of the four and are returned beside them.
 *
 * @throws RangeError as {@link poolRates}
 *
 * @example
 * for (const { name, pool } of poolBySite(arms).sites) console.log(name, pool.headline?.rate);
 */
export function poolBySite(
  arms: readonly ArmEvents[],
  options: Omit<RatePoolOptions, 'leftOut'> = {},
): SitePools {
  const at = (site: ClassifiedSite): ArmEvents[] => arms.filter((arm) => arm.site === site);
  const unknown = arms.find((arm) => !classifiedSites.includes(arm.site));
  if (unknown) {
    throw new RangeError(
      `site of ${unknown.label} must be one of ${classifiedSites.join(', ')}, received ${unknown.site}`,
    );
  }
  return {
    kind: 'site-pools',
    sites: pooledSites.map((site) => ({ site, name: siteNames[site], pool: poolRates(at(site), options) })),
    outside: classifiedSites
      .filter((site) => !(pooledSites as readonly string[]).includes(site))
      .map((site) => ({ site, name: siteNames[site], arms: at(site) }))
      .filter(({ arms }) => arms.length > 0),
    notAComparison,
  };
}
