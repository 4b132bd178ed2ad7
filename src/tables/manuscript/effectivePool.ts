import type { PooledRate } from '../../pooling/pooledRate.ts';

/** What a pool has to say: a pooled rate, an exact interval of all arms together, one arm alone, or nothing. */
export type PoolSays = 'pooled' | 'one-arm' | 'exact' | 'not-pooled' | 'no-arm';

/** Which kind of sentence a pool's result needs. */
export function effectivePool(pool: PooledRate): PoolSays {
  if (pool.arms.length === 0) return 'no-arm';
  if (pool.headline === undefined) return 'not-pooled';
  if (pool.headline.basis === 'exact') return 'exact';
  const arms = pool.headline.basis === 'two-step' ? pool.twoStep.estimates : pool.armsInNumber;
  return arms.length === 1 ? 'one-arm' : 'pooled';
}
