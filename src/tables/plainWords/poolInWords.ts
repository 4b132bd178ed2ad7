import { type PeopleBase, peopleBaseFor } from '../../effects/peopleAmong.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { notInPoolText, otherMethodOf, percentDigits, percentLimits } from '../rateText.ts';
import { aboutInHundred, startLarge, wholeText } from './aboutInHundred.ts';

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
 * Rounded words, and the number with its interval as every product prints it; where no shoulder had the event, "none of n" with what the rate may still be; where
 * nothing was pooled, that we cannot tell. Fewer than three studies give no word on the next hospital. Where the one-step
 * model gives a materially different rate, it is said too.
 *
 * @example
 * poolInWords(pool).sentence // 'None of 40; the true rate may still be 0 to 8.8 in 100.'
 */
export function poolInWords(
  pool: PooledRate,
  options: { readonly base?: PeopleBase; readonly answer?: string | undefined } = {},
): PoolInWords {
  if (pool.arms.length === 0) return unknown('no study counts it');
  const { headline } = pool;
  if (headline === undefined) return unknown('not pooled');
  const base = options.base ?? baseForPools([pool]);
  if (headline.basis === 'exact') {
    const total = wholeText(pool.shoulders);
    const limits = markAnswer(options.answer, `${percentLimits(headline.interval)} in 100`);
    const [about, likely] =
      headline.rate === 0
        ? [`none of ${total}`, `the true rate may still be ${limits}`]
        : [`all of ${total}`, `the true rate may be ${limits}`];
    return {
      about,
      likely,
      next: undefined,
      other: undefined,
      sentence: `${about.charAt(0).toUpperCase()}${about.slice(1)}; ${likely}.`,
    };
  }
  const { about, next } = aboutInHundred(
    headline.rate,
    undefined,
    pool.studies < 3 ? undefined : headline.prediction,
    { base },
  );
  // Rounded words first, for the ear; then the number as every product prints it.
  const exactly = markAnswer(
    options.answer,
    `${percentDigits(headline.rate)} in 100 (${percentLimits(headline.interval)})`,
  );
  const outside = notInPoolText(pool);
  const beside = otherMethodOf(pool);
  const other = beside && `${percentDigits(beside.rate)} in 100`;
  // Beside a number in 100, people in 1,000 are named as such.
  const nextAmong = next && (base === 100 || next.endsWith('all') ? next : `${next} in ${wholeText(base)}`);
  return {
    about,
    likely: exactly,
    next: nextAmong,
    other: other && `${beside!.words}: ${other}`,
    sentence: `${startLarge(about)}: ${exactly}${nextAmong === undefined ? '' : `; ${nextAmong}`}.${outside === '' ? '' : ` ${outside}.`}${other === undefined ? '' : ` The method matters: ${beside!.words} gives ${other}.`}`,
  };
}

const unknown = (about: string): PoolInWords => ({
  about,
  likely: 'we cannot tell',
  next: undefined,
  other: undefined,
  sentence: `${about.charAt(0).toUpperCase()}${about.slice(1)}: we cannot tell.`,
});
