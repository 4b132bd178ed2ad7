import { checkCount } from '../../effects/checkCount.ts';
import type { Claim } from './claim.ts';

const countPattern = /(\d[\d,]*)\s*(?:out\s+of|of|\/)\s*(?:the\s+)?(\d[\d,]*)/gi;
const limitPattern =
  /(?:under|below|less\s+than|fewer\s+than|at\s+most|<)\s*(\d+(?:\.\d+)?)\s*(?:(%|per\s?cent)|(?:in|of|per)\s+(\d[\d,]*))/i;

/**
 * What does a sentence claim?
 *
 * The first `events of total` (also `events/total`, `events out of total`), a second one as its comparator, and a limit
 * such as `under 5 %` or `fewer than 1 in 1,000`. Everything else in the sentence is passed over.
 *
 * @throws RangeError when there is no count, more than two, or an impossible one
 * @example
 * readClaim('No bulge: 0 of 40, against 15 of 45 after release') // { events: 0, total: 40, comparator: … }
 */
export function readClaim(sentence: string): Claim {
  // The limit goes first, so that "fewer than 1 of 100" is not read as a count.
  const limitFound = limitPattern.exec(sentence);
  const rest = limitFound === null ? sentence : sentence.replace(limitFound[0], ' ');
  const counts = [...rest.matchAll(countPattern)].map(([, events, total]) => ({
    events: whole(events!),
    total: whole(total!),
  }));
  const [first, comparator, third] = counts;
  if (first === undefined || third !== undefined) {
    throw new RangeError(
      `a claim needs one count or two, such as "0 of 40", received ${counts.length} in "${sentence.slice(0, 200)}"`,
    );
  }
  checkCount(first);
  if (comparator !== undefined) checkCount(comparator);
  const limit =
    limitFound === null
      ? undefined
      : Number(limitFound[1]) / (limitFound[2] === undefined ? whole(limitFound[3]!) : 100);
  if (limit !== undefined && !(limit > 0 && limit < 1))
    throw new RangeError(`the limit must lie between 0 and all, received "${limitFound?.[0]}"`);
  return {
    ...first,
    ...(comparator === undefined ? {} : { comparator }),
    ...(limit === undefined ? {} : { limit }),
  };
}

const whole = (digits: string): number => Number(digits.replaceAll(',', ''));
