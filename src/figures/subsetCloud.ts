import { type CloudDescription, describeCloud } from '../robustness/subsets/describeCloud.ts';
import { isMember, memberCount, type SubsetCloud } from '../robustness/subsets/subsetCloud.ts';
import { type Axis, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, fixed } from './formatNumber.ts';
import { gridMark } from './marks/axisMarks.ts';
import { type CloudBins, cloudCells, cloudOutline } from './marks/cloudMarks.ts';
import { uprightAxisMarks } from './marks/uprightAxis.ts';
import { naturalAxis, naturalScale } from './naturalAxis.ts';
import { palette, siteColours } from './palette.ts';
import { putAxisBelow } from './plotArea.ts';
import { type Mark, shape } from './shape.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

export interface SubsetCloudOptions extends FigureOptions {
  /** The study by whose presence the cloud is coloured: its position among the estimates. Default: the one that splits it most. */
  readonly study?: number;
  /** Subsets of fewer studies are not drawn, default 2. */
  readonly fewest?: number;
}

const withColour = palette.comparison;
const withoutColour = siteColours.tenotomy;

/**
 * What would the pool be, had any of these studies never been done, and does one study decide it?
 *
 * Every subset is a point: its mean across, its I² up; where points are dense the colour is deep. Dark are
 * subsets with the chosen study, orange and smaller those without, grey where both mix; the outlines on top are how their means spread, solid with it
 * and dashed without. Two clouds apart mean that the answer depends on that study.
 *
 * @throws RangeError for an unknown option, a position that is no study, or a width outside 90 to 400 mm.
 *
 * Source: Olkin I, Dahabreh IJ, Trikalinos TA, Res Synth Methods 2012;3:214-223.
 *
 * @example
 * subsetCloudPlot(subsetCloud(estimates), { study: 3, width: '190mm' })
 */
export function subsetCloudPlot(cloud: SubsetCloud, options: SubsetCloudOptions = {}): string {
  refuseUnknownOptions('subsetCloudPlot', options, [...figureOptionNames, 'study', 'fewest']);
  const resolved = resolveFigureOptions(options, {
    title: 'The pool of every subset of the studies',
    idPrefix: 'cloud',
  });
  const { page } = resolved;
  const fewest = options.fewest ?? 2;
  const description = describeCloud(cloud, { fewest });
  const study = options.study ?? description?.presence[0]?.position ?? 0;
  const chosen = cloud.estimates[study];
  if (chosen === undefined)
    throw new RangeError(
      `study must be a position from 0 to ${cloud.estimates.length - 1}, received ${study}`,
    );
  const sheet = startSheet(resolved);
  const natural = naturalScale(cloud.scale);
  const range = [page.margin + 34, page.width - page.margin - 8] as const;
  const ends =
    description === undefined
      ? []
      : [description.means.lowest, description.means.highest].map((mean) => natural.back(mean));
  const axis = thinTicks(
    naturalAxis(natural, ends, [], page.narrow ? 4 : 7),
    range[1] - range[0],
    page.noteSize,
  );
  if (description === undefined) {
    put(sheet, 'There are too few studies for a subset of them.', page.margin, sheet.y + page.textSize, {
      size: page.textSize,
    });
    sheet.y += 2 * page.lineHeight;
  } else {
    const bins = binned(cloud, study, fewest, axis, natural.back, page.narrow ? 44 : 72, 30);
    putKey(sheet, chosen.label, page.margin, page.width - 2 * page.margin, page.noteSize, page.lineHeight);
    const outlineTop = sheet.y;
    const top = outlineTop + 34;
    const bottom = top + Math.min(220, 0.62 * (range[1] - range[0]));
    sheet.marks.push(
      cloudOutline(bins, range, outlineTop, top - 4, withColour, withoutColour),
      gridMark(axis, top, bottom),
      cloudCells(bins, range, top, bottom, withColour, withoutColour),
      uprightAxisMarks(
        [0, 0.25, 0.5, 0.75, 1].map((share) => ({
          at: bottom - share * (bottom - top),
          text: String(100 * share),
        })),
        range[0] - 5,
        page.noteSize,
      ),
    );
    put(sheet, 'I², %', page.margin, top - 6, { size: page.noteSize, face: 'semibold', fill: palette.quiet });
    sheet.y = bottom + 3;
    putAxisBelow(sheet, axis, range, page, { title: `Pooled: ${natural.title.toLowerCase()}` });
  }
  const words = description === undefined ? [] : inWords(cloud, description, study, natural);
  return drawSheet(sheet, resolved, {
    notes: words,
    description: words.join(' ') || 'No subset.',
    axis: axis,
    range,
  });
}

