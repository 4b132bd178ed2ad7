import type { InstrumentJudgement, StudyQuality } from '../certainty/quality/studyQuality.ts';
import { judgedSum } from '../certainty/quality/sumInWords.ts';
import { answersTo, type JudgementTool } from '../extraction/sheets/judgementsSheet.ts';
import { counted } from '../wording/words.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  type ResolvedFigureOptions,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { wrapText } from './fitText.ts';
import { ruleMark } from './marks/axisMarks.ts';
import { type ConcernStep, concernMark } from './marks/concernMark.ts';
import { palette } from './palette.ts';
import { put, type Sheet, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

const words: Readonly<Record<string, ConcernStep>> = {
  low: 0,
  'some concerns': 1,
  moderate: 1,
  high: 2,
  serious: 2,
  critical: 3,
  'no information': 'unknown',
};

/** How much an answer worries within its item: points against the most the item allows. */
export function stepOf(tool: JudgementTool, item: string, answer: string | undefined): ConcernStep {
  if (answer === undefined) return undefined;
  if (tool === 'RoB 2' || tool === 'ROBINS-I') return words[answer];
  const most = Math.max(...answersTo(tool, item).map(Number));
  return Number(answer) === most ? 0 : Number(answer) > 0 ? 1 : 2;
}

const letterOf = (index: number): string => String.fromCharCode(65 + index);

const keyWords: readonly (readonly [ConcernStep, string])[] = [
  [0, 'low, or all points the item allows'],
  [1, 'some concerns or moderate, or part of the points'],
  [2, 'high or serious, or no points'],
  [3, 'critical'],
  ['unknown', 'the paper does not say'],
  [undefined, 'not judged: never read as low'],
];

/**
 * Which studies were done how well, item by item?
 *
 * One block for each instrument, one row a study, one column an item. More ink is more concern, in one hue, so that the
 * picture holds in grey and for every eye; the reading of each study stands beside it in words.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * qualityGrid(studyQuality(review), { width: '190mm' })
 */
export function qualityGrid(quality: readonly StudyQuality[], options: FigureOptions = {}): string {
  refuseUnknownOptions('qualityGrid', options, figureOptionNames);
  const resolved = resolveFigureOptions(options, {
    title: 'How well each study was done',
    idPrefix: 'quality',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const judged = quality.flatMap((study) =>
    study.judgement === undefined ? [] : [{ study, judgement: study.judgement }],
  );
  const tools = [...new Set(judged.map(({ judgement }) => judgement.instrument))];
  const steps = new Set<ConcernStep>();
  for (const tool of tools)
    drawBlock(
      sheet,
      resolved,
      tool,
      judged.filter(({ judgement }) => judgement.instrument === tool),
      steps,
    );
  const without = quality.filter(({ judgement }) => judgement === undefined);
  if (quality.length === 0) sheet.y += page.lineHeight;
  drawKey(sheet, resolved, steps);
  const notes = [
    ...(without.length === 0
      ? []
      : [`Not judged by anybody: ${without.map(({ label }) => label).join(', ')}.`]),
    ...(quality.length === 0 ? ['There are no studies.'] : []),
    'The words on the right read each instrument on three steps; that reading is ours.',
  ];
  return drawSheet(sheet, resolved, { notes, description: describe(quality) });
}

interface JudgedStudy {
  readonly study: StudyQuality;
  readonly judgement: InstrumentJudgement;
}

function drawBlock(
  sheet: Sheet,
  { page }: ResolvedFigureOptions,
  tool: JudgementTool,
  studies: readonly JudgedStudy[],
  steps: Set<ConcernStep>,
): void {
  const right = page.width - page.margin;
  const items = [...new Set(studies.flatMap(({ judgement }) => judgement.items.map(({ item }) => item)))];
  const nameRoom = page.narrow ? 74 : 108;
  const wordRoom = page.narrow ? 56 : 140;
  const left = page.margin + nameRoom;
  const step = Math.min((right - wordRoom - left) / items.length, page.narrow ? 18 : 64);
  const side = Math.min(9, step - 2);
  const centre = (index: number): number => left + (index + 0.5) * step;
  const head = { size: page.noteSize, face: 'semibold', fill: palette.quiet } as const;
  put(sheet, tool, page.margin, sheet.y + page.headingSize, { size: page.headingSize, face: 'bold' });
  sheet.y += page.headingSize + 5;
  const lettered = items.some((item) =>
    item.split(' ').some((word) => textWidth(word, page.noteSize, 'semibold') > step - 4),
  );
  const headings = items.map((item, index) =>
    lettered ? [letterOf(index)] : wrapText(item, step - 4, page.noteSize, 'semibold'),
  );
  if (lettered) {
    const key = items.map((item, index) => `${letterOf(index)}\u00a0${item}`).join('; ');
    for (const line of wrapText(`${key}.`, right - page.margin, page.noteSize)) {
      put(sheet, line, page.margin, sheet.y + page.noteSize, { size: page.noteSize, fill: palette.quiet });
      sheet.y += page.lineHeight;
    }
    sheet.y += 3;
  }
  const lines = Math.max(1, ...headings.map((each) => each.length));
  for (const [index, heading] of headings.entries())
    for (const [line, text] of heading.entries())
      put(
        sheet,
        text,
        centre(index),
        sheet.y + page.noteSize + (lines - heading.length + line) * page.lineHeight,
        { ...head, anchor: 'middle' },
      );
  sheet.y += lines * page.lineHeight + 3;
  sheet.marks.push(ruleMark(page.margin, right, sheet.y, palette.quiet));
  sheet.y += 3;
  const height = Math.max(page.lineHeight + 1.6, 12);
  for (const { study, judgement } of studies) {
    const baseline = sheet.y + 0.5 * height + 0.34 * page.textSize;
    put(sheet, study.label, page.margin, baseline, { size: page.textSize, room: nameRoom - 6 });
    for (const { item, answer } of judgement.items) {
      const mark = stepOf(tool, item, answer);
      steps.add(mark);
      sheet.marks.push(concernMark(mark, centre(items.indexOf(item)), sheet.y + 0.5 * height, side));
    }
    const reading = page.narrow ? judgement.concern : readingOf(judgement);
    put(sheet, reading, right - wordRoom + 4, baseline, {
      size: page.textSize,
      ...(judgement.concern === 'high concern' ? { face: 'semibold' as const } : {}),
      room: wordRoom - 4,
    });
    sheet.y += height;
  }
  sheet.y += 10;
}

/** "some concern (17 of 24)", with items not judged "(8 to 16 of 24)", "high concern (serious, overridden)". */
export function readingOf(judgement: InstrumentJudgement): string {
  const { concern, items, typed, derived, overridden } = judgement;
  const sum = judgedSum(judgement);
  const open = items.filter(({ answer }) => answer === undefined).length;
  const overall = typed ?? derived;
  const detail =
    sum !== undefined
      ? open === items.length
        ? 'no item judged'
        : `${sum.points}${open > 0 ? ` to ${sum.most}` : ''} of ${sum.maximum}`
      : overall === undefined
        ? `${open} not judged`
        : `${overall}${overridden ? ', overridden' : ''}`;
  return `${concern} (${detail})`;
}

function drawKey(sheet: Sheet, { page }: ResolvedFigureOptions, steps: ReadonlySet<ConcernStep>): void {
  for (const [step, text] of keyWords) {
    if (!steps.has(step)) continue;
    sheet.marks.push(concernMark(step, page.margin + 5, sheet.y + 4.6, 9));
    put(sheet, text, page.margin + 15, sheet.y + 4.6 + 0.34 * page.noteSize, { size: page.noteSize });
    sheet.y += page.lineHeight + 2;
  }
  sheet.y += 3;
}

function describe(quality: readonly StudyQuality[]): string {
  const rows = quality.map(({ label, judgement }) =>
    judgement === undefined
      ? `${label}: not judged.`
      : `${label}, ${judgement.instrument}: ${readingOf(judgement)}.`,
  );
  return `${counted(quality.length, 'study', 'studies')} by items of their instruments. ${rows.join(' ')}`;
}
