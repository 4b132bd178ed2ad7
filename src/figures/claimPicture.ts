import { rateInterval } from '../effects/rateInterval.ts';
import type { CheckedClaim } from '../robustness/claims/checkedClaim.ts';
import { type PeopleRange, peopleRange, withCommas } from '../robustness/claims/peopleRange.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { levelText } from './formatNumber.ts';
import { paragraph } from './label.ts';
import { peopleGrid, personMark } from './marks/peopleGrid.ts';
import { palette, siteColours } from './palette.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

export interface ClaimPictureOptions extends FigureOptions {
  /** What the series and its comparator are called. */
  readonly names?: { readonly claim: string; readonly comparator?: string };
  /** What is counted, in the singular. Default `'shoulder'`. */
  readonly unit?: string;
}

interface Series {
  readonly name: string;
  readonly events: number;
  readonly total: number;
  readonly range: PeopleRange;
  readonly colour: string;
}

/**
 * What does a claim look like among 100 people?
 *
 * One small circle a shoulder: filled for as many as there must be, half tone for as many as there may be, both from
 * the exact interval rounded outwards; empty for the rest. Where even the upper limit is below 1 in 100 the grid holds
 * 1,000. A comparator has a grid of its own.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * claimPicture(checkClaim({ events: 0, total: 40 }), { width: '90mm' })
 */
export function claimPicture(checked: CheckedClaim, options: ClaimPictureOptions = {}): string {
  refuseUnknownOptions('claimPicture', options, [...figureOptionNames, 'names', 'unit']);
  const unit = options.unit ?? 'shoulder';
  const resolved = resolveFigureOptions(options, { title: checked.sentence, idPrefix: 'claim' });
  const { page } = resolved;
  const { claim, level } = checked;
  const series: Series[] = [
    {
      name: options.names?.claim ?? 'The series',
      events: claim.events,
      total: claim.total,
      range: onGrid(checked.exact),
      colour: palette.comparison,
    },
  ];
  if (claim.comparator !== undefined)
    series.push({
      name: options.names?.comparator ?? 'The comparator',
      ...claim.comparator,
      range: onGrid(rateInterval(claim.comparator, { method: 'clopper-pearson', level })),
      colour: siteColours.tenotomy,
    });
  const sheet = startSheet(resolved);
  const gap = page.narrow ? 10 : 24;
  const room = (page.width - 2 * page.margin - gap * (series.length - 1)) / series.length;
  // One series leaves the right half of a wide page free for what else must be said.
  const beside = !page.narrow && series.length === 1;
  const top = sheet.y;
  let bottom = top;
  for (const [index, each] of series.entries()) {
    sheet.y = top;
    putSeries(
      sheet,
      each,
      page.margin + index * (room + gap),
      Math.min(room, beside ? 195 : 250),
      unit,
      page,
    );
    bottom = Math.max(bottom, sheet.y);
  }
  if (beside) {
    let y = top + page.headingSize;
    const x = page.margin + 205;
    for (const sentence of checked.further) {
      const text = paragraph(sentence, x, y, {
        size: page.headingSize,
        room: page.width - page.margin - x,
        lineHeight: page.lineHeight + 2,
      });
      sheet.marks.push(...text.marks);
      y += text.lines * (page.lineHeight + 2) + 6;
    }
    bottom = Math.max(bottom, y);
  }
  sheet.y = bottom + 4;
  const words = series.map(
    ({ name, events, total, range }) =>
      `${name}: ${withCommas(events)} of ${withCommas(total)}, ${between(range)} ${unit}s.`,
  );
  return drawSheet(sheet, resolved, {
    notes: [
      `Filled: at least so many; half tone: up to so many, by the exact ${levelText(level)} interval. Rounded outwards, so that the picture never claims more than the count.`,
      ...(resolved.title === checked.sentence ? [] : [checked.sentence]),
      ...(beside ? [] : checked.further),
    ],
    description: `${words.join(' ')} ${checked.sentence} ${checked.further.join(' ')}`,
  });
}

/** Grids hold 100 or 1,000: finer ranges are shown out of 1,000, rounded outwards. */
function onGrid(limits: { readonly lower: number; readonly upper: number }): PeopleRange {
  const range = peopleRange(limits);
  if (range.base <= 1000) return range;
  return {
    lower: Math.floor(limits.lower * 1000 + 1e-9),
    upper: Math.ceil(limits.upper * 1000 - 1e-9),
    base: 1000,
  };
}

const between = ({ lower, upper, base }: PeopleRange): string =>
  lower === 0 && upper < base
    ? `up to ${withCommas(upper)} in ${withCommas(base)}`
    : upper === base && lower > 0
      ? `at least ${withCommas(lower)} in ${withCommas(base)}`
      : `${withCommas(lower)} to ${withCommas(upper)} in ${withCommas(base)}`;

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function putSeries(
  sheet: Sheet,
  { name, events, total, range, colour }: Series,
  left: number,
  room: number,
  unit: string,
  page: ReturnType<typeof resolveFigureOptions>['page'],
): void {
  const heading = paragraph(name, left, sheet.y + page.headingSize, {
    size: page.headingSize,
    face: 'bold',
    fill: colour,
    room,
    lineHeight: page.lineHeight + 2,
  });
  sheet.marks.push(...heading.marks);
  sheet.y += heading.lines * (page.lineHeight + 2);
  put(sheet, `${withCommas(events)} of ${withCommas(total)} ${unit}s had it`, left, sheet.y + page.textSize, {
    size: page.textSize,
    fill: palette.quiet,
    room,
  });
  sheet.y += page.lineHeight + 1;
  put(sheet, capital(between(range)), left, sheet.y + page.titleSize, {
    size: page.titleSize,
    face: 'bold',
    room,
  });
  sheet.y += page.titleSize + 8;
  const perRow = range.base === 100 ? 10 : 40;
  const step = Math.min(range.base === 100 ? 15 : 6.2, room / perRow);
  sheet.marks.push(
    ...peopleGrid({
      people: range.base,
      surely: range.lower,
      upTo: range.upper,
      perRow,
      left,
      top: sheet.y,
      step,
      colour,
    }),
  );
  sheet.y += (range.base / perRow) * step + 8;
  for (const [kind, text] of [
    ...(range.lower === 0 ? [] : [['surely', `at least ${withCommas(range.lower)}`] as const]),
    ['perhaps', `up to ${withCommas(range.upper)}`],
    ['rest', 'the rest'],
  ] as const) {
    sheet.marks.push(personMark(kind, left + 5, sheet.y + 4, 3.2, colour));
    put(sheet, text, left + 13, sheet.y + 4 + 0.34 * page.noteSize, { size: page.noteSize, room: room - 14 });
    sheet.y += page.lineHeight + 1;
  }
}
