import { type QuestionKind, questionKinds } from '../answers/question.ts';
import type { AnswerChange, ChangeReport } from '../changes/changeReport.ts';
import type { ChangeCause } from '../changes/mixReviews.ts';
import { putAnswer, putBeside } from './answerGroup.ts';
import { type Axis, thinTicks } from './axis.ts';
import {
  answerText,
  type BeforeAfterGroup,
  beforeAfterGroups,
  causesShown,
  partsOf,
  signedText,
} from './beforeAfterModel.ts';
import { drawFigure } from './drawFigure.ts';
import {
  chooseFrom,
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { paragraph } from './label.ts';
import { gridMark, referenceMark, ruleMark, tickMarks } from './marks/axisMarks.ts';
import { earlierMark, stepsMark } from './marks/earlierMark.ts';
import { siteGlyph, siteGlyphWidth } from './marks/siteGlyph.ts';
import { pooledMark } from './marks/summaryMarks.ts';
import { onAxis } from './onAxis.ts';
import type { PageSize } from './pageSize.ts';
import { palette, siteColours } from './palette.ts';
import { finishSheet, put, type Sheet, startSheet } from './sheet.ts';

export interface BeforeAfterOptions extends FigureOptions {
  /** Which numbers: rates at each site (default), differences between two sites, or mean scores. */
  readonly kind?: QuestionKind;
}

interface Columns {
  readonly nameRoom: number;
  readonly plot: readonly [number, number];
  readonly textEnd: number;
  /** Undefined at one column's width, where the steps are words. */
  readonly steps: readonly [number, number] | undefined;
}

function columnsFor(page: PageSize, kind: QuestionKind): Columns {
  const right = page.width - page.margin;
  if (page.narrow)
    return {
      nameRoom: right - page.margin,
      plot: [page.margin + 8, right - 86],
      textEnd: right,
      steps: undefined,
    };
  const names = kind === 'comparison' ? 136 : 74;
  return {
    nameRoom: names - 4,
    plot: [page.margin + siteGlyphWidth + names, right - 212],
    textEnd: right - 110,
    steps: [right - 98, right - 4],
  };
}

const stepSpacing = 4.2;

/**
 * What was each number before, what is it now, and what moved it?
 *
 * Two bars a row: the earlier version outlined, the later one filled. Beside them (below them at 90 mm, in words) the steps
 * of the causes from nought to the whole change, one line a cause, as {@link compareVersions} splits it. Outcomes in which
 * nothing moved are left out.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * beforeAfter(compareVersions(lastYear, thisYear), { width: '190mm' })
 */
export function beforeAfter(report: ChangeReport, options: BeforeAfterOptions = {}): string {
  refuseUnknownOptions('beforeAfter', options, [...figureOptionNames, 'kind']);
  const kind = chooseFrom('kind', options.kind, questionKinds, 'rate');
  const resolved = resolveFigureOptions(options, { title: 'Before and now', idPrefix: 'before-after' });
  const { page } = resolved;
  const groups = beforeAfterGroups(report, kind, page.narrow);
  const causes = causesShown(report);
  const columns = columnsFor(page, kind);
  const sheet = startSheet(resolved);
  const { before, after } = report.changes;
  const key = `Outlined: before (search of ${before.lastSearch}). Filled: now (search of ${after.lastSearch}).`;
  const told = paragraph(key, page.margin, sheet.y + page.noteSize, {
    size: page.noteSize,
    face: 'semibold',
    room: page.width - 2 * page.margin,
    lineHeight: page.lineHeight,
  });
  sheet.marks.push(...told.marks);
  sheet.y += told.lines * page.lineHeight + 3;
  if (groups.length === 0) {
    put(sheet, 'No number of this kind has moved.', page.margin, sheet.y + page.textSize, {
      size: page.textSize,
    });
    sheet.y += page.lineHeight + 4;
  }
  for (const group of groups) putGroup(sheet, group, causes, columns, page);
  const lines = causes.map((cause) => cause).join(', ');
  const height = finishSheet(
    sheet,
    [
      ...(groups.length === 0 || causes.length === 0
        ? []
        : [
            columns.steps === undefined
              ? 'Each change is split among its causes as the average over their orders.'
              : `What moved it: one line a cause, from the top: ${lines}. Each step begins where the one above ends; the last ends at the whole change. Averages over the orders of the causes.`,
          ]),
      ...(kind === 'rate' ? ['Not a randomised comparison: each site is pooled from its own arms.'] : []),
    ],
    resolved,
  );
  return drawFigure({
    millimetres: page.millimetres,
    width: page.width,
    height,
    domain: [0, page.width],
    range: [0, page.width],
    marks: sheet.marks,
    title: resolved.title,
    description: describe(groups, causes, key, resolved.notice),
    idPrefix: resolved.idPrefix,
    document: resolved.document,
  });
}

function putGroup(
  sheet: Sheet,
  group: BeforeAfterGroup,
  causes: readonly ChangeCause[],
  columns: Columns,
  page: PageSize,
): void {
  const { noteSize, headingSize } = page;
  const quiet = { size: noteSize, face: 'semibold', fill: palette.quiet } as const;
  put(sheet, group.outcome, page.margin, sheet.y + headingSize, {
    size: headingSize,
    face: 'bold',
    room: columns.plot[1] - page.margin,
  });
  put(sheet, page.narrow ? 'Before, now' : 'Before and now', columns.textEnd, sheet.y + headingSize, {
    ...quiet,
    anchor: 'end',
  });
  if (columns.steps !== undefined)
    put(sheet, 'What moved it', columns.steps[0], sheet.y + headingSize, quiet);
  sheet.y += headingSize + 3;
  sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y, palette.quiet));
  sheet.y += 4;
  const axis = thinTicks(group.axis, columns.plot[1] - columns.plot[0], noteSize);
  for (const change of group.changes) putRow(sheet, group, change, axis, causes, columns, page);
  const draw = onAxis(axis, columns.plot, sheet);
  draw(tickMarks(axis, sheet.y, noteSize));
  if (columns.steps !== undefined && causes.length > 0) {
    const steps = thinTicks(group.steps, columns.steps[1] - columns.steps[0], noteSize, 0);
    onAxis(steps, columns.steps, sheet)(tickMarks(steps, sheet.y, noteSize));
  }
  sheet.y += noteSize + 6;
  put(sheet, group.unit, columns.plot[0], sheet.y + noteSize, { size: noteSize, fill: palette.quiet });
  sheet.y += noteSize + 9;
}

