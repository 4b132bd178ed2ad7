import { siteNames } from '../extraction/site.ts';
import type { ChoiceDimensionId } from '../robustness/choices/choiceGrid.ts';
import type { ChoiceAnalysis, ChoicesRun } from '../robustness/choices/runChoices.ts';
import type { ConclusionShare } from '../robustness/choices/shareOfConclusions.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { levelText } from './formatNumber.ts';
import { paragraph } from './label.ts';
import { ruleMark } from './marks/axisMarks.ts';
import { choiceStrip } from './marks/choiceStrip.ts';
import { type CurveColumn, curveMarks, protocolMarks, uprightAxis } from './marks/curveMarks.ts';
import { palette, siteColours } from './palette.ts';
import { put, startSheet } from './sheet.ts';

export interface SpecificationCurveOptions extends FigureOptions {
  /** Dimensions from the top; default as in the grid. Those with one option are not drawn. */
  readonly order?: readonly ChoiceDimensionId[];
  /** What the analyses conclude, printed below. */
  readonly shares?: readonly ConclusionShare[];
  /** A level line: a limit (0 to 1). Default none for a rate, no difference for a difference. */
  readonly reference?: number;
  /** What is counted, in the singular. Default `'shoulder'`. */
  readonly unit?: string;
}

type Answered = ChoiceAnalysis & { readonly value: number; readonly lower: number; readonly upper: number };

const isAnswered = (analysis: ChoiceAnalysis): analysis is Answered => analysis.value !== undefined;

/** Neighbours in the order of their answers, together in one column. */
function columnsOf(analyses: readonly Answered[], most: number): readonly (readonly Answered[])[] {
  const count = Math.min(most, analyses.length);
  return Array.from({ length: count }, (_, index) =>
    analyses.slice(
      Math.floor((index * analyses.length) / count),
      Math.floor(((index + 1) * analyses.length) / count),
    ),
  );
}

/**
 * For each analysis the run of equal answers it stands in: within a run no order means anything, so every column of it
 * shows the run as a whole.
 */
function runsOf(analyses: readonly Answered[]): readonly number[] {
  let run = 0;
  return analyses.map(({ value }, index) => {
    if (index > 0 && value - analyses[index - 1]!.value > 1e-12) run += 1;
    return run;
  });
}

const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

/**
 * What is the answer under every defensible analysis, and which choices lead where?
 *
 * Analyses stand side by side from the lowest answer to the highest: above, the answer with its interval; below, one
 * strip for each option, dark where the analyses standing there took it. Many analyses share a column; its answer and
 * limits are then the middle ones. The protocol's own analysis is ringed and its options are bold.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * specificationCurve(runChoices(review, 'groove-pain', { site: 'tenotomy' }), { width: '190mm' })
 */
