import { type PeopleBase, peopleAmong, peopleBaseFor } from '../../effects/peopleAmong.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { methodsDiffer } from '../ratesBySiteTable.ts';
import { notInPoolText } from '../rateText.ts';
import { aboutInHundred, wholeText } from './aboutInHundred.ts';

/** One site's rate in words, and the people to draw for it. */
export interface PoolInWords {
  /** The answer in a few words: `about 5 in 100`, `none of 343`, `no study counts it`. */
  readonly about: string;
  /** Second and third line, where there is more to say. */
  readonly likely: string | undefined;
  readonly next: string | undefined;
  /** Said where another defensible method moves the rate: `other method: about 3`. */
  readonly other: string | undefined;
  readonly sentence: string;
}

/** One base for pools said side by side. */
export const baseForPools = (pools: readonly PooledRate[]): PeopleBase =>
  peopleBaseFor(pools.flatMap(({ headline }) => (headline === undefined ? [] : [headline.rate])));

/**
 * What does one pooled rate say, in words a room understands?
 *
 * As {@link aboutInHundred}; where no shoulder had the event, "none of n" with what the rate may still be; where
 * nothing was pooled, that we cannot tell. Fewer than three studies give no word on the next hospital. Where the one-step
 * model gives a materially different rate, it is said too.
 *
 * @example
 * poolInWords(pool).sentence // 'None of 40; the true rate may still be up to 9 in 100.'
 */
export function poolInWords(pool: PooledRate, options: { readonly base?: PeopleBase } = {}): PoolInWords {
  if (pool.arms.length === 0) return unknown('no study counts it');
  const { headline } = pool;
  if (headline === undefined) return unknown('not pooled');
  const base = options.base ?? baseForPools([pool]);
  if (headline.basis === 'exact') {
    const { lower = 0, upper = base } = peopleAmong(headline.rate, headline.interval, base);
    const total = wholeText(pool.shoulders);
    const [about, likely] =
      headline.rate === 0
        ? [`none of ${total}`, `the true rate may still be up to ${wholeText(upper)} in ${wholeText(base)}`]
        : [`all of ${total}`, `the true rate may be as low as ${wholeText(lower)} in ${wholeText(base)}`];
    return {
      about,
      likely,
      next: undefined,
      other: undefined,
      sentence: `${about.charAt(0).toUpperCase()}${about.slice(1)}; ${likely}.`,
    };
  }
  const { about, likely, next, sentence } = aboutInHundred(
    headline.rate,
    headline.interval,
    pool.studies < 3 ? undefined : headline.prediction,
    { base },
  );
  const outside = notInPoolText(pool);
  const { rate } = pool.oneStep;
  const other =
    rate !== undefined && methodsDiffer(pool)
      ? aboutInHundred(rate, undefined, undefined, { base }).about
      : undefined;
  return {
    about,
    likely,
    next,
    other: other && `other method: ${other.replace(/ in [\d,]+$/, '')}`,
    sentence: `${sentence}${outside === '' ? '' : ` ${outside}.`}${other === undefined ? '' : ` The method matters: another gives ${other}.`}`,
  };
}

const unknown = (about: string): PoolInWords => ({
  about,
  likely: 'we cannot tell',
  next: undefined,
  other: undefined,
  sentence: `${about.charAt(0).toUpperCase()}${about.slice(1)}: we cannot tell.`,
});
