import { max, min, ticks as niceTicks } from 'd3-array';
import { betweenStudyContrast, type RegressionPoint } from '../comparison/moderators/metaRegression.ts';
import type { RegressionLine } from '../comparison/moderators/regressionLine.ts';
import { rateScales } from '../effects/analysisScale.ts';
import { naturalValue } from '../effects/naturalValue.ts';
import { type ClassifiedSite, classifiedSites } from '../extraction/site.ts';
import { type Axis, place, thinTicks } from './axis.ts';
import { contrastName, formatContrast, isContrastScale } from './contrastForest.ts';
import { drawSheet } from './drawSheet.ts';
import { effectAxis } from './effectAxis.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, levelText, percentNumber } from './formatNumber.ts';
import { putSiteKey } from './funnelKeys.ts';
import { levelGrid } from './marks/levelGrid.ts';
import { bandMark, bubble, type Place } from './marks/scatterMarks.ts';
import { palette, siteColours } from './palette.ts';
import { percentAxis } from './percentAxis.ts';
import { pointsAlong, putAxisBelow, putUprightTitle } from './plotArea.ts';
import { put, startSheet } from './sheet.ts';

export interface BubblePlotOptions extends FigureOptions {
  /** Under a rate axis: what is counted. Default "Shoulders with the event, %". */
  readonly rateTitle?: string;
}

/**
 * Does the result move with a feature of the studies, and which studies make it so?
 *
 * A circle for every row, its area the weight; marks and colours by site where the rows tell it; the line is what the
 * model expects with the other covariates held, the band its interval. The picture says that studies, not patients,
 * are compared.
 *
 * @throws RangeError for an unknown option, a width outside 90 to 400 mm, or the double arcsine
 * @example
 * bubblePlot(regressionLine(regression, 'age'))
 */
