import { sheets } from '../sheets/sheets.ts';
import { foldText } from './compareCells.ts';
import type { Disagreement } from './disagreement.ts';

/**
 * Adds a hint where two cells that differ would agree if one person had the two rows exchanged: two arms of one study
 * with their values swapped.
 */
export function swapHints(disagreements: readonly Disagreement[]): readonly Disagreement[] {
  const cells = disagreements.filter(
    ({ difference }) => difference === 'number' || difference === 'category',
  );
  return disagreements.map((each) => {
    if (!cells.includes(each)) return each;
    const other = cells.find((mate) => mate !== each && isSwapOf(each, mate));
    if (other === undefined) return each;
    const hint = `Perhaps exchanged with the arm "${armOf(other)}".`;
    return { ...each, hints: [...each.hints, hint] };
  });
}

function isSwapOf(one: Disagreement, other: Disagreement): boolean {
  if (one.sheet !== other.sheet || one.column !== other.column) return false;
  const armAt = (sheets[one.sheet].key as readonly string[]).indexOf('arm');
  if (armAt < 0) return false;
  const [a, b] = [one.rowKey.split(' | '), other.rowKey.split(' | ')];
  if (a.some((part, at) => (at === armAt ? part === b[at] : part !== b[at]))) return false;
  const same = (x: string, y: string): boolean => foldText(x) === foldText(y);
  return same(one.first.text, other.second.text) && same(one.second.text, other.first.text);
}

const armOf = ({ sheet, rowKey }: Disagreement): string =>
  rowKey.split(' | ')[(sheets[sheet].key as readonly string[]).indexOf('arm')] ?? '';