export function specificationCurve(run: ChoicesRun, options: SpecificationCurveOptions = {}): string {
  refuseUnknownOptions('specificationCurve', options, [
    ...figureOptionNames,
    'order',
    'shares',
    'reference',
    'unit',
  ]);
  const { target } = run;
  const unit = options.unit ?? 'shoulder';
  const question =
    target.minus === undefined
      ? `${run.outcome.name}, ${siteNames[target.site].toLowerCase()}`
      : `${run.outcome.name}, ${siteNames[target.site].toLowerCase()} less ${siteNames[target.minus].toLowerCase()}`;
  const resolved = resolveFigureOptions(options, { title: `${question}: every analysis`, idPrefix: 'curve' });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const order = options.order ?? run.dimensions.map(({ id }) => id);
  const dimensions = run.dimensions
    .filter(({ options: names }) => names.length > 1)
    .sort((a, b) => order.indexOf(a.id) - order.indexOf(b.id));
  const answered = run.analyses.filter(isAnswered).sort((a, b) => a.value - b.value);
  const runs = runsOf(answered);
  const right = page.width - page.margin - 4;
  const optionLeft = page.narrow ? page.margin + 4 : page.margin + 122;
  const left = optionLeft + (page.narrow ? 120 : 132);
  const columns = columnsOf(answered, Math.max(1, Math.floor((right - left) / 2)));
  const step = (right - left) / Math.max(1, columns.length);
  const reference = options.reference ?? (target.minus === undefined ? undefined : 0);
  const own = run.analyses[0];
  const protocol = own !== undefined && isAnswered(own) ? own : undefined;
  const digits = (value: number): string => (100 * value).toFixed(1).replace('-', '\u2212');
  const limits = (each: Answered): string =>
    `${digits(each.value)} (${levelText(run.level)} interval ${digits(each.lower)} to ${digits(each.upper)})`;
  const ownWords =
    protocol === undefined
      ? "The protocol's own analysis has no answer."
      : `The protocol's own: ${limits(protocol)} per 100 ${unit}s.`;
  const shares = (options.shares ?? [])
    .filter(({ analyses }) => analyses > 0)
    .map(({ conclusion, share }) => `${percentOf(share)} ${conclusion}`);
  const sharesWords =
    shares.length === 0
      ? []
      : [`What the analyses conclude: ${shares.join('; ')}. No share is a probability.`];
  const all = run.analyses.length;
  const counts = `${thousands(all)} ${all === 1 ? 'analysis' : 'analyses'}${answered.length === all ? '' : `, ${thousands(answered.length)} with an answer`}.`;
  const axisWords = `${target.minus === undefined ? 'Rate' : 'Difference'} per 100 ${unit}s`;
  put(sheet, axisWords, page.margin, sheet.y + page.noteSize, {
    size: page.noteSize,
    face: 'semibold',
    fill: palette.quiet,
  });
  if (answered.length === 0) {
    sheet.y += page.lineHeight + 4;
    put(sheet, 'No analysis has an answer.', page.margin, sheet.y + page.textSize, {
      size: page.textSize,
      face: 'italic',
    });
    sheet.y += page.lineHeight + 6;
  } else {
    const curve: readonly CurveColumn[] = columns.map((column, index) => ({
      x: left + index * step,
      width: step,
      value: middle(column.map(({ value }) => value)),
      lower: middle(column.map(({ lower }) => lower)),
      upper: middle(column.map(({ upper }) => upper)),
    }));
    const top = sheet.y + page.lineHeight + 6;
    const tall = page.narrow ? 100 : 130;
    const axis = uprightAxis(
      [
        ...curve.flatMap(({ lower, upper }) => [lower, upper]),
        ...(reference === undefined ? [] : [reference]),
        ...(protocol === undefined ? [] : [protocol.lower, protocol.upper]),
      ],
      { top, bottom: top + tall, left, right, size: page.noteSize, reference },
    );
    if (!page.narrow && shares.length > 0) {
      let y = axis.top + page.textSize;
      put(sheet, 'What the analyses conclude', page.margin, y, { size: page.textSize, face: 'bold' });
      for (const line of shares) {
        const room = left - page.margin - 40;
        const text = paragraph(line, page.margin, y + page.lineHeight + 3, {
          size: page.textSize,
          room,
          lineHeight: page.lineHeight,
        });
        sheet.marks.push(...text.marks);
        y += text.lines * page.lineHeight + 3;
      }
      put(sheet, 'No share is a probability.', page.margin, y + page.lineHeight + 4, {
        size: page.noteSize,
        face: 'italic',
        fill: palette.quiet,
      });
    }
    const place =
      protocol === undefined ? undefined : columns.findIndex((column) => column.includes(protocol));
    const panelTop = axis.bottom + 10;
    sheet.marks.push(...axis.marks, ...curveMarks(curve, axis, siteColours[target.site]));
    sheet.y = panelTop;
    for (const { id, name, options: names } of dimensions) {
      const at = run.dimensions.findIndex((each) => each.id === id);
      const inColumns = stripShares(columns, answered, runs, at, names.length);
      const heading = { size: page.noteSize, face: 'semibold', fill: palette.quiet } as const;
      if (page.narrow) {
        put(sheet, name, page.margin, sheet.y + page.noteSize, heading);
        sheet.y += page.lineHeight + 1;
      } else {
        put(sheet, name, page.margin, sheet.y + page.noteSize, { ...heading, room: 118 });
      }
      for (const [index, option] of names.entries()) {
        put(sheet, option, optionLeft, sheet.y + page.noteSize, {
          size: page.noteSize,
          face: index === 0 ? 'bold' : 'regular',
          room: left - optionLeft - 5,
        });
        const shares = inColumns.map((column) => column[index]!);
        sheet.marks.push(
          choiceStrip(shares, { left, step, top: sheet.y + 1.5, height: page.lineHeight - 2 }),
        );
        sheet.y += page.lineHeight + 0.4;
      }
      sheet.marks.push(ruleMark(page.margin, right, sheet.y + 1.6));
      sheet.y += 4;
    }
    if (protocol !== undefined && place !== undefined)
      sheet.marks.push(
        ...protocolMarks(left + (place + 0.5) * step, axis.y(protocol.value), axis.top, sheet.y - 3),
      );
    sheet.y += 4;
  }
  const notAComparison =
    target.minus === undefined
      ? []
      : ['Not a randomised comparison, whatever the choices: each site is pooled from its own arms.'];
  const level =
    reference === undefined
      ? ''
      : reference === 0
        ? ' Level line: no difference.'
        : ` Level line: ${digits(reference)} per 100.`;
  const key = `Line: the answer, analyses in order of it; grey: its interval.${level} Ring and dashed line: the protocol's own analysis; its options are bold. Strips: the darker, the more of the analyses above took the option.`;
  const range =
    answered.length === 0
      ? ''
      : ` Answers run from ${digits(answered[0]!.value)} to ${digits(answered.at(-1)!.value)} per 100, the middle one is ${digits(middle(answered.map(({ value }) => value)))}.`;
  return drawSheet(sheet, resolved, {
    notes: [`${counts} ${ownWords}`, ...(page.narrow ? sharesWords : []), ...notAComparison, key],
    description: `${question}. ${counts}${range} ${[ownWords, ...sharesWords, ...notAComparison].join(' ')} Choices: ${dimensions
      .map(({ name, options: names }) => `${name}: ${names.join(', ')}`)
      .join('; ')}. The first of each is the protocol's.`,
  });
}

/**
 * For each column and option of one dimension, the share of the column's analyses that took it, spread evenly over runs
 * of equal answers.
 */
function stripShares(
  columns: readonly (readonly Answered[])[],
  answered: readonly Answered[],
  runs: readonly number[],
  at: number,
  options: number,
): readonly Float64Array[] {
  const inRun = new Float64Array((1 + (runs.at(-1) ?? 0)) * options);
  const sizes = new Float64Array(1 + (runs.at(-1) ?? 0));
  for (const [index, { choices }] of answered.entries()) {
    inRun[runs[index]! * options + choices[at]!]! += 1;
    sizes[runs[index]!]! += 1;
  }
  let next = 0;
  return columns.map((column) => {
    const shares = new Float64Array(options);
    for (let each = 0; each < column.length; each++, next++) {
      const run = runs[next]!;
      for (let option = 0; option < options; option++)
        shares[option]! += inRun[run * options + option]! / sizes[run]! / column.length;
    }
    return shares;
  });
}

const thousands = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ',');

const percentOf = (share: number): string =>
  share > 0 && share < 0.01
    ? 'under 1\u00a0%'
    : share < 1 && share > 0.99
      ? 'over 99\u00a0%'
      : `${Math.round(100 * share)}\u00a0%`;