function inWords(
  cloud: SubsetCloud,
  { subsets, fewest, means, iSquared, presence }: CloudDescription,
  study: number,
  natural: ReturnType<typeof naturalScale>,
): string[] {
  const show = (mean: number): string => natural.write(natural.back(mean));
  const effect = presence.find(({ position }) => position === study)!;
  const share = (value: number | undefined): string =>
    value === undefined ? 'none' : `${fixed(100 * value, 0)}\u00a0%`;
  return [
    `${countOf(subsets, 'subset')} ${cloud.taken === 'all' ? `of ${fewest} or more studies, all there are` : `drawn at random from seed ${cloud.seed}`}: 95 in 100 lie between ${show(means.low)} and ${show(means.high)}, I² between ${fixed(100 * iSquared.low, 0)} and ${fixed(100 * iSquared.high, 0)}\u00a0%.`,
    `${effect.label}: its presence explains ${share(effect.shareOfMeans)} of the spread of the means and ${share(effect.shareOfISquared)} of that of I²; means average ${show(effect.meanWith)} with it, ${show(effect.meanWithout)} without. Grey: between a third and two thirds hold it.`,
  ];
}

function binned(
  cloud: SubsetCloud,
  study: number,
  fewest: number,
  axis: Axis,
  back: (mean: number) => number,
  columns: number,
  rows: number,
): CloudBins {
  const withIt = new Float64Array(columns * rows);
  const without = new Float64Array(columns * rows);
  const cell = (share: number, cells: number): number =>
    Math.max(0, Math.min(cells - 1, Math.floor(share * cells)));
  for (let subset = 0; subset < cloud.subsets; subset++) {
    if (memberCount(cloud, subset) < fewest) continue;
    const across = (axis.toAxis(back(cloud.means[subset]!)) - axis.lower) / (axis.upper - axis.lower);
    const at = cell(cloud.iSquared[subset]!, rows) * columns + cell(across, columns);
    (isMember(cloud, subset, study) ? withIt : without)[at]! += 1;
  }
  return { columns, rows, withIt, without };
}

function putKey(
  sheet: Sheet,
  name: string,
  left: number,
  room: number,
  size: number,
  lineHeight: number,
): void {
  const swatch =
    (y: number, colour: string, dashed: boolean): Mark =>
    ({ document }) =>
      shape(document, 'g', { class: 'swatch' }, [
        shape(document, 'rect', {
          x: dashed ? left + 1.6 : left,
          y: dashed ? y - 5.2 : y - 6.8,
          width: dashed ? 4.8 : 8,
          height: dashed ? 4.8 : 8,
          fill: colour,
        }),
        shape(document, 'path', {
          d: `M${left + 11},${y - 3}h12`,
          stroke: colour,
          'stroke-width': 1.2,
          'stroke-dasharray': dashed ? '3 2' : undefined,
          fill: 'none',
        }),
      ]);
  for (const [text, colour, dashed] of [
    [`with ${name}`, withColour, false],
    [`without ${name}`, withoutColour, true],
  ] as const) {
    const baseline = sheet.y + size;
    sheet.marks.push(swatch(baseline, colour, dashed));
    put(sheet, text, left + 28, baseline, { size, face: 'semibold', fill: colour, room: room - 28 });
    sheet.y += lineHeight + 2;
  }
  sheet.y += 4;
}
