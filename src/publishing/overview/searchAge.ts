import { dayInWords } from '../../tables/plainWords/siteWords.ts';

/**
 * How old is a search, said on a given day?
 *
 * @param searched and @param today dates such as 2026-06-30
 * @returns a sentence; one that says so when the search lies in the future
 * @example
 * searchAge('2026-06-30', '2026-11-25') // '30 June 2026, 4 months before this page was made.'
 */
export function searchAge(searched: string, today: string): string {
  const [year = 0, month = 0, day = 0] = searched.split('-').map(Number);
  const [thisYear = 0, thisMonth = 0, thisDay = 0] = today.split('-').map(Number);
  const whole = 12 * (thisYear - year) + thisMonth - month - (thisDay < day ? 1 : 0);
  const said = dayInWords(searched);
  if (searched > today) return `${said}, which is after the day this page was made: check protocol.json.`;
  if (whole < 1) return `${said}, less than a month before this page was made.`;
  const age = whole < 24 ? `${whole} month${whole === 1 ? '' : 's'}` : `${Math.floor(whole / 12)} years`;
  const old = whole >= 12 ? ' Studies published since are not in it.' : '';
  return `${said}, ${age} before this page was made.${old}`;
}
