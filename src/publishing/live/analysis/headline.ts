import type { SitePools } from '../../../pooling/poolBySite.ts';
import type { PooledRate } from '../../../pooling/pooledRate.ts';
import { percentDigits } from '../../../tables/rateText.ts';

/** One site's rate in few words: `18`, `none seen`, `no study`. */
export function shortRate({ arms, headline }: PooledRate): string {
  if (arms.length === 0) return 'no study';
  if (headline === undefined) return 'not pooled';
  if (headline.basis === 'exact') return headline.rate === 0 ? 'none seen' : 'all';
  return percentDigits(headline.rate);
}

/** The answer in one sentence, for those who hear the page and for the clipboard. */
export function headlineSentence(outcome: string, pools: SitePools): string {
  const parts = pools.sites.map(({ name, pool }) => `${name.toLowerCase()} ${shortRate(pool)}`);
  return `${outcome}, in 100 shoulders: ${parts.join(', ')}. Not a comparison of sites.`;
}

/** How a site's rate differs from the protocol's, where it does: what a reader who changed something wants first. */
export function againstProtocol(pool: PooledRate, planned: PooledRate): string | undefined {
  const [now, then] = [shortRate(pool), shortRate(planned)];
  return now === then ? undefined : then;
}
