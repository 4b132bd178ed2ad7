import { siteNames } from '../extraction/site.ts';
import type { Interval } from '../numerics/interval.ts';
import { countsBeside, notInNumberSentence } from '../pooling/armsInNumber.ts';
import type { SitePool, SitePools } from '../pooling/poolBySite.ts';
import { derSimonianLairdBeside } from '../pooling/quoteSites.ts';
import { putAnswer } from './answerGroup.ts';
import { type Axis, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, levelText, percentDecimals, percentNumber } from './formatNumber.ts';
import { paragraph } from './label.ts';
import { gridMark, ruleMark, tickMarks } from './marks/axisMarks.ts';
import { siteGlyph, siteGlyphWidth } from './marks/siteGlyph.ts';
import { checkMark, hatchPattern, pooledMark, predictionMark } from './marks/summaryMarks.ts';
import { onAxis } from './onAxis.ts';
import type { PageSize } from './pageSize.ts';
import { palette, siteColours } from './palette.ts';
import { percentAxis } from './percentAxis.ts';
import { toldKey } from './quotedWords.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

/** One outcome of the overview. */
export interface OutcomePools {
  readonly outcome: string;
  /** Definition or time window, printed beside the outcome. */
  readonly detail?: string;
  readonly pools: SitePools;
}

export interface SitesOverviewOptions extends FigureOptions {
  /** What is counted, in the singular. Default `'shoulder'`. */
  readonly unit?: string;
}

interface OverviewColumns {
  readonly plot: readonly [left: number, right: number];
  readonly rateEnd: number;
  readonly intervalEnd: number;
  readonly predictionEnd: number | undefined;
  readonly basisEnd: number | undefined;
  readonly nameLeft: number;
}

function overviewColumns(page: PageSize): OverviewColumns {
  const right = page.width - page.margin;
  const nameLeft = page.margin + siteGlyphWidth;
  const nameRoom = 66;
  if (page.narrow)
    return {
      plot: [nameLeft + nameRoom + 8, right - 60],
      rateEnd: right,
      intervalEnd: right,
      predictionEnd: undefined,
      basisEnd: undefined,
      nameLeft,
    };
  return {
    plot: [nameLeft + nameRoom + 8, right - 236],
    rateEnd: right - 194,
    intervalEnd: right - 128,
    predictionEnd: right - 68,
    basisEnd: right,
    nameLeft,
  };
}

function putRow(
  sheet: Sheet,
  { site, pool }: SitePool,
  axis: Axis,
  decimals: number,
  hatch: string,
  columns: OverviewColumns,
  page: PageSize,
): void {
  const { textSize, lineHeight, narrow, noteSize } = page;
  const height = narrow ? 2 * lineHeight + 4 : 19;
  const middle = sheet.y + height / 2;
  const first = narrow ? sheet.y + 0.95 * lineHeight : middle + 0.33 * textSize;
  const second = first + lineHeight;
  const colour = siteColours[site];
  // Nought seen is a count, and no rate known to two decimals.
  const percent = (rate: number) => (rate === 0 ? '0' : percentNumber(rate, decimals));
  const range = ({ lower, upper }: Interval) => `${percent(lower)} \u2013 ${percent(upper)}`;
  const draw = onAxis(axis, columns.plot, sheet);
  sheet.marks.push(siteGlyph(site, page.margin, narrow ? first - 2.6 : middle));
  put(sheet, siteNames[site], columns.nameLeft, first, { size: textSize, face: 'semibold', fill: colour });
  const counts = countsBeside(pool);
  const basis = pool.arms.length === 0 ? 'no arms' : `${counts.events} of ${counts.shoulders}`;
  if (narrow) put(sheet, basis, columns.nameLeft, second, { size: noteSize, fill: palette.quiet, room: 68 });
  else if (columns.basisEnd !== undefined)
    put(sheet, basis, columns.basisEnd, first, { size: textSize, anchor: 'end', fill: palette.quiet });
  const { headline } = pool;
  if (headline === undefined) {
    put(sheet, pool.arms.length === 0 ? 'nothing known' : 'not pooled', columns.rateEnd, first, {
      size: noteSize,
      face: 'italic',
      anchor: 'end',
      fill: palette.quiet,
    });
    sheet.y += height;
    return;
  }
  const end = { size: textSize, anchor: 'end' } as const;
  put(sheet, headline.rate === 0 ? 'none' : percent(headline.rate), columns.rateEnd, first, {
    ...end,
    face: 'bold',
  });
  put(sheet, range(headline.interval), columns.intervalEnd, narrow ? second : first, {
    ...end,
    fill: narrow ? palette.quiet : palette.ink,
  });
  if (headline.prediction !== undefined) {
    if (columns.predictionEnd !== undefined)
      put(sheet, range(headline.prediction), columns.predictionEnd, first, { ...end, fill: palette.quiet });
    sheet.marks.push(hatchPattern(hatch, colour));
    draw(predictionMark(axis, middle, headline.prediction, colour, hatch, 5.6));
  }
  draw(pooledMark(axis, middle, headline.rate, headline.interval, colour));
  // Under the bar, where it hides neither the notch nor the limits.
  const beside = derSimonianLairdBeside(pool)?.rate;
  if (beside !== undefined) draw(checkMark(axis, middle + 6.4, beside, undefined, colour));
  sheet.y += height;
}

