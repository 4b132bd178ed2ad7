import { decodeText } from '../decodeText.ts';
import { parseDelimitedText } from '../delimitedText.ts';
import { detectDelimiter, plainHeading } from '../headings.ts';
import { trimCell } from '../missingText.ts';

/**
 * A sheet as one text that depends on its cells only.
 *
 * One line a row, in the order of the sheet: a JSON list of heading and cell, headings as the codebook spells them and
 * in alphabetical order, cells as typed but without the blanks around them and in composed characters (NFC). Cells that
 * are blank are left out, so that an optional column without entries makes no difference. Line ends, byte order mark,
 * separator, quoting, the order of columns, blank rows and comments therefore make none either; the text of any cell
 * does, also `12.0` for `12` and `NR` for a blank.
 *
 * @param headings headings of the codebook, from which the separator is recognised
 * @returns undefined when the bytes are no text in UTF-8
 */
export function canonicalSheet(
  file: string,
  content: string | Uint8Array,
  headings: readonly string[],
): string | undefined {
  const { text } = decodeText(file, content);
  if (text === undefined) return undefined;
  const { delimiter, directive } = detectDelimiter(text, headings);
  const { rows } = parseDelimitedText(file, directive ? text.replace(/^[^\n]*/, '') : text, delimiter);
  const [first, ...data] = rows;
  const columns = (first?.cells ?? [])
    .map((cell, at) => ({ heading: plainHeading(cell.text), at }))
    .sort((a, b) => (a.heading < b.heading ? -1 : a.heading > b.heading ? 1 : a.at - b.at));
  const lines = data.map(({ cells }) => {
    const filled: (readonly [string, string])[] = [];
    for (const { heading, at } of columns) {
      const cell = trimCell(cells[at]?.text ?? '').normalize('NFC');
      if (cell !== '') filled.push([heading, cell]);
    }
    return JSON.stringify(filled);
  });
  return lines.map((line) => `${line}\n`).join('');
}
