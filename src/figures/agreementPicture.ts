import { columnInWords } from '../extraction/agreement/columnInWords.ts';
import type { Comparison } from '../extraction/agreement/compareExtractions.ts';
import { type Disagreement, wholeRow } from '../extraction/agreement/disagreement.ts';
import { extractedSheets } from '../extraction/agreement/readExtraction.ts';
import { sheets } from '../extraction/sheets/sheets.ts';
import { drawFigure } from './drawFigure.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { ruleMark } from './marks/axisMarks.ts';
import { palette } from './palette.ts';
import { type Mark, shape } from './shape.ts';
import { finishSheet, put, startSheet } from './sheet.ts';

type Sign = 'differ' | 'found by one' | 'row of one';

const signWords: Readonly<Record<Sign, string>> = {
  differ: 'the two give different values',
  'found by one': 'one gives a value, the other none',
  'row of one': 'a row that only one has',
};

/** One disagreement as a square: filled, half filled, or open, so that grey print keeps them apart. */
const square =
  (sign: Sign, x: number, y: number, side: number): Mark =>
  ({ document }) => {
    const box = shape(document, 'rect', {
      x,
      y,
      width: side,
      height: side,
      fill: sign === 'differ' ? palette.comparison : palette.paper,
      stroke: palette.comparison,
      'stroke-width': 0.9,
    });
    if (sign !== 'found by one') return box;
    const half = shape(document, 'path', {
      d: `M${x},${y}v${side}h${side}z`,
      fill: palette.comparison,
    });
    return shape(document, 'g', {}, [box, half]);
  };

interface Line {
  readonly name: string;
  readonly signs: readonly Sign[];
  /** Cells or rows compared. */
  readonly outOf: number;
  readonly kappa: string;
}

const signOf = ({ column, difference }: Disagreement): Sign =>
  column === wholeRow ? 'row of one' : difference === 'reported by one' ? 'found by one' : 'differ';

function linesOf(
  comparison: Comparison,
): readonly { readonly file: string; readonly lines: readonly Line[] }[] {
  return extractedSheets.flatMap((sheet) => {
    const open = comparison.disagreements.filter((each) => each.sheet === sheet);
    const rows = comparison.rows.filter((row) => row.sheet === sheet);
    const whole = open.filter(({ column }) => column === wholeRow);
    const toolOf = ({ rowKey }: Disagreement): string => rowKey.split(' | ')[1] ?? '';
    const lines = comparison.columns
      .filter((column) => column.sheet === sheet)
      .flatMap((column): Line[] => {
        const signs = open
          .filter((each) => each.column === column.column)
          .filter((each) => column.instrument === undefined || toolOf(each) === column.instrument)
          .map(signOf)
          .sort();
        if (signs.length === 0) return [];
        const kappa = column.kappa?.kappa;
        return [
          {
            name: column.instrument ?? columnInWords(column.column),
            signs,
            outOf: column.rows - column.neitherReported,
            kappa: kappa === undefined ? '' : kappa.toFixed(2),
          },
        ];
      });
    const ofRows: Line[] =
      whole.length === 0 ? [] : [{ name: 'rows', signs: whole.map(signOf), outOf: rows.length, kappa: '' }];
    const all = [...lines, ...ofRows];
    return all.length === 0 ? [] : [{ file: sheets[sheet].file, lines: all }];
  });
}

/**
 * Where do two extractors disagree?
 *
 * One square a disagreement, column by column of every sheet: filled where values differ, half filled where only one found a
 * value, open where only one has the row. Columns without a disagreement are counted below. On the right how many
 * cells were compared, and kappa where the column holds categories.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * agreementPicture(compareExtractions(first, second), { width: '190mm' })
 */