function putOutcome(
  sheet: Sheet,
  { outcome, detail, pools }: OutcomePools,
  index: number,
  columns: OverviewColumns,
  page: PageSize,
  unit: string,
): void {
  const headlines = pools.sites.flatMap(({ pool }) => (pool.headline === undefined ? [] : [pool.headline]));
  const rates = headlines.flatMap(({ rate, interval }) => [rate, interval.upper]);
  const decimals = percentDecimals(Math.max(0, ...headlines.map(({ rate }) => rate)));
  const width = columns.plot[1] - columns.plot[0];
  const axis = thinTicks(
    percentAxis('linear', {
      rates,
      intervals: headlines.flatMap(({ prediction }) => (prediction === undefined ? [] : [prediction])),
      title: `Per 100 ${unit}s`,
      tickCount: page.narrow ? 4 : 5,
    }),
    width,
    page.noteSize,
    0,
  );
  const room = page.width - 2 * page.margin;
  const heading = { size: page.headingSize, face: 'bold', room, lineHeight: page.lineHeight + 2 } as const;
  const lines = paragraph(outcome, page.margin, sheet.y + page.headingSize, heading);
  sheet.marks.push(...lines.marks);
  sheet.y += lines.lines * heading.lineHeight + 1;
  if (detail !== undefined) {
    const text = paragraph(detail, page.margin, sheet.y + page.noteSize - 1, {
      size: page.noteSize,
      fill: palette.quiet,
      room,
      lineHeight: page.lineHeight,
    });
    sheet.marks.push(...text.marks);
    sheet.y += text.lines * page.lineHeight;
  }
  sheet.y += 3;
  const bottom = sheet.y + pools.sites.length * (page.narrow ? 2 * page.lineHeight + 4 : 19);
  const draw = onAxis(axis, columns.plot, sheet);
  if (headlines.length > 0) draw(gridMark(axis, sheet.y, bottom));
  for (const [row, site] of pools.sites.entries())
    putAnswer(sheet, site.answer, (inner) =>
      putRow(inner, site, axis, decimals, `hatch-${index}-${row}`, columns, page),
    );
  if (headlines.length > 0) draw(tickMarks(axis, sheet.y, page.noteSize));
  sheet.y += page.noteSize + 9;
}

function putHeadings(
  sheet: Sheet,
  columns: OverviewColumns,
  page: PageSize,
  level: number,
  unit: string,
): void {
  const style = { size: page.noteSize, face: 'semibold', fill: palette.quiet, anchor: 'end' } as const;
  const first = sheet.y + page.noteSize;
  const last = page.narrow ? first + page.lineHeight : first;
  put(sheet, `Per 100 ${unit}s`, columns.plot[0], last, { ...style, anchor: 'start' });
  put(sheet, 'Rate', columns.rateEnd, first, style);
  put(sheet, `${levelText(level)} interval`, columns.intervalEnd, last, style);
  if (columns.predictionEnd !== undefined) put(sheet, 'A new study', columns.predictionEnd, first, style);
  if (columns.basisEnd !== undefined) put(sheet, 'Events', columns.basisEnd, first, style);
  sheet.y = last + 4;
  sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y, palette.quiet));
  sheet.y += 6;
}