function putRow(
  sheet: Sheet,
  group: BeforeAfterGroup,
  change: AnswerChange,
  axis: Axis,
  causes: readonly ChangeCause[],
  columns: Columns,
  page: PageSize,
): void {
  const { narrow, textSize, lineHeight } = page;
  const answer = (change.after ?? change.before)!;
  const { question } = answer;
  const { site } = question;
  const comparator = 'comparator' in question ? question.comparator : undefined;
  const colour = comparator === undefined ? siteColours[site] : palette.comparison;
  const parts = partsOf(change, causes);
  const stepsHeight = columns.steps === undefined ? 0 : causes.length * stepSpacing + 4;
  const top = narrow ? sheet.y + lineHeight + 1 : sheet.y;
  const pitch = narrow ? lineHeight + 0.6 : 11;
  const height = narrow ? lineHeight + 2 * pitch + lineHeight + 5 : Math.max(2 * pitch + 5, stepsHeight + 2);
  const draw = onAxis(axis, columns.plot, sheet);
  draw(gridMark(axis, top, narrow ? top + 2 * pitch : sheet.y + height));
  if (axis.lower < 0 && axis.upper > 0)
    draw(referenceMark(0, top, narrow ? top + 2 * pitch : sheet.y + height, palette.ink, true));
  const nameAt = narrow ? sheet.y + lineHeight - 1.5 : sheet.y + pitch + 0.33 * textSize;
  if (comparator === undefined)
    sheet.marks.push(siteGlyph(site, page.margin, narrow ? nameAt - 2.8 : sheet.y + pitch));
  put(sheet, answer.name, page.margin + (comparator === undefined ? siteGlyphWidth : 0), nameAt, {
    size: textSize,
    face: 'semibold',
    fill: colour,
    room: columns.nameRoom,
  });
  for (const [at, own] of [change.before, change.after].entries()) {
    const middle = top + (at + 0.5) * pitch;
    const write = (inner: Sheet): void =>
      put(inner, answerText(own, group.decimals), columns.textEnd, middle + 0.33 * textSize, {
        size: textSize,
        anchor: 'end',
        face: at === 1 ? 'semibold' : 'regular',
        fill: at === 1 ? palette.ink : palette.quiet,
      });
    if (at === 0) putBeside(sheet, 'earlier version', write);
    else putAnswer(sheet, own?.value === undefined ? undefined : own.key, write);
    const { value, lower, upper } = own ?? {};
    if (value === undefined || lower === undefined || upper === undefined) continue;
    const interval = { lower, upper, level: 0.95 };
    draw((at === 0 ? earlierMark : pooledMark)(axis, middle, value, interval, colour));
  }
  if (parts !== undefined && columns.steps !== undefined && causes.length > 0) {
    const steps = onAxis(group.steps, columns.steps, sheet);
    steps(referenceMark(0, sheet.y, sheet.y + height, palette.quiet, false));
    const first = sheet.y + (height - (causes.length - 1) * stepSpacing) / 2;
    steps(stepsMark(group.steps, first, stepSpacing, parts, colour));
  }
  if (narrow)
    put(sheet, splitText(change, causes, group.decimals), page.margin, top + 2 * pitch + lineHeight - 2, {
      size: page.noteSize,
      fill: palette.quiet,
      room: page.width - 2 * page.margin,
    });
  sheet.y += height;
}

/** The split in words: `+0.43: studies added +0.32, rules +0.11`. */
function splitText(change: AnswerChange, causes: readonly ChangeCause[], decimals: number): string {
  const parts = partsOf(change, causes);
  if (parts === undefined || change.split === undefined) return 'No change can be given.';
  const more = decimals + 1;
  const told = causes.flatMap((cause, at) => {
    const text = signedText(parts[at] ?? 0, more);
    return text === '0' ? [] : [`${cause} ${text}`];
  });
  return told.length === 0
    ? 'No change'
    : `Change ${signedText(change.split.total, more)}: ${told.join(', ')}`;
}

function describe(
  groups: readonly BeforeAfterGroup[],
  causes: readonly ChangeCause[],
  key: string,
  notice: string | undefined,
): string {
  const parts = groups.map(({ outcome, unit, changes, decimals }) => {
    const rows = changes.map((change) => {
      const { name } = (change.after ?? change.before)!;
      return `${name} ${answerText(change.before, decimals)}, now ${answerText(change.after, decimals)}. ${splitText(change, causes, decimals)}`;
    });
    return `${outcome}, ${unit}: ${rows.join('; ')}.`;
  });
  return [key, ...parts, ...(notice === undefined ? [] : [notice])].join(' ');
}
