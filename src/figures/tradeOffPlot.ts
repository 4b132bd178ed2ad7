import { max } from 'd3-array';
import type { TradeOff } from '../comparison/multivariate/tradeOffBySite.ts';
import { place, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, levelText, percentNumber } from './formatNumber.ts';
import { putSiteKey } from './funnelKeys.ts';
import { gridMark } from './marks/axisMarks.ts';
import { funnelPoint } from './marks/funnelMarks.ts';
import { levelGrid } from './marks/levelGrid.ts';
import { type Place, regionMark } from './marks/scatterMarks.ts';
import { siteColours } from './palette.ts';
import { percentAxis } from './percentAxis.ts';
import { pointsAlong, putAxisBelow, putUprightTitle } from './plotArea.ts';
import { put, startSheet } from './sheet.ts';

const dashes = {
  'top-of-groove': undefined,
  suprapectoral: '6 2',
  subpectoral: '2 2',
  tenotomy: '7 2 1.5 2',
} as const;

const apart = 'Sites are set side by side, not compared: patients were not allotted to them by chance.';

/**
 * What does each site trade one bad outcome for, and could the truth be elsewhere?
 *
 * One outcome across, the other upright, both per 100 and both better near the lower left corner. Each site has its
 * pair of means and the region that holds both together at the stated level; regions that overlap much leave the
 * trade undecided.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm
 * @example
 * tradeOffPlot(tradeOffBySite(deformity, pain, { correlationWithinStudy: 0.3 }))
 */
export function tradeOffPlot(trade: TradeOff, options: FigureOptions = {}): string {
  refuseUnknownOptions('tradeOffPlot', options, figureOptionNames);
  const [first, second] = trade.outcomes;
  const resolved = resolveFigureOptions(options, {
    title: `${first} against ${second.toLowerCase()}`,
    idPrefix: 'trade-off',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const fitted = trade.sites.flatMap(({ site, name, joint }) =>
    joint.fit?.first.natural && joint.fit.second.natural && joint.fit.region
      ? [
          {
            site,
            name,
            joint,
            fit: joint.fit,
            x: joint.fit.first.natural,
            y: joint.fit.second.natural,
            edge: joint.fit.region.edge,
          },
        ]
      : [],
  );
  const without = trade.sites.filter(({ site }) => !fitted.some((each) => each.site === site));
  const range = [page.margin + 30, page.width - page.margin - 8] as const;
  const axisOf = (outcome: 0 | 1, title: string) =>
    percentAxis('linear', {
      rates: fitted.map(({ x, y }) => (outcome === 0 ? x : y).value),
      intervals: fitted.map(({ edge }) => ({
        lower: 0,
        upper: max(edge, (point) => point[outcome]) ?? 0,
        level: 0.95,
      })),
      title,
      tickCount: page.narrow ? 5 : 7,
    });
  const flat = thinTicks(axisOf(0, `${first}, per 100`), range[1] - range[0], page.noteSize, 0);
  const upright = axisOf(1, `${second}, per 100`);
  if (fitted.length > 0) {
    putSiteKey(
      sheet,
      fitted.map(({ site }) => site),
      page,
    );
    putUprightTitle(sheet, upright.title, page, { gap: 6 });
    const top = sheet.y;
    const bottom = top + Math.min(300, 0.8 * (range[1] - range[0]));
    const x = pointsAlong(flat, range);
    const y = pointsAlong(upright, [bottom, top]);
    sheet.marks.push(gridMark(flat, top, bottom), levelGrid(upright, y, range, page.noteSize));
    for (const { site, edge } of fitted) {
      const places = edge.map(([one, two]): Place => [x(place(flat, one).at), y(place(upright, two).at)]);
      sheet.marks.push(regionMark(places, siteColours[site], dashes[site]));
    }
    for (const each of fitted)
      sheet.marks.push(
        funnelPoint(
          flat,
          each.x.value,
          y(place(upright, each.y.value).at),
          siteColours[each.site],
          each.site,
          each.name,
        ),
      );
    sheet.y = bottom + 3;
    putAxisBelow(sheet, flat, range, page, { titleGap: 7 });
  } else {
    put(sheet, 'No site has both outcomes.', page.margin, sheet.y + page.textSize, { size: page.textSize });
    sheet.y += 2 * page.lineHeight;
  }
  const assumed = trade.sites[0]?.joint.options;
  const level = levelText(assumed?.level ?? 0.95);
  const missing =
    without.length === 0
      ? ''
      : ` Not drawn, too few arms: ${without.map(({ name }) => name.toLowerCase()).join(', ')}.`;
  const notes = [
    `Marks: pooled rates of both outcomes; lower left is better. Outlines: where both lie together, ${level}; a correlation of ${assumed?.correlationWithinStudy ?? 0} is assumed between the sampling errors of one arm.${missing}`,
    apart,
  ];
  const percent = (rate: number): string => percentNumber(rate, 1);
  const said = fitted.map(
    ({ name, joint, x, y }) =>
      `${name} ${percent(x.value)} and ${percent(y.value)} per 100 (${countOf(joint.units.length, 'arm')}, ${joint.reported.both} with both)`,
  );
  return drawSheet(sheet, resolved, {
    notes,
    description: `${first} and ${second.toLowerCase()} at each site with joint regions at ${level}. ${said.length === 0 ? 'No site has both.' : `${said.join('; ')}.`} ${apart}`,
    axis: flat,
    range,
  });
}
