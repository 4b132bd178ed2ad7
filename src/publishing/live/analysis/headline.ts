import { meanIntervalMethods } from '../../../pooling/meanIntervalMethods.ts';
import { scaleNames } from '../../../pooling/methodsSentence.ts';
import type { SitePools } from '../../../pooling/poolBySite.ts';
import type { PooledRate } from '../../../pooling/pooledRate.ts';
import { varianceEstimatorMethods } from '../../../pooling/varianceEstimatorMethods.ts';
import { quotedNotes } from '../../../tables/ratesBySiteTable.ts';
import { percentDigits } from '../../../tables/rateText.ts';

/** One site's rate in few words: `18`, `none seen`, `no study`. */
export function shortRate({ arms, headline }: PooledRate): string {
  if (arms.length === 0) return 'no study';
  if (headline === undefined) return 'not pooled';
  if (headline.basis === 'exact') return headline.rate === 0 ? 'none seen' : 'all';
  return percentDigits(headline.rate);
}

/** What the rates are numbers of: as the rule quotes them, or the pool that the reader chose. */
export function methodNote({ sites }: SitePools): string {
  if (sites.some(({ pool }) => pool.quoted !== undefined)) return quotedNotes(sites).join(' ');
  const options = sites[0]?.pool.options;
  if (options === undefined) return '';
  const { scale, model, betweenStudyVariance, interval } = options;
  const how =
    model === 'common-effect' ? 'common effect' : varianceEstimatorMethods[betweenStudyVariance].name;
  return `As you chose: ${scaleNames[scale]}, ${how}, ${meanIntervalMethods[interval].name} interval. The review itself quotes the number marked "protocol" where it differs.`;
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
