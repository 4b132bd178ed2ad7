import { isReported } from '../../extraction/reported.ts';
import type { Review } from '../../extraction/review.ts';

/** Where the studies were done, in words: `hospitals in Vardia and Ostrava`. */
export function settingText({ studies }: Pick<Review, 'studies'>): string {
  const told = [...new Set(studies.flatMap(({ country }) => (isReported(country) ? [country] : [])))].sort();
  const lacking = studies.filter(({ country }) => !isReported(country)).length;
  if (told.length === 0) return 'not reported';
  const [last = '', ...others] = [...told].reverse();
  const places = others.length === 0 ? last : `${others.reverse().join(', ')} and ${last}`;
  return `hospitals in ${places}${lacking === 0 ? '' : `; not reported by ${lacking} of ${studies.length}`}`;
}
