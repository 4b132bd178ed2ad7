import type { Interval } from '../numerics/interval.ts';
import { type ArmCounts, countsBeside, notInNumberSentence } from '../pooling/armsInNumber.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { derSimonianLairdBeside } from '../pooling/quoteSites.ts';
import { rateDigits } from '../wording/numbers.ts';
import { counted } from '../wording/words.ts';

/**
 * How is a rate printed?
 *
 * In per cent: whole numbers from 10 to 90, one decimal outside, two decimals within 0.2 of none or all. Never a
 * `0` or `100` that is only rounding: what two decimals cannot tell from none is `<0.01`, from all `>99.99`.
 *
 * @param rate 0 to 1
 * @returns digits without the sign
 * @throws RangeError when `rate` is not from 0 to 1
 *
 * @example
 * percentDigits(0.0041) // '0.4'
 * percentDigits(0.2134) // '21'
 */
export function percentDigits(rate: number): string {
  if (!(rate >= 0 && rate <= 1)) throw new RangeError(`rate must be from 0 to 1, received ${rate}`);
  return rateDigits(100 * rate);
}

/** A rate with its sign: `0.4 %`. */
export function percentText(rate: number): string {
  return `${percentDigits(rate)} %`;
}

/** Two limits in words that no minus sign can confuse: `8.1 to 18`. */
export function percentLimits(interval: Interval): string {
  return `${percentDigits(interval.lower)} to ${percentDigits(interval.upper)}`;
}

/** "2 studies, 90 shoulders, 5 events". */
export const countsText = ({ studies, shoulders, events }: ArmCounts): string =>
  [
    counted(studies, 'study', 'studies'),
    counted(shoulders, 'shoulder'),
    events === 0 ? 'no events' : counted(events, 'event'),
  ].join(', ');

/** What a pooled rate rests on, and what it does not: "2 studies, 90 shoulders, 5 events; 3 arms of 750 shoulders without events are not in this number". */
export const basisText = (pool: PooledRate): string =>
  [countsText(pool), notInPoolText(pool)].filter((text) => text !== '').join('; ');

/** "3 arms of 750 shoulders without events are not in this number", without a full stop; empty where all are in it. */
export const notInPoolText = ({ armsNotInNumber }: PooledRate): string =>
  notInNumberSentence(armsNotInNumber.map(({ arm }) => arm)).replace(/\.$/, '');

/**
 * What does one pooled rate say, in one line?
 *
 * @example
 * describePooledRate(pool) // '12 % (8.1 to 18; next study 3.0 to 38), 9 studies, 512 shoulders, 61 events'
 */
export function describePooledRate(pool: PooledRate): string {
  if (pool.arms.length === 0) return 'no arm reports this';
  const { headline } = pool;
  if (!headline) return `cannot be pooled, ${countsText(countsBeside(pool))}`;
  const basis = basisText(pool);
  if (headline.basis === 'exact') {
    return headline.rate === 0
      ? `at most ${percentText(headline.interval.upper)} (exact interval ${percentLimits(headline.interval)}), ${basis}`
      : `at least ${percentText(headline.interval.lower)} (exact interval ${percentLimits(headline.interval)}), ${basis}`;
  }
  const next = headline.prediction ? `; next study ${percentLimits(headline.prediction)}` : '';
  return `${percentText(headline.rate)} (${percentLimits(headline.interval)}${next}), ${basis}`;
}

/**
 * The other method that would have a reader told another number: DerSimonian-Laird beside a number quoted by the rule, or
 * the one-step model beside a pool nobody quotes from. Undefined where none would.
 */
export function otherMethodOf(
  pool: PooledRate,
): { readonly words: string; readonly rate: number } | undefined {
  const beside = derSimonianLairdBeside(pool);
  if (pool.quoted !== undefined)
    return beside?.rate !== undefined && beside.toldDifferently
      ? { words: 'DerSimonian-Laird', rate: beside.rate }
      : undefined;
  const { rate } = pool.oneStep;
  return rate !== undefined && pool.cautions.some(({ code }) => code === 'one-step-differs')
    ? { words: 'the one-step model', rate }
    : undefined;
}
