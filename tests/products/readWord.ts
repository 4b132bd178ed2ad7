import JSZip from 'jszip';
import { bookmarkOf } from '../../src/wording/answerMark.ts';
import { headlinesIn } from './headline.ts';
import type { ReadProduct, Said } from './readProduct.ts';

const entities: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', apos: "'", amp: '&' };
const plain = (xml: string): string =>
  xml.replace(/&(?:(\w+)|#(\d+)|#x([\da-f]+));/gi, (_, name?: string, code?: string, hex?: string) =>
    name === undefined
      ? String.fromCodePoint(Number.parseInt(code ?? hex!, code ? 10 : 16))
      : entities[name]!,
  );
const wordTokens =
  /<w:bookmarkStart\b[^>]*?w:name="(?<name>[^"]*)"[^>]*?w:id="(?<start>[^"]*)"[^>]*>|<w:bookmarkStart\b[^>]*?w:id="(?<start2>[^"]*)"[^>]*?w:name="(?<name2>[^"]*)"[^>]*>|<w:bookmarkEnd\b[^>]*?w:id="(?<end>[^"]*)"[^>]*>|<w:t(?: [^>]*)?>(?<text>[^<]*)<\/w:t>|<w:(?<open>tr|tc|p)(?: [^>]*)?>|<\/w:(?<close>tr|tc|p)>/g;

/** A Word file read back: what stands in the bookmarks of answers, and values with an interval in none. */
export async function readWord(
  product: string,
  file: Uint8Array,
  ids: readonly string[],
): Promise<ReadProduct> {
  const xml = (await (await JSZip.loadAsync(file)).file('word/document.xml')?.async('string')) ?? '';
  const idOf = new Map(ids.map((id) => [bookmarkOf(id), id]));
  const marked: Said[] = [];
  const bare: Said[] = [];
  const open = new Map<string, { answer: string; text: string; opensRow: boolean }>();
  let cells: string[] | undefined;
  let rowAnswers: string[] = [];
  let outside = '';
  let inRow = '';
  const where = 'document';
  const endParagraph = (): void => {
    if (cells === undefined) for (const { text } of headlinesIn(outside)) bare.push({ where, text });
    else inRow += `${outside}\n`;
    outside = '';
  };
  for (const { groups = {} } of xml.matchAll(wordTokens)) {
    const name = groups.name ?? groups.name2;
    if (name !== undefined) {
      if (!name.startsWith('answer_')) continue;
      const known = idOf.get(name) ?? idOf.get(name.replace(/_\d+$/, ''));
      const opensRow = cells?.length === 1 && cells[0] === '';
      open.set(groups.start ?? groups.start2!, { answer: known ?? name, text: '', opensRow });
      outside += '\n';
    } else if (groups.end !== undefined) {
      const ended = open.get(groups.end);
      if (ended === undefined) continue;
      open.delete(groups.end);
      // The name of a row in a bookmark stands for its row.
      if (ended.opensRow && headlinesIn(ended.text).length === 0) rowAnswers.push(ended.answer);
      else marked.push({ where, answer: ended.answer, text: ended.text.trim(), kind: 'words' });
    } else if (groups.text !== undefined) {
      const text = plain(groups.text);
      if (open.size === 0) outside += text;
      for (const each of open.values()) each.text += text;
      if (cells !== undefined) cells[cells.length - 1] += text;
    } else if (groups.open === 'tr') [cells, rowAnswers, inRow] = [[], [], ''];
    else if (groups.open === 'tc') cells?.push('');
    else if (groups.close === 'p') endParagraph();
    else if (groups.close === 'tr') {
      const text = (cells ?? []).join(' | ');
      for (const answer of rowAnswers) marked.push({ where, answer, text, kind: 'row' });
      if (rowAnswers.length === 0)
        for (const found of headlinesIn(inRow)) bare.push({ where, text: found.text });
      cells = undefined;
    }
  }
  return { product, marked, bare };
}
