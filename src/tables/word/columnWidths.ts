import stringWidth from 'string-width';
import { footnoteMarks } from '../footnotes.ts';
import { cellNotes, cellText, columnsFor, type Table } from '../table.ts';

/** Room for text on an A4 page with margins of 20 mm, by the way it is turned. */
export const textWidths = { portrait: 170, landscape: 257 } as const;
export type PageTurn = keyof typeof textWidths;

/** Millimetres a character of bold table text takes on average at 8.5 points, what a capital takes more, and the padding of a cell. */
const character = 1.45;
const capital = 0.5;
const padding = 4.5;
/** A column of running text is comfortable from here on. */
const comfortable = 33;
const widest = 130;
/** A row higher than this on an upright page is hard to follow. */
const mostLines = 8;

interface ColumnNeed {
  /** Its longest word on one line. */
  readonly least: number;
  /** Its longest text on one line, within bounds. */
  readonly wanted: number;
  /** Characters of its longest text. */
  readonly characters: number;
  /** How much text it holds: the quadratic mean of the characters of its cells, so that one long cell among many empty ones asks for little. */
  readonly fullness: number;
}

/**
 * Which way must the page be turned for a table?
 *
 * Every column asks for its longest text on one line, for 33 mm where that text is longer, and never for less than
 * its longest word. Where the columns together ask for more than the 170 mm of an upright A4 page, or a row would be
 * more than eight lines high there, the table stands on a page turned on its side, which has 257 mm.
 */
export function turnFor(source: Table): PageTurn {
  const asked = needs(source).reduce(
    (sum, { least, wanted }) => sum + Math.max(least, Math.min(wanted, comfortable)),
    0,
  );
  return asked > textWidths.portrait || linesOf(source) > mostLines ? 'landscape' : 'portrait';
}

/**
 * Widths of a table's columns in mm, together no more than the page has room for.
 *
 * No column is narrower than its longest word while there is room; what remains goes to the columns that hold the most
 * text. A small table keeps its own width, one of at least 60 % of the room is spread over all of it.
 */
export function columnWidths(source: Table, turn: PageTurn): readonly number[] {
  const columns = needs(source);
  const room = textWidths[turn];
  const wanted = columns.reduce((sum, need) => sum + need.wanted, 0);
  const least = columns.reduce((sum, need) => sum + need.least, 0);
  if (least >= room) return columns.map((need) => (need.least * room) / least);
  if (wanted <= room) {
    const spread = wanted < 0.6 * room ? 1 : room / wanted;
    return columns.map((need) => need.wanted * spread);
  }
  return shareOut(columns, room);
}

/** Lines of the highest row on an upright page. */
function linesOf(source: Table): number {
  const widths = columnWidths(source, 'portrait');
  return Math.max(
    ...needs(source).map(({ characters: longest }, at) =>
      Math.ceil((longest * character) / Math.max(widths[at]! - padding, character)),
    ),
  );
}

/** Raises all columns from their least width towards what they want, the fullest fastest. */
function shareOut(columns: readonly ColumnNeed[], room: number): readonly number[] {
  const widths = columns.map(({ least }) => least);
  for (let round = 0; round < columns.length; round += 1) {
    const left = room - widths.reduce((sum, width) => sum + width, 0);
    const open = columns.map(({ wanted, fullness }, at) => (widths[at]! < wanted - 1e-9 ? fullness : 0));
    const shares = open.reduce((sum, share) => sum + share, 0);
    if (left < 1e-9 || shares === 0) break;
    for (const [at, share] of open.entries())
      widths[at] = Math.min(columns[at]!.wanted, widths[at]! + (left * share) / shares);
  }
  return widths;
}

/** Millimetres of a text on one line. */
const lengthOf = (text: string): number =>
  stringWidth(text) * character + (text.match(/\p{Lu}/gu)?.length ?? 0) * capital;

function needs(source: Table): readonly ColumnNeed[] {
  const marks = footnoteMarks(source);
  return columnsFor(source, 'page').map((column) => {
    const texts = [
      column.heading,
      ...source.rows.map((row) => {
        const mark = marks.of(cellNotes(row[column.key]));
        return mark === '' ? cellText(row[column.key]) : `${cellText(row[column.key])}\u00a0${mark}`;
      }),
    ];
    const lengths = texts.map((text) => stringWidth(text));
    const characters = Math.max(...lengths);
    const fullness = Math.sqrt(lengths.reduce((sum, length) => sum + length ** 2, 0) / lengths.length);
    const words = texts.flatMap((text) => text.split(/[ \u00ad]|(?<=[-\u2013/])/));
    const longestWord = Math.max(...words.map(lengthOf));
    const least = Math.min(longestWord, widest) + padding;
    return {
      least,
      wanted: Math.max(least, Math.min(Math.max(...texts.map(lengthOf)), widest) + padding),
      characters,
      fullness,
    };
  });
}
