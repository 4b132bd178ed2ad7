import { siteNames } from '../extraction/site.ts';
import type { Answer } from './answer.ts';
import type { Verdict } from './verdict.ts';

const low = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/**
 * An answer's verdict as a clause, without numbers but the difference that matters: `suprapectoral has fewer than
 * tenotomy, by 5 or more in 100`.
 */
export function verdictClause({
  question,
  verdict,
  material,
  quoted,
}: Pick<Answer, 'question' | 'verdict' | 'material' | 'quoted'>): string {
  const one = low(siteNames[question.site]);
  if (!('comparator' in question)) {
    const clauses: Partial<Readonly<Record<Verdict, string>>> = {
      'cannot be told': `how often it happens after ${one} cannot be told`,
      'at most as many': `it happens after ${one} in at most as many as the upper limit says`,
      'at least as many': `it happens after ${one} in at least as many as the lower limit says`,
      'about as many': `it happens after ${one} in about as many`,
    };
    return clauses[verdict] ?? 'how sure one may be was not rated';
  }
  const other = low(siteNames[question.comparator]);
  const unit = question.kind === 'comparison' ? 'in 100' : 'points';
  const by = `${material} or more ${unit}`;
  if (quoted === undefined) return `no study gives a difference between ${one} and ${other}`;
  const clauses: Partial<Readonly<Record<Verdict, string>>> = {
    fewer: `${one} has fewer than ${other}, by ${by}`,
    'not more': `${one} does not have more than ${other} by ${by}, but may have as many or fewer`,
    'no difference that matters': `${one} and ${other} do not differ by ${by}`,
    'not fewer': `${one} does not have fewer than ${other} by ${by}, but may have as many or more`,
    more: `${one} has more than ${other}, by ${by}`,
    'not rated': `${one} and ${other}: how sure one may be was not rated, so nothing is concluded`,
  };
  return clauses[verdict] ?? `whether ${one} and ${other} differ by ${by} cannot be told`;
}