export function bubblePlot(line: RegressionLine, options: BubblePlotOptions = {}): string {
  refuseUnknownOptions('bubblePlot', options, [...figureOptionNames, 'rateTitle']);
  const { regression, covariate } = line;
  const { scale, fit } = regression;
  const named = regression.covariates.find(({ id }) => id === covariate);
  const name = named?.name ?? covariate;
  const unit = named?.kind === 'continuous' ? named.unit : undefined;
  const across = unit === undefined ? name : `${name}, ${unit}s`;
  const isRate = (rateScales as readonly string[]).includes(scale);
  if (scale === 'double-arcsine') {
    throw new RangeError(
      "bubblePlot needs a scale that turns back without a sample size; received 'double-arcsine'",
    );
  }
  // Values analysed as reported are drawn as differences are: evenly, around nothing in particular.
  const axisScale = isContrastScale(scale) ? scale : 'mean-difference';
  const natural = (value: number): number => naturalValue(value, scale) ?? Number.MAX_VALUE;
  const points = fit?.points ?? [];
  const values = points.map(({ estimate }) => natural(estimate.value));
  const resolved = resolveFigureOptions(options, {
    title: `Result against ${name.toLowerCase()}`,
    idPrefix: 'bubble',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const range = [page.margin + 32, page.width - page.margin - 8] as const;
  const places = points.map((point) => Number(point.covariates[covariate]));
  const low = min(places) ?? 0;
  const high = max(places) ?? 1;
  const pad = 0.06 * (high - low || 1);
  const flat: Axis = thinTicks(
    {
      lower: low - pad,
      upper: high + pad,
      ticks: niceTicks(low, high, page.narrow ? 4 : 8).map((at) => ({ at, text: String(at) })),
      title: across,
      toAxis: (value) => value,
    },
    range[1] - range[0],
    page.noteSize,
  );
  const intervals = line.points.flatMap((each) =>
    each.natural?.interval === undefined ? [] : [each.natural.interval],
  );
  const title = isRate
    ? (options.rateTitle ?? 'Shoulders with the event, %')
    : isContrastScale(scale)
      ? contrastName(scale)
      : 'Value as reported';
  const upright = isRate
    ? percentAxis('linear', { rates: values, intervals, title, tickCount: 6 })
    : effectAxis(axisScale, { values, intervals, title, tickCount: 6 });
  const format = isRate ? (value: number) => percentNumber(value, 1) : formatContrast(axisScale);

  if (points.length > 0) {
    const sites = classifiedSites.filter((site) => points.some((point) => siteOf(point) === site));
    if (sites.length > 0) putSiteKey(sheet, sites, page);
    putUprightTitle(sheet, title, page);
    const top = sheet.y;
    const bottom = top + Math.min(260, 0.68 * (range[1] - range[0]));
    const x = pointsAlong(flat, range);
    const y = pointsAlong(upright, [bottom, top]);
    const put2 = (value: number, result: number): Place => [x(value), y(place(upright, result).at)];
    sheet.marks.push(levelGrid(upright, y, range, page.noteSize));
    const drawn = line.points.filter((each) => each.natural?.interval !== undefined);
    const along = (pick: (each: (typeof drawn)[number]) => number): Place[] =>
      drawn.map((each) => put2(Number(each.at[covariate]), pick(each)));
    if (drawn.length > 0)
      sheet.marks.push(
        bandMark(
          along((each) => each.natural!.value),
          along((each) => each.natural!.interval!.lower),
          along((each) => each.natural!.interval!.upper),
          palette.comparison,
        ),
      );
    const heaviest = max(points, ({ weight }) => weight) ?? 1;
    const largest = page.narrow ? 9 : 13;
    for (const [index, point] of [...points.entries()].sort(([, a], [, b]) => b.weight - a.weight)) {
      const site = siteOf(point);
      sheet.marks.push(
        bubble(
          put2(places[index]!, values[index]!),
          largest * Math.sqrt(point.weight / heaviest),
          site === undefined ? palette.comparison : siteColours[site],
          site,
          `${point.estimate.label}: ${format(values[index]!)}`,
        ),
      );
    }
    sheet.y = bottom + 3;
    putAxisBelow(sheet, flat, range, page, { title: across, titleGap: 7 });
  } else {
    put(sheet, 'There is no study to show.', page.margin, sheet.y + page.textSize, { size: page.textSize });
    sheet.y += 2 * page.lineHeight;
  }
  const level = levelText(regression.options.level);
  const held = Object.entries(line.held).map(([id, value]) => {
    const each = regression.covariates.find((one) => one.id === id);
    const shown = typeof value === 'number' ? String(Number(value.toFixed(1))) : value;
    return `${each?.name.toLowerCase() ?? id} ${each?.kind === 'categorical' ? (each.levelNames?.[shown] ?? shown).toLowerCase() : shown}`;
  });
  const notes = [
    `Circles: studies, area by weight.${line.points.length === 0 ? ' No line could be fitted.' : ` Line: what the model expects${held.length === 0 ? '' : ` (${held.join(', ')})`}, with its ${level} interval.`}`,
    betweenStudyContrast,
  ];
  const listed = points
    .map(({ estimate }, index) => `${estimate.label} at ${places[index]} ${format(values[index]!)}`)
    .join('; ');
  const ends = [line.points[0], line.points.at(-1)].map((each) =>
    each?.natural === undefined
      ? ''
      : `${format(each.natural.value)} at ${Number(Number(each.at[covariate]).toFixed(1))}`,
  );
  return drawSheet(sheet, resolved, {
    notes,
    description: `${title} against ${across}, ${countOf(points.length, 'row')}.${line.points.length === 0 ? ' No line.' : ` The model expects ${ends.join(' and ')}.`} ${betweenStudyContrast} Rows: ${listed === '' ? 'none' : listed}.`,
    axis: flat,
    range,
  });
}

function siteOf({ covariates }: RegressionPoint): ClassifiedSite | undefined {
  return classifiedSites.find((site) => site === covariates.site);
}
