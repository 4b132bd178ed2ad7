import { putAnswer, putBeside } from './answerGroup.ts';
import { type Axis, place } from './axis.ts';
import type { ForestColumns } from './forestColumns.ts';
import { type ForestGroup, type ForestModel, summaryLabels } from './forestModel.ts';
import { putRowText, rowHeight } from './forestRowText.ts';
import { paragraph } from './label.ts';
import { gridMark, referenceMark } from './marks/axisMarks.ts';
import { siteGlyph, siteGlyphWidth } from './marks/siteGlyph.ts';
import { discRadius, studyMark } from './marks/studyMark.ts';
import { checkMark, hatchPattern, pooledMark, predictionMark } from './marks/summaryMarks.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { put, type Sheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

/** What a group is drawn with. */
export interface GroupSetting {
  readonly model: ForestModel;
  readonly page: PageSize;
  readonly columns: ForestColumns;
  readonly axis: Axis;
}

/** Largest disc: its diameter fills a row without touching the next. */
export const largestRadius = 4.9;

function putHeading(sheet: Sheet, group: ForestGroup, { page }: GroupSetting): void {
  if (group.heading === undefined) return;
  const { headingSize, noteSize, margin, narrow, width } = page;
  const left = margin + siteGlyphWidth;
  const baseline = sheet.y + 11;
  if (group.site !== undefined) sheet.marks.push(siteGlyph(group.site, margin, baseline - 3.4));
  put(sheet, group.heading, left, baseline, { size: headingSize, face: 'bold', fill: group.colour });
  sheet.y += 16;
  if (group.detail === undefined) return;
  const detail = { size: noteSize, fill: palette.quiet };
  if (narrow) {
    put(sheet, group.detail, left, sheet.y + noteSize - 2, { ...detail, room: width - left - margin });
    sheet.y += page.lineHeight + 1;
  } else {
    const from = left + textWidth(group.heading, headingSize, 'bold') + 8;
    put(sheet, group.detail, from, baseline, { ...detail, room: width - from - margin });
  }
}

function putSummary(sheet: Sheet, group: ForestGroup, hatch: string, setting: GroupSetting): void {
  const { page, columns, axis, model } = setting;
  const { pooled, prediction, beside, colour } = group;
  const plain = { face: 'regular', colour: palette.ink, counts: [], weight: undefined } as const;
  if (pooled !== undefined) {
    sheet.y += 1.5;
    const height = rowHeight(page) + (page.narrow ? 0 : 2);
    putAnswer(sheet, pooled.answer, (inner) => {
      putRowText(
        inner,
        { ...pooled, face: 'semibold', colour, weight: undefined },
        inner.y + (page.narrow ? 0 : 1),
        2,
        columns,
        model,
        page,
      );
      inner.marks.push(pooledMark(axis, inner.y + height / 2, pooled.estimate, pooled.interval, colour));
      inner.y += height;
    });
  }
  if (prediction !== undefined) {
    putRowText(
      sheet,
      { ...plain, label: summaryLabels.prediction, estimate: undefined, interval: prediction },
      sheet.y,
      1,
      columns,
      model,
      page,
    );
    sheet.marks.push(predictionMark(axis, sheet.y + rowHeight(page, 1) / 2, prediction, colour, hatch));
    sheet.y += rowHeight(page, 1);
  }
  for (const other of beside) {
    putBeside(sheet, 'methods compared', (inner) => {
      putRowText(inner, { ...plain, ...other }, inner.y, 2, columns, model, page);
      inner.marks.push(
        checkMark(axis, inner.y + rowHeight(page) / 2, other.estimate, other.interval, colour),
      );
      inner.y += rowHeight(page);
    });
  }
}

function putSentences(sheet: Sheet, group: ForestGroup, { page }: GroupSetting): void {
  if (group.sentences.length > 0) sheet.y += 2;
  for (const sentence of group.sentences) {
    const text = paragraph(sentence, page.margin, sheet.y + page.noteSize, {
      size: page.noteSize,
      fill: palette.quiet,
      room: page.width - 2 * page.margin,
      lineHeight: page.lineHeight,
    });
    sheet.marks.push(...text.marks);
    sheet.y += text.lines * page.lineHeight + 1;
  }
}

/** Draws a group: heading, one line an arm, what they add up to, and how much they differ. */
export function putGroup(sheet: Sheet, group: ForestGroup, index: number, setting: GroupSetting): void {
  const { model, page, columns, axis } = setting;
  putHeading(sheet, group, setting);
  const top = sheet.y;
  const layer: Sheet = { marks: [], y: sheet.y };
  const largest = Math.max(0, ...group.rows.map(({ weight }) => weight ?? 0));
  for (const row of group.rows)
    putBeside(layer, 'single studies', (inner) => {
      putRowText(
        inner,
        {
          ...row,
          face: 'regular',
          colour: palette.ink,
          weight: group.pooled === undefined ? undefined : (row.weight ?? 'none'),
        },
        inner.y,
        2,
        columns,
        model,
        page,
      );
      inner.marks.push(
        studyMark(axis, {
          y: inner.y + rowHeight(page) / 2,
          estimate: row.estimate,
          interval: row.interval,
          radius: row.weight === undefined ? undefined : discRadius(row.weight, largest, largestRadius),
          colour: group.colour,
        }),
      );
      inner.y += rowHeight(page);
    });
  const studiesEnd = layer.y;
  const hatch = `hatch-${index}`;
  putSummary(layer, group, hatch, setting);
  if (layer.y > top) sheet.marks.push(gridMark(axis, top, layer.y));
  if (model.reference !== undefined)
    sheet.marks.push(referenceMark(place(axis, model.reference).at, top, layer.y, palette.quiet, false));
  const { pooled } = group;
  // An estimate at the end of its interval (no events at all) needs no guide: it is the edge of the axis.
  if (
    pooled !== undefined &&
    pooled.estimate > pooled.interval.lower &&
    pooled.estimate < pooled.interval.upper
  )
    sheet.marks.push(referenceMark(place(axis, pooled.estimate).at, top, studiesEnd + 2, group.colour, true));
  if (group.prediction !== undefined) sheet.marks.push(hatchPattern(hatch, group.colour));
  sheet.marks.push(...layer.marks);
  sheet.y = layer.y;
  putSentences(sheet, group, setting);
}