/** Named only where it is drawn: where it is quoted itself, the bar is its. */
function derSimonianLairdKey(outcomes: readonly OutcomePools[]): string {
  const drawn = outcomes.flatMap(({ pools }) =>
    pools.sites.flatMap(({ pool }) => derSimonianLairdBeside(pool) ?? []),
  );
  const names = [
    ...new Set(drawn.flatMap(({ rate, methodName }) => (rate === undefined ? [] : [methodName]))),
  ];
  return names.length === 0 ? '' : `Triangle below it: ${names.join('; ')}. `;
}

function describe(outcomes: readonly OutcomePools[], unit: string): string {
  const parts = outcomes.map(({ outcome, pools }) => {
    const decimals = percentDecimals(Math.max(0, ...pools.sites.map(({ pool }) => pool.headline?.rate ?? 0)));
    const percent = (rate: number) => (rate === 0 ? '0' : percentNumber(rate, decimals));
    const sites = pools.sites.map(({ site, pool }) => {
      const { headline } = pool;
      if (headline === undefined) return `${siteNames[site]} no pooled rate`;
      const next =
        headline.prediction === undefined
          ? ''
          : `, a new study ${percent(headline.prediction.lower)} to ${percent(headline.prediction.upper)}`;
      const beside = derSimonianLairdBeside(pool)?.rate;
      const outside = notInNumberSentence(pool.armsNotInNumber.map(({ arm }) => arm)).replace(/\.$/, '');
      return `${siteNames[site]} ${percent(headline.rate)} (${percent(headline.interval.lower)} to ${percent(headline.interval.upper)}${next}${beside === undefined ? '' : `; DerSimonian-Laird ${percent(beside)}`}; ${countOf(pool.studies, 'study', 'studies')}, ${countOf(pool.shoulders, unit)}${outside === '' ? '' : `; ${outside}`})`;
    });
    return `${outcome}: ${sites.join('; ')}.`;
  });
  const told = toldKey(outcomes.flatMap(({ pools }) => pools.sites));
  const named = told.startsWith('quoted')
    ? told.replace('quoted rate with its interval: ', ' (').concat(')')
    : '';
  return `${named === '' ? 'Pooled' : 'Quoted'} rates${named} per 100 ${unit}s by fixation site, with intervals. Not a randomised comparison. ${parts.join(' ')}`;
}

/**
 * How often does each outcome happen at each fixation site, side by side?
 *
 * One block an outcome, each with its own axis (per 100), because deformity and revision differ tenfold. Every
 * picture says that it is not a randomised comparison.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * sitesOverview([{ outcome: 'Cosmetic deformity', pools }], { width: '190mm' })
 */
export function sitesOverview(outcomes: readonly OutcomePools[], options: SitesOverviewOptions = {}): string {
  refuseUnknownOptions('sitesOverview', options, [...figureOptionNames, 'unit']);
  const unit = options.unit ?? 'shoulder';
  const resolved = resolveFigureOptions(options, {
    title: `Rates per 100 ${unit}s by fixation site`,
    idPrefix: 'overview',
  });
  const { page } = resolved;
  const columns = overviewColumns(page);
  const level = outcomes[0]?.pools.sites[0]?.pool.twoStep.options.level ?? 0.95;
  const sheet = startSheet(resolved);
  put(sheet, 'Not a randomised comparison', page.margin, sheet.y + page.textSize, {
    size: page.textSize,
    face: 'bold',
    fill: palette.ink,
  });
  sheet.y += page.lineHeight + 6;
  putHeadings(sheet, columns, page, level, unit);
  for (const [index, outcome] of outcomes.entries()) putOutcome(sheet, outcome, index, columns, page, unit);
  sheet.y += 2;
  const caution = outcomes[0]?.pools.notAComparison;
  return drawSheet(sheet, resolved, {
    notes: [
      `Bar with notch: ${toldKey(outcomes.flatMap(({ pools }) => pools.sites))}. ${derSimonianLairdKey(outcomes)}Hatched bracket: range expected in a new study. The mark before each site shows where the tendon is held; cut, it is released. Each outcome has its own axis.`,
      ...(caution === undefined ? [] : [caution]),
    ],
    description: describe(outcomes, unit),
  });
}
