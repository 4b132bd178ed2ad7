import type { Review } from '../extraction/review.ts';

/** How the template marks what only the reviewers can say. */
const placeholder = /^replace with /i;

/** Keys below which a text of the protocol still is the template's, such as `outcomes[0].thresholdsPer100.source`. */
function placeholdersIn(value: unknown, path: string): readonly string[] {
  if (typeof value === 'string') return placeholder.test(value) ? [path] : [];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, member]) =>
    placeholdersIn(member, Array.isArray(value) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`),
  );
}

/**
 * What has nobody filled in yet of a review begun from the template?
 *
 * @returns a line for the sheets without which there is nothing to pool, and one for the protocol; each only if it applies
 * @example
 * stillToFillIn(review)[1] // 'Still to fill in: protocol.json has the template's own words in title, question.'
 */
export function stillToFillIn(review: Review): readonly string[] {
  const { studies, arms, events, scores } = review;
  const empty = [
    ...(studies.length === 0 ? ['studies.csv'] : []),
    ...(arms.length === 0 ? ['arms.csv'] : []),
    ...(events.length + scores.length === 0 ? ['events.csv or scores.csv'] : []),
  ];
  const words = placeholdersIn(review.protocol, '');
  return [
    ...(empty.length === 0
      ? []
      : [`Still to fill in: no row yet in ${empty.join(', ')}. Until then the pages have nothing to pool.`]),
    ...(words.length === 0
      ? []
      : [`Still to fill in: protocol.json has the template's own words in ${words.join(', ')}.`]),
  ];
}
