import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import type { ClassifiedSite } from '../../src/extraction/site.ts';
import { poolBySite, type SitePools } from '../../src/pooling/poolBySite.ts';
import type { RatePoolOptions } from '../../src/pooling/ratePoolOptions.ts';

/** Counts at a site, as arms of invented studies. */
export function makeArms(
  site: ClassifiedSite,
  counts: readonly (readonly [events: number, total: number])[],
  change: Partial<ArmEvents> = {},
): readonly ArmEvents[] {
  return counts.map(([events, total], at) => ({
    study: `${site}-${at}`,
    label: `Place ${site} ${2001 + at}`,
    year: 2001 + at,
    arm: site,
    site,
    events,
    total,
    followUpMonths: 24,
    definition: 'visible bulge',
    assessor: 'examiner',
    design: 'case series',
    row: { file: 'events.csv', line: at + 2, locator: `table ${at}` },
    ...change,
  }));
}

/** Pools of arms given site by site. */
export function makePools(
  arms: readonly (readonly ArmEvents[])[],
  options: RatePoolOptions = { zeroEvents: { addToEachCell: 0.5 } },
): SitePools {
  return poolBySite(arms.flat(), options);
}
