import {
  type Availability,
  availabilities,
  type MissingEvidence,
} from '../robustness/missing/missingEvidence.ts';
import { counted } from '../wording/words.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { wrapText } from './fitText.ts';
import { availabilityMark } from './marks/availabilityMark.ts';
import { ruleMark } from './marks/axisMarks.ts';
import { palette } from './palette.ts';
import { put, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

export type MissingMatrixOptions = FigureOptions;

const availabilityWords: Readonly<Record<Availability, string>> = {
  used: 'in the analysis',
  'in another report': 'same patients in another report',
  'reported otherwise': 'with numbers, in a way the protocol does not accept',
  'without a number': 'mentioned without a usable number',
  'not reported': 'not reported',
};

const letterOf = (index: number): string =>
  String.fromCharCode(65 + (index % 26)).repeat(1 + Math.floor(index / 26));

/**
 * Which study reports which outcome?
 *
 * One row a study, one column an outcome: a filled disc where its numbers are in the analysis, and four lesser marks
 * down to an empty place with a dash where the study is silent. Below, how many studies have each outcome.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * missingMatrix(missingEvidence(review), { width: '190mm' })
 */
export function missingMatrix(evidence: MissingEvidence, options: MissingMatrixOptions = {}): string {
  refuseUnknownOptions('missingMatrix', options, figureOptionNames);
  const resolved = resolveFigureOptions(options, {
    title: 'Which study reports which outcome',
    idPrefix: 'missing',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const { outcomes, studies } = evidence;
  const right = page.width - page.margin;
  const nameRoom = page.narrow ? 96 : 132;
  const left = page.margin + nameRoom;
  const step = (right - left) / Math.max(1, outcomes.length);
  const centre = (index: number): number => left + (index + 0.5) * step;
  const heads = { size: page.noteSize, face: 'semibold', fill: palette.quiet } as const;
  const longest = Math.max(
    0,
    ...outcomes.flatMap(({ name }) =>
      name.split(' ').map((word) => textWidth(word, page.noteSize, 'semibold')),
    ),
  );
  // Where a column is narrower than a word, outcomes are lettered and named below.
  const lettered = longest > step - 6;
  const headings = outcomes.map(({ name }, index) =>
    lettered ? [letterOf(index)] : wrapText(name, step - 6, page.noteSize, 'semibold'),
  );
  const lines = Math.max(1, ...headings.map((each) => each.length));
  for (const [index, heading] of headings.entries())
    for (const [line, text] of heading.entries())
      put(
        sheet,
        text,
        centre(index),
        sheet.y + page.noteSize + (lines - heading.length + line) * page.lineHeight,
        { ...heads, anchor: 'middle' },
      );
  sheet.y += lines * page.lineHeight + 3;
  sheet.marks.push(ruleMark(page.margin, right, sheet.y, palette.quiet));
  sheet.y += 3;
  const height = page.lineHeight + 1.6;
  for (const { label, cells } of studies) {
    put(sheet, label, page.margin, sheet.y + 0.5 * height + 0.34 * page.textSize, {
      size: page.textSize,
      room: nameRoom - 6,
    });
    for (const [index, { availability }] of cells.entries())
      sheet.marks.push(availabilityMark(availability, centre(index), sheet.y + 0.5 * height));
    sheet.y += height;
  }
  sheet.y += 2;
  sheet.marks.push(ruleMark(page.margin, right, sheet.y, palette.quiet));
  put(sheet, `In the analysis, of ${studies.length}`, page.margin, sheet.y + page.lineHeight, {
    ...heads,
    room: nameRoom - 6,
  });
  for (const [index, { studies: counts }] of outcomes.entries())
    put(sheet, String(counts.used), centre(index), sheet.y + page.lineHeight, {
      size: page.textSize,
      face: 'bold',
      anchor: 'middle',
    });
  sheet.y += page.lineHeight + 10;
  const present = availabilities.filter((each) => outcomes.some(({ studies: counts }) => counts[each] > 0));
  for (const each of present) {
    sheet.marks.push(availabilityMark(each, page.margin + 5, sheet.y + 4.4));
    put(sheet, availabilityWords[each], page.margin + 14, sheet.y + 4.4 + 0.34 * page.noteSize, {
      size: page.noteSize,
    });
    sheet.y += page.lineHeight + 0.6;
  }
  sheet.y += 3;
  const key = lettered
    ? [`${outcomes.map(({ name }, index) => `${letterOf(index)}\u00a0${name}`).join('; ')}.`]
    : [];
  const words = outcomes.map(
    ({ name, studies: counts }) =>
      `${name}: ${availabilities
        .filter((each) => counts[each] > 0)
        .map((each) => `${counts[each]} ${each}`)
        .join(', ')}.`,
  );
  return drawSheet(sheet, resolved, {
    notes: [...key, 'Silence is not a report of no events.'],
    description: `${counted(studies.length, 'study', 'studies')} against ${counted(outcomes.length, 'outcome')}. ${words.join(' ')} Silence is not a report of no events.`,
  });
}
