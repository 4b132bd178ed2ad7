import type { PooledSite } from '../../extraction/site.ts';

/** A site within a sentence: `after …`. */
export const afterSite: Readonly<Record<PooledSite, string>> = {
  'top-of-groove': 'after fixation at the top of the groove',
  suprapectoral: 'after suprapectoral fixation',
  subpectoral: 'after subpectoral fixation',
  tenotomy: 'after tenotomy',
};

/** A site's short name within a sentence. */
export const siteInSentence: Readonly<Record<PooledSite, string>> = {
  'top-of-groove': 'top of the groove',
  suprapectoral: 'suprapectoral',
  subpectoral: 'subpectoral',
  tenotomy: 'tenotomy',
};

/** `2026-06-30` as `30 June 2026`; anything else as it is. */
export function dayInWords(date: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  const month = monthNames[Number(parts?.[2]) - 1];
  return parts === null || month === undefined ? date : `${Number(parts[3])} ${month} ${parts[1]}`;
}

const monthNames = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];