export function agreementPicture(comparison: Comparison, options: FigureOptions = {}): string {
  refuseUnknownOptions('agreementPicture', options, figureOptionNames);
  const resolved = resolveFigureOptions(options, {
    title: 'Where two extractors disagree',
    idPrefix: 'agreement',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const groups = linesOf(comparison);
  const right = page.width - page.margin;
  const nameRoom = page.narrow ? 92 : 132;
  const left = page.margin + nameRoom;
  const kappaAt = right;
  const outOfAt = right - (page.narrow ? 34 : 46);
  const room = outOfAt - (page.narrow ? 34 : 46) - left;
  const side = 6;
  const step = side + 2;
  const perLine = Math.max(1, Math.floor(room / step));
  const head = { size: page.noteSize, face: 'semibold', fill: palette.quiet, anchor: 'end' } as const;
  put(sheet, 'Disagreements', left, sheet.y + page.noteSize, { ...head, anchor: 'start' });
  put(sheet, 'Compared', outOfAt, sheet.y + page.noteSize, head);
  put(sheet, 'Kappa', kappaAt, sheet.y + page.noteSize, head);
  sheet.y += page.lineHeight + 2;
  sheet.marks.push(ruleMark(page.margin, right, sheet.y, palette.quiet));
  sheet.y += 3;
  const text = (words: string, x: number, anchor: 'start' | 'end', width?: number): void =>
    put(sheet, words, x, sheet.y + 0.5 * (side + 6) + 0.34 * page.textSize, {
      size: page.textSize,
      anchor,
      ...(width === undefined ? {} : { room: width }),
    });
  for (const { file, lines } of groups) {
    put(sheet, file, page.margin, sheet.y + page.lineHeight, { size: page.textSize, face: 'bold' });
    sheet.y += page.lineHeight + 3.5;
    for (const { name, signs, outOf, kappa } of lines) {
      text(name, page.margin, 'start', nameRoom - 6);
      text(String(outOf), outOfAt, 'end');
      text(kappa, kappaAt, 'end');
      for (const [index, sign] of signs.entries()) {
        const line = Math.floor(index / perLine);
        sheet.marks.push(square(sign, left + (index % perLine) * step, sheet.y + 3 + line * step, side));
      }
      sheet.y += side + 6 + (Math.ceil(signs.length / perLine) - 1) * step;
    }
    sheet.y += 3;
  }
  if (groups.length === 0) {
    text('None.', page.margin, 'start');
    sheet.y += side + 6;
  }
  sheet.marks.push(ruleMark(page.margin, right, sheet.y, palette.quiet));
  sheet.y += 5;
  const seen = groups.flatMap(({ lines }) => lines.flatMap(({ signs }) => signs));
  for (const sign of (Object.keys(signWords) as Sign[]).filter((each) => seen.includes(each))) {
    sheet.marks.push(square(sign, page.margin + 1, sheet.y + 1.5, side));
    put(sheet, signWords[sign], page.margin + 14, sheet.y + 4.5 + 0.34 * page.noteSize, {
      size: page.noteSize,
    });
    sheet.y += page.lineHeight + 0.6;
  }
  sheet.y += 3;
  const shown = groups.reduce(
    (sum, { lines }) => sum + lines.filter(({ name }) => name !== 'rows').length,
    0,
  );
  const agreeing =
    comparison.columns.filter(({ rows, neitherReported }) => rows > neitherReported).length - shown;
  const note = `In ${agreeing} other columns and instruments the two agree throughout.`;
  const total = finishSheet(sheet, [note], resolved);
  const words = groups.map(
    ({ file, lines }) =>
      `${file}: ${lines.map(({ name, signs, outOf }) => `${name} ${signs.length} of ${outOf}`).join(', ')}.`,
  );
  return drawFigure({
    millimetres: page.millimetres,
    width: page.width,
    height: total,
    domain: [0, page.width],
    range: [0, page.width],
    marks: sheet.marks,
    title: resolved.title,
    description: `${comparison.disagreements.length} disagreements, one square each. ${words.join(' ')} ${note}${resolved.notice === undefined ? '' : ` ${resolved.notice}`}`,
    idPrefix: resolved.idPrefix,
    document: resolved.document,
  });
}
