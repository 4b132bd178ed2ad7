import type { Ranking } from '../comparison/network/rankTreatments.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { fixed } from './formatNumber.ts';
import { ruleMark } from './marks/axisMarks.ts';
import { siteGlyph, siteGlyphWidth } from './marks/siteGlyph.ts';
import { isSite, type TreatmentNames, treatmentColour, treatmentName } from './networkNames.ts';
import { palette } from './palette.ts';
import { shape } from './shape.ts';
import { put, startSheet } from './sheet.ts';

export interface NetworkRanksOptions extends FigureOptions {
  readonly names?: TreatmentNames;
  /** Order of the rows; default the order of the alphabet, so that no row is on top for being best. */
  readonly order?: readonly string[];
}

/**
 * How widely do the possible ranks of each treatment spread, and how much do they overlap?
 *
 * One row a treatment, one column a rank, the bar's height the probability of that rank. Rows stand in a fixed order,
 * not best first: wide, flat rows mean that nobody knows.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * networkRanks(rankTreatments(part, { better: 'lower' }), { order: pooledSites })
 */
export function networkRanks(ranking: Ranking, options: NetworkRanksOptions = {}): string {
  refuseUnknownOptions('networkRanks', options, [...figureOptionNames, 'names', 'order']);
  const resolved = resolveFigureOptions(options, { title: 'Possible ranks', idPrefix: 'ranks' });
  const { page } = resolved;
  const { names = {}, order = [] } = options;
  const sheet = startSheet(resolved);
  const place = (treatment: string): number => {
    const at = order.indexOf(treatment);
    return at < 0 ? order.length : at;
  };
  const rows = [...ranking.treatments].sort(
    (a, b) => place(a.treatment) - place(b.treatment) || (a.treatment < b.treatment ? -1 : 1),
  );
  const count = rows.length;
  const labelRoom = page.narrow ? 78 : 130;
  const textRoom = page.narrow ? 44 : 120;
  const left = page.margin + labelRoom;
  const right = page.width - page.margin - textRoom;
  const column = (right - left) / Math.max(1, count);
  const height = page.narrow ? 34 : 38;
  const bar = height - 12;
  const heads = { size: page.noteSize, face: 'semibold', fill: palette.quiet } as const;
  put(sheet, 'Rank', page.margin, sheet.y + page.noteSize, heads);
  for (let rank = 0; rank < count; rank++)
    put(sheet, String(rank + 1), left + (rank + 0.5) * column, sheet.y + page.noteSize, {
      ...heads,
      anchor: 'middle',
    });
  put(
    sheet,
    page.narrow ? 'Ranks' : '95\u00a0% of ranks, P-score',
    page.width - page.margin,
    sheet.y + page.noteSize,
    { ...heads, anchor: 'end' },
  );
  sheet.y += page.noteSize + 4;
  sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y, palette.quiet));
  sheet.y += 2;
  for (const { treatment, probabilities, range, pScore } of rows) {
    const base = sheet.y + height - 2;
    const colour = treatmentColour(treatment);
    const glyph = isSite(treatment);
    if (glyph) sheet.marks.push(siteGlyph(treatment, page.margin, base - bar / 2));
    put(
      sheet,
      treatmentName(treatment, names),
      page.margin + (glyph ? siteGlyphWidth + 2 : 0),
      base - bar / 2 + 0.33 * page.textSize,
      {
        size: page.textSize,
        room: labelRoom - siteGlyphWidth - 4,
      },
    );
    sheet.marks.push(({ document }) =>
      shape(document, 'g', { class: 'rank-row' }, [
        shape(document, 'path', {
          d: `M${left},${base}H${right}`,
          stroke: palette.quiet,
          'stroke-width': 0.6,
          fill: 'none',
        }),
        ...probabilities.flatMap((probability, rank) =>
          probability > 0
            ? [
                shape(document, 'rect', {
                  class: 'rank-bar',
                  x: left + rank * column + 0.14 * column,
                  y: base - bar * probability,
                  width: 0.72 * column,
                  height: bar * probability,
                  fill: colour,
                }),
              ]
            : [],
        ),
      ]),
    );
    const spread = range[0] === range[1] ? String(range[0]) : `${range[0]} to ${range[1]}`;
    put(
      sheet,
      page.narrow ? spread : `${spread}, ${fixed(pScore, 2)}`,
      page.width - page.margin,
      base - bar / 2 + 0.33 * page.textSize,
      {
        size: page.textSize,
        anchor: 'end',
      },
    );
    sheet.y += height;
  }
  sheet.y += 8;
  return drawSheet(sheet, resolved, {
    notes: [
      `Bar height: probability of the rank, a full row being certain (1 is best, ${ranking.better} being better). Ranks hold 95\u00a0% of ${ranking.draws.toLocaleString('en-GB')} draws. Rows are in a fixed order, not by rank.`,
      ranking.notCertainty,
    ],
    description: `Possible ranks. ${rows.map(({ treatment, probabilities, pScore }) => `${treatmentName(treatment, names)}: ${probabilities.map((p, i) => `rank ${i + 1} ${fixed(100 * p, 0)} %`).join(', ')}, P-score ${fixed(pScore, 2)}`).join('; ')}. ${ranking.notCertainty}`,
  });
}
