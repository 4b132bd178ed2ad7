import type { SitePools } from '../../pooling/poolBySite.ts';

/** Every caution of every pool, each with its site. */
export function cautionsReading(pools: SitePools): readonly string[] {
  return pools.sites
    .filter(({ pool }) => pool.arms.length > 0)
    .flatMap(({ name, pool }) => pool.cautions.map((caution) => `${name}: ${caution.message}`));
}
