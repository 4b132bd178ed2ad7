import { countsBeside } from '../../pooling/armsInNumber.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { counted } from '../../wording/words.ts';
import { levelHeading } from '../ratesBySiteTable.ts';
import { notInPoolText, otherMethodOf, percentDigits, percentLimits } from '../rateText.ts';

/**
 * What the pool of one site says, as one sentence without the site's name.
 *
 * @param answer id of the answer whose number it is
 */
export function rateReading(pool: PooledRate, answer?: string): string {
  if (pool.arms.length === 0) return 'no study reports this outcome, so nothing can be said.';
  const { headline } = pool;
  const { studies, shoulders } = countsBeside(pool);
  const basis = `${counted(studies, 'study', 'studies')} and ${counted(shoulders, 'shoulder')}`;
  if (headline === undefined) return `${basis} report it, but no rate could be pooled.`;
  const level = levelHeading(headline.interval.level);
  const outside = notInPoolText(pool);
  if (headline.basis === 'exact') {
    const limits = percentLimits(headline.interval);
    return headline.rate === 0
      ? `no event was seen in ${basis}. That is not a rate of nought: the exact ${level} interval is ${markAnswer(answer, limits)} in 100.`
      : `every shoulder had the event, in ${basis}; the exact ${level} interval is ${markAnswer(answer, limits)} in 100.`;
  }
  return (
    `about ${markAnswer(answer, `${percentDigits(headline.rate)} in 100 shoulders (${level} interval ${percentLimits(headline.interval)})`)}, ` +
    `from ${basis} with ${counted(pool.events, 'event')}.${outside === '' ? '' : ` ${outside}.`}${otherMethod(pool)}`
  );
}

/** Said right beside a rate that another defensible method moves: nobody should quote it alone. */
function otherMethod(pool: PooledRate): string {
  const other = otherMethodOf(pool);
  return other === undefined
    ? ''
    : ` The method matters here: ${other.words} gives ${percentDigits(other.rate)}.`;
}

/** One line for each site that has arms, and one naming the sites that have none. */
export function ratesReading(pools: SitePools): readonly string[] {
  const empty = pools.sites.filter(({ pool }) => pool.arms.length === 0).map(({ name }) => name);
  return [
    ...pools.sites
      .filter(({ pool }) => pool.arms.length > 0)
      .map(({ name, pool, answer }) => `${name}: ${rateReading(pool, answer)}`),
    ...(empty.length > 0 ? [`No study reports this outcome at: ${empty.join(', ')}.`] : []),
  ];
}
