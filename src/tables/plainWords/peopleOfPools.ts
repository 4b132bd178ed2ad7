import { type PeopleBase, peopleAmong } from '../../effects/peopleAmong.ts';
import type { PooledSite } from '../../extraction/site.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { baseForPools, poolInWords } from './poolInWords.ts';

/** One site's people, ready to be drawn, with the words beside them. */
export interface SitePeople {
  readonly name: string;
  readonly site: PooledSite;
  readonly people: { readonly base: PeopleBase; readonly filled: number; readonly upTo: number } | undefined;
  readonly lines: readonly string[];
}

/** People to draw for one pool; undefined where nothing was pooled. */
export function peopleOfPool(pool: PooledRate, base: PeopleBase): SitePeople['people'] {
  const { headline } = pool;
  if (headline === undefined) return undefined;
  const { about, upper = about } = peopleAmong(headline.rate, headline.interval, base);
  return { base, filled: about, upTo: Math.max(about, upper) };
}

/**
 * The people and words of every site, for `peopleGrid`; all sites share one base.
 *
 * @example
 * peopleGrid(peopleOfPools(pools), { notes: [pools.notAComparison] })
 */
export function peopleOfPools(pools: SitePools): readonly SitePeople[] {
  const base = baseForPools(pools.sites.map(({ pool }) => pool));
  return pools.sites.map(({ site, name, pool, answer }) => {
    const { about, likely, next, other } = poolInWords(pool, { base, answer });
    return {
      name,
      site,
      people: peopleOfPool(pool, base),
      lines: [about, likely, next?.replace('the next hospital could see', 'next hospital:'), other].filter(
        (line) => line !== undefined,
      ),
    };
  });
}
