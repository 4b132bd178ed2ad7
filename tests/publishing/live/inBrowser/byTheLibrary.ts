import type { SelectionDepartures } from '../../../../src/extraction/eventSelection.ts';
import { selectEvents } from '../../../../src/extraction/selectEvents.ts';
import { poolBySite, type SitePools } from '../../../../src/pooling/poolBySite.ts';
import { protocolOptions } from '../../../../src/pooling/protocolOptions.ts';
import { quoteSites } from '../../../../src/pooling/quoteSites.ts';
import type { RatePoolOptions } from '../../../../src/pooling/ratePoolOptions.ts';
import { rateCells } from '../../../../src/tables/ratesBySiteTable.ts';
import { notInPoolText, percentLimits } from '../../../../src/tables/rateText.ts';
import { demo } from '../demo.ts';

/** The library called directly: the same choices, without any code of the page. */
export function pooled(
  outcomeId: string,
  departures: SelectionDepartures = {},
  options: RatePoolOptions = {},
  counts: (study: string) => boolean = () => true,
): SitePools {
  const { arms, outcome } = selectEvents(demo, outcomeId, departures);
  const all = { ...protocolOptions(demo.protocol, outcome), ...options };
  const pools = poolBySite(
    arms.filter(({ study }) => counts(study)),
    all,
  );
  // Who chooses a pool of his own is shown that pool; otherwise the number is quoted by the rule.
  return quoteSites(pools, all, Object.keys(options).length === 0 ? 'by-rule' : 'as-pooled');
}

/** Pools as the answer prints them, from the cells of the library's own table. */
export const printed = (pools: SitePools): readonly (readonly string[])[] =>
  pools.sites.map(({ name, pool }) => {
    const cells = rateCells(pool);
    return [
      name,
      String(cells.rate),
      pool.headline === undefined ? '' : percentLimits(pool.headline.interval),
      String(cells.prediction ?? ''),
      pool.arms.length === 0
        ? ''
        : `${pool.events.toLocaleString('en-GB')} of ${pool.shoulders.toLocaleString('en-GB')}, ${pool.studies} ${pool.studies === 1 ? 'study' : 'studies'}${pool.armsNotInNumber.length === 0 ? '' : `; ${notInPoolText(pool)}`}`,
    ];
  });
