import type { SitePair } from '../comparison/pairs/comparePairs.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import { type Axis, place, thinTicks } from './axis.ts';
import { type ContrastWords, contrastForest } from './contrastForest.ts';
import { putDirections } from './directions.ts';
import { drawSheet } from './drawSheet.ts';
import {
  chooseFrom,
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { type ForestColumns, forestColumns } from './forestColumns.ts';
import { putGroup } from './forestGroup.ts';
import { type ForestModel, type ForestSort, forestSorts } from './forestModel.ts';
import { ruleMark, tickLabels } from './marks/axisMarks.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { type RateSpacing, rateSpacings } from './percentAxis.ts';
import { putAxisBelow } from './plotArea.ts';
import { ratesForest } from './ratesForest.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

export interface ForestPlotOptions extends FigureOptions {
  /** Order within a group: by `'estimate'` (default), `'size'`, `'year'` (rates only) or as `'given'`. */
  readonly sort?: ForestSort;
  /** Rates only: `'linear'` per cent (default) or `'logit'`, with ticks in per cent either way. */
  readonly spacing?: RateSpacing;
  /** Rates only: what is counted, in the singular. Default `'shoulder'`. */
  readonly unit?: string;
  /** Comparisons only: the two arms and the two directions in words. */
  readonly words?: Partial<ContrastWords>;
  /** Comparisons only: id of the answer whose effect the pooled line is. */
  readonly answer?: string | undefined;
}

const forestOptionNames = [...figureOptionNames, 'sort', 'spacing', 'unit', 'words', 'answer'] as const;

/** From this many lines on, the ticks are told at the top as well. */
const tallPicture = 14;

function putColumnHeadings(
  sheet: Sheet,
  model: ForestModel,
  axis: Axis,
  columns: ForestColumns,
  page: PageSize,
): void {
  const style = { size: page.noteSize, face: 'semibold', fill: palette.quiet } as const;
  const lines = page.narrow ? 2 : 1;
  const first = sheet.y + page.noteSize;
  const last = first + (lines - 1) * page.lineHeight;
  put(sheet, 'Study', columns.nameLeft, last, style);
  for (const { heading, left, totalEnd } of columns.counts)
    put(sheet, heading, totalEnd, last, { ...style, anchor: 'end', room: totalEnd - left });
  put(sheet, model.estimateHeading, columns.estimateEnd, first, { ...style, anchor: 'end' });
  put(sheet, columns.intervalHeading, columns.upperEnd, last, { ...style, anchor: 'end' });
  if (columns.weightEnd !== undefined)
    put(sheet, 'Weight', columns.weightEnd, last, { ...style, anchor: 'end' });
  const rows = model.groups.reduce((sum, group) => sum + group.rows.length, 0);
  if (rows >= tallPicture) sheet.marks.push(tickLabels(axis, last, page.noteSize));
  sheet.y = last + 4;
  sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y, palette.quiet));
  sheet.y += 2;
}

function putAxis(sheet: Sheet, model: ForestModel, axis: Axis, columns: ForestColumns, page: PageSize): void {
  const [left, right] = columns.plot;
  sheet.y += 5;
  putAxisBelow(sheet, axis, [left, right], page, { gap: 4 });
  if (model.directions !== undefined && model.reference !== undefined) {
    const share = (place(axis, model.reference).at - axis.lower) / (axis.upper - axis.lower);
    putDirections(sheet, model.directions, left + share * (right - left), page);
  }
  sheet.y += 3;
}

/**
 * What did each study find, and what do they say together?
 *
 * Draws rates by fixation site (pools by site), one pooled rate, or a comparison of two arms (a pooled result on
 * a contrast scale, or a pair of sites with its quoted effect) as the text of an SVG picture. One user unit is one point; the size is that on paper.
 * It draws what it is given and estimates nothing but each arm's Wilson interval.
 *
 * @throws RangeError for an unknown option, a width outside 90 to 400 mm, or a pooled result on a rate scale.
 * @example
 * forestPlot(pools, { title: 'Cosmetic deformity', width: '90mm' })
 */
export function forestPlot(
  pools: SitePools | PooledRate | PooledResult | SitePair,
  options: ForestPlotOptions = {},
): string {
  refuseUnknownOptions('forestPlot', options, forestOptionNames);
  const sort = chooseFrom('sort', options.sort, forestSorts, 'estimate');
  const words = {
    lower: 'lower in the first group',
    higher: 'higher in the first group',
    treated: 'First group',
    comparator: 'Second group',
    ...options.words,
  };
  const model =
    'pool' in pools || pools.kind === 'pooled-result'
      ? contrastForest(pools, { sort, words, answer: options.answer })
      : ratesForest(pools, {
          sort,
          spacing: chooseFrom('spacing', options.spacing, rateSpacings, 'linear'),
          unit: options.unit ?? 'shoulder',
        });
  const resolved = resolveFigureOptions(options, { title: model.defaultTitle, idPrefix: 'forest' });
  const { page } = resolved;
  const columns = forestColumns(model, page);
  const axis = thinTicks(
    model.axis(page.narrow ? 4 : 6),
    columns.plot[1] - columns.plot[0],
    page.noteSize,
    0,
  );
  const drawn = model.groups.some(({ rows, pooled }) => rows.length > 0 || pooled !== undefined);
  const sheet = startSheet(resolved);
  putColumnHeadings(sheet, model, axis, columns, page);
  for (const [index, group] of model.groups.entries()) {
    if (index > 0) {
      sheet.y += 5;
      sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y));
      sheet.y += 3;
    }
    putGroup(sheet, group, index, { model, page, columns, axis });
  }
  if (drawn) putAxis(sheet, model, axis, columns, page);
  else sheet.y += 8;
  return drawSheet(sheet, resolved, {
    notes: model.notes,
    description: model.description,
    axis: axis,
    range: columns.plot,
  });
}
