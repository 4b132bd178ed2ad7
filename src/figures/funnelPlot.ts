import { ticks as niceTicks } from 'd3-array';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import { type Axis, place, thinTicks } from './axis.ts';
import { putDirections } from './directions.ts';
import { drawSheet } from './drawSheet.ts';
import {
  chooseFrom,
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { putRegionKey, putSiteKey } from './funnelKeys.ts';
import { contrastFunnel, type FunnelModel, rateFunnel, significanceWidths } from './funnelModel.ts';
import { label } from './label.ts';
import { gridMark, referenceMark } from './marks/axisMarks.ts';
import { funnelPoint, significanceRegions } from './marks/funnelMarks.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { type RateSpacing, rateSpacings } from './percentAxis.ts';
import { putAxisBelow, putUprightTitle } from './plotArea.ts';
import { type Mark, shape } from './shape.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

export interface FunnelPlotOptions extends FigureOptions {
  /** Rates only: `'linear'` per cent (default) or `'logit'`. */
  readonly spacing?: RateSpacing;
  /** Rates only: what is counted, in the singular. Default `'shoulder'`. */
  readonly unit?: string;
  /** Comparisons only: both directions in words. */
  readonly words?: { readonly lower: string; readonly higher: string };
}

const funnelOptionNames = [...figureOptionNames, 'spacing', 'unit', 'words'] as const;

/** The upright axis: standard errors grow downwards, sizes upwards (by their square root, so that small ones part). */
function uprightAxis(model: FunnelModel, top: number, bottom: number) {
  const largest = Math.max(0, ...model.points.map(({ size }) => size)) || 1;
  const steps = niceTicks(0, largest, 5);
  if (model.kind === 'standard-error') {
    const y = (size: number): number => top + (size / (1.05 * largest)) * (bottom - top);
    return { y, ticks: steps, largest: 1.05 * largest };
  }
  const y = (size: number): number => bottom - Math.sqrt(size / (1.1 * largest)) * (bottom - top);
  const round = [
    0, 10, 25, 50, 100, 150, 200, 300, 500, 750, 1000, 1500, 2000, 3000, 5000, 10000, 20000, 50000,
  ];
  const inside = round.filter((size) => size <= largest);
  const ticks: number[] = [];
  for (const size of inside.length > 2 ? inside : steps)
    if (ticks.length === 0 || y(ticks.at(-1) ?? 0) - y(size) > 16) ticks.push(size);
  return { y, ticks, largest: 1.1 * largest };
}

const uprightMarks =
  (ticks: readonly number[], y: (size: number) => number, left: number, size: number): Mark =>
  (canvas) =>
    shape(canvas.document, 'g', { class: 'upright-axis' }, [
      shape(canvas.document, 'path', {
        d: ticks.map((tick) => `M${left - 3},${y(tick)}H${left}`).join('') || `M${left},${y(0)}h0`,
        stroke: palette.quiet,
        'stroke-width': 0.7,
        fill: 'none',
      }),
      ...ticks.map((tick) =>
        label(String(tick), left - 5, y(tick) + 0.33 * size, { size, anchor: 'end', fill: palette.quiet })(
          canvas,
        ),
      ),
    ]);

/** Draws the two axes, the regions or the grid, and the studies. */
function putFunnel(
  sheet: Sheet,
  model: FunnelModel,
  axis: Axis,
  page: PageSize,
  range: readonly [number, number],
): void {
  const [left, right] = range;
  const sites = [...new Set(model.points.map(({ site }) => site))].filter((site) => site !== undefined);
  if (sites.length > 0) putSiteKey(sheet, sites, page);
  if (model.centre !== undefined) putRegionKey(sheet, page);
  putUprightTitle(sheet, model.sizeTitle, page, { gap: 6 });
  const top = sheet.y;
  const bottom = top + Math.min(240, 0.72 * (right - left));
  const upright = uprightAxis(model, top, bottom);
  if (model.centre !== undefined)
    sheet.marks.push(
      significanceRegions(axis, model.centre, significanceWidths, upright.largest, top, bottom),
      referenceMark(model.centre, top, bottom, palette.quiet, false),
    );
  else sheet.marks.push(gridMark(axis, top, bottom));
  for (const { value, colour } of model.pooled)
    sheet.marks.push(referenceMark(place(axis, value).at, top, bottom, colour, true));
  sheet.marks.push(uprightMarks(upright.ticks, upright.y, left - 5, page.noteSize));
  for (const point of model.points)
    sheet.marks.push(
      funnelPoint(axis, point.value, upright.y(point.size), point.colour, point.site, point.label),
    );
  sheet.y = bottom + 3;
  putAxisBelow(sheet, axis, [left, right], page, { gap: 4 });
  if (model.centre !== undefined && model.directions !== undefined) {
    const share = (model.centre - axis.lower) / (axis.upper - axis.lower);
    putDirections(sheet, model.directions, left + share * (right - left), page);
  }
}

/**
 * Do small studies tell another story than large ones?
 *
 * A comparison is drawn against its standard error, over the regions where a study would reach p = 0.10, 0.05 and
 * 0.01 against no difference (Peters 2008, J Clin Epidemiol 61:991). Rates are drawn against the number of
 * shoulders, because the usual picture leans even without any bias when rates are low (Hunter 2014, J Clin
 * Epidemiol 67:897). Below ten studies the picture itself says that it supports no claim about asymmetry.
 *
 * @throws RangeError for an unknown option, a width outside 90 to 400 mm, or a pooled result on a rate scale.
 * @example
 * funnelPlot(pooledOddsRatios, { words: { lower: 'fewer after tenodesis', higher: 'fewer after tenotomy' } })
 */
export function funnelPlot(
  pools: SitePools | PooledRate | PooledResult,
  options: FunnelPlotOptions = {},
): string {
  refuseUnknownOptions('funnelPlot', options, funnelOptionNames);
  const model =
    pools.kind === 'pooled-result'
      ? contrastFunnel(pools, options.words)
      : rateFunnel(
          pools,
          chooseFrom('spacing', options.spacing, rateSpacings, 'linear'),
          options.unit ?? 'shoulder',
        );
  const resolved = resolveFigureOptions(options, { title: model.defaultTitle, idPrefix: 'funnel' });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const range = [page.margin + 34, page.width - page.margin - 6] as const;
  const axis = thinTicks(model.axis(page.narrow ? 4 : 7), range[1] - range[0], page.noteSize, 0);
  if (model.points.length > 0) putFunnel(sheet, model, axis, page, range);
  else {
    put(sheet, 'There is no study to show.', page.margin, sheet.y + page.textSize, {
      size: page.textSize,
      fill: palette.ink,
    });
    sheet.y += 2 * page.lineHeight;
  }
  sheet.y += 3;
  return drawSheet(sheet, resolved, {
    notes: model.notes,
    description: model.description,
    axis: axis,
    range,
  });
}
