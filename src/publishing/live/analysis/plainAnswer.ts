import type { SitePools } from '../../../pooling/poolBySite.ts';
import { baseForPools, poolInWords } from '../../../tables/plainWords/poolInWords.ts';

/** The answer in a surgeon's words, one sentence a site, all out of the same number of people. */
export function plainAnswer(pools: SitePools): readonly string[] {
  const base = baseForPools(pools.sites.map(({ pool }) => pool));
  return pools.sites.map(
    ({ name, pool, answer }) => `${name}: ${lowerFirst(poolInWords(pool, { base, answer }).sentence)}`,
  );
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
