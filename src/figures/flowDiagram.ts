import type { FlowCounts } from '../extraction/flowCounts.ts';
import { isReported } from '../extraction/reported.ts';
import { flowStages } from '../extraction/sheets/flowSheet.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { type FlowBoxes, type FlowStep, flowBoxes } from './flowBoxes.ts';
import { paragraph } from './label.ts';
import { ruleMark } from './marks/axisMarks.ts';
import { arrowMark, boxMark, type SetBox, setBox } from './marks/flowMarks.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

const gap = 13;
const headingOfDatabases = 'Identification of studies via databases and registers';
const headingOfOthers = 'Identification of studies via other methods';

/** Where the columns stand, and how wide a box is. */
interface Columns {
  readonly width: number;
  /** Left edges: on, out, and the same of other sources where these stand beside. */
  readonly lefts: readonly number[];
}

function columnsOf(page: PageSize, across: number, rail: number): Columns {
  const left = page.margin + rail;
  const width = (page.width - page.margin - left - (across - 1) * gap) / across;
  return { width, lefts: Array.from({ length: across }, (_, at) => left + at * (width + gap)) };
}

/** The box last drawn on a way down: arrows start at its foot. */
interface Foot {
  readonly middle: number;
  readonly bottom: number;
}

/** Draws one step of each way down in one row, with arrows from what stands above. */
function putRow(
  sheet: Sheet,
  page: PageSize,
  columns: Columns,
  row: readonly { readonly step: FlowStep; readonly column: number; readonly from: Foot | undefined }[],
): readonly (Foot | undefined)[] {
  const top = sheet.y;
  let bottom = top;
  const feet = row.map(({ step, column, from }) => {
    const left = columns.lefts[column]!;
    const beside = columns.lefts[column + 1]!;
    const set = (box: FlowStep['on']): SetBox | undefined => box && setBox(box, columns.width, page);
    const [on, out] = [set(step.on), set(step.out)];
    bottom = Math.max(bottom, top + (on?.height ?? 0), top + (out?.height ?? 0));
    const middle = left + columns.width / 2;
    if (on !== undefined) {
      if (from !== undefined) sheet.marks.push(arrowMark([middle, from.bottom], [middle, top]));
      sheet.marks.push(...boxMark(on, left, top, page));
    }
    if (out !== undefined) {
      const y = top + Math.min(on?.height ?? out.height, out.height) / 2;
      sheet.marks.push(arrowMark([left + columns.width, y], [beside, y]), ...boxMark(out, beside, top, page));
    }
    return on === undefined ? from : { middle, bottom: top + on.height };
  });
  sheet.y = bottom + gap;
  return feet;
}

function putHeading(sheet: Sheet, page: PageSize, left: number, room: number, text: string): number {
  const style = { size: page.headingSize, face: 'bold', fill: palette.ink, room } as const;
  const lines = paragraph(text, left, sheet.y + page.headingSize, {
    ...style,
    lineHeight: page.lineHeight + 1.5,
  });
  sheet.marks.push(...lines.marks);
  return lines.lines * (page.lineHeight + 1.5) + 5;
}

function putPhase(sheet: Sheet, page: PageSize, columns: Columns, text: string): void {
  sheet.marks.push(ruleMark(columns.lefts[0]!, page.width - page.margin, sheet.y));
  sheet.y += 3;
  const short = columns.width / 2 - 4;
  put(sheet, text, columns.lefts[0]!, sheet.y + page.headingSize, {
    size: page.headingSize,
    face: 'bold',
    room: short,
  });
  sheet.y += page.headingSize + 6;
}

/** Both columns beside each other: for two columns of a journal. */
function putBeside(
  sheet: Sheet,
  page: PageSize,
  columns: Columns,
  boxes: FlowBoxes,
): readonly (Foot | undefined)[] {
  const { other } = boxes;
  const half = 2 * columns.width + gap;
  const heights = [
    putHeading(sheet, page, columns.lefts[0]!, half, headingOfDatabases),
    ...(other === undefined ? [] : [putHeading(sheet, page, columns.lefts[2]!, half, headingOfOthers)]),
  ];
  sheet.y += Math.max(...heights);
  const main = (step: FlowStep, from: Foot | undefined) => ({ step, column: 0, from });
  const beside = (step: FlowStep | undefined, from: Foot | undefined) =>
    step === undefined ? [] : [{ step, column: 2, from }];
  let feet = putRow(sheet, page, columns, [
    main(boxes.identification, undefined),
    ...beside(other?.identification, undefined),
  ]);
  putPhase(sheet, page, columns, 'Screening');
  for (const [at, step] of boxes.screening.entries()) {
    // The other column has no screening of records: its steps stand beside the reports.
    const step2 = other?.screening[at - (boxes.screening.length - other.screening.length)] ?? (other && {});
    feet = putRow(sheet, page, columns, [main(step, feet[0]), ...beside(step2, feet[1])]);
  }
  return feet;
}

/** One column below the other: for one column of a journal. */
function putBelow(
  sheet: Sheet,
  page: PageSize,
  columns: Columns,
  boxes: FlowBoxes,
): readonly (Foot | undefined)[] {
  const down = (
    identification: FlowStep,
    screening: readonly FlowStep[],
    heading: string,
  ): Foot | undefined => {
    sheet.y += putHeading(
      sheet,
      page,
      columns.lefts[0]!,
      page.width - page.margin - columns.lefts[0]!,
      heading,
    );
    let [foot] = putRow(sheet, page, columns, [{ step: identification, column: 0, from: undefined }]);
    putPhase(sheet, page, columns, 'Screening');
    for (const step of screening) [foot] = putRow(sheet, page, columns, [{ step, column: 0, from: foot }]);
    return foot;
  };
  const first = down(boxes.identification, boxes.screening, headingOfDatabases);
  if (boxes.other === undefined) return [first];
  sheet.marks.push(ruleMark(columns.lefts[0]!, page.width - page.margin, sheet.y));
  sheet.y += 3;
  return [down(boxes.other.identification, boxes.other.screening, headingOfOthers), first];
}

/** What was included, with arrows from every way down. */
function putIncluded(
  sheet: Sheet,
  page: PageSize,
  columns: Columns,
  boxes: FlowBoxes,
  [main, other]: readonly (Foot | undefined)[],
): void {
  putPhase(sheet, page, columns, 'Included');
  const left = columns.lefts[0]!;
  const first = setBox(boxes.added ?? boxes.included, columns.width, page);
  const top = sheet.y;
  if (other !== undefined) {
    const y = top + first.height * 0.75;
    if (other.middle > left + columns.width) {
      // From the parallel column: down, then in from the right, below the earlier version if there is one.
      const turn = top - 8;
      const into = left + columns.width * 0.8;
      sheet.marks.push(
        arrowMark([other.middle, other.bottom], [other.middle, turn], [into, turn], [into, top]),
      );
    } else {
      // Around the other sources along the left edge.
      const rail = page.margin + 1;
      sheet.marks.push(arrowMark([left, other.bottom - 8], [rail, other.bottom - 8], [rail, y], [left, y]));
    }
  }
  const on = boxes.added ?? boxes.included;
  const feet = putRow(sheet, page, columns, [{ step: { on }, column: 0, from: main }]);
  if (boxes.previous === undefined || boxes.added === undefined) return;
  const previous = setBox(boxes.previous, columns.width, page);
  const beside = columns.lefts[1]!;
  sheet.marks.push(...boxMark(previous, beside, top, page));
  sheet.y = Math.max(sheet.y, top + previous.height + gap);
  const whole = setBox(boxes.included, columns.width, page);
  const into = sheet.y + whole.height / 2;
  const middle = beside + columns.width / 2;
  sheet.marks.push(arrowMark([middle, top + previous.height], [middle, into], [left + columns.width, into]));
  putRow(sheet, page, columns, [{ step: { on: boxes.included }, column: 0, from: feet[0] }]);
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function describe(flow: FlowCounts): string {
  const told = flowStages.flatMap((stage) => {
    const { total, parts } = flow.counts[stage];
    const other = stage.startsWith('other ') && !flow.otherSources;
    const earlier = (stage.startsWith('previous ') || stage.startsWith('new ')) && !flow.update;
    if (other || earlier) return [];
    const named = parts.flatMap(({ detail, count }) => (isReported(detail) ? [`${detail} ${count}`] : []));
    return [`${stage} ${total}${named.length > 0 ? ` (${named.join('; ')})` : ''}`];
  });
  return `Flow of records, reports and studies: ${told.join('; ')}.`;
}

/**
 * How many records, reports and studies passed each step of the selection?
 *
 * The boxes and words of the PRISMA 2020 flow diagram (Page MJ et al., BMJ 2021;372:n71, CC BY), for new and updated
 * reviews, with and without other sources, drawn in this project's look. A count nobody typed reads `not reported`,
 * never 0, and counts that do not add up are named under the picture.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * flowDiagram(flowCounts(review.flow, review.studies), { width: '90mm' })
 */
export function flowDiagram(flow: FlowCounts, options: FigureOptions = {}): string {
  refuseUnknownOptions('flowDiagram', options, figureOptionNames);
  const resolved = resolveFigureOptions(options, { title: 'From search to inclusion', idPrefix: 'flow' });
  const { page } = resolved;
  const boxes = flowBoxes(flow);
  const beside = flow.otherSources && !page.narrow;
  const rail = flow.otherSources && page.narrow ? 9 : 0;
  const columns = columnsOf(page, beside ? 4 : 2, rail);
  const sheet = startSheet(resolved);
  const feet = (page.narrow ? putBelow : putBeside)(sheet, page, columns, boxes);
  putIncluded(sheet, page, columns, boxes, feet);
  const wrong = flow.mismatches.map(
    ({ stage, expected }) => `${capital(stage)}: ${flow.counts[stage].total}, expected ${expected}`,
  );
  const workedOut = Object.values(flow.counts).flatMap(({ stage, workedOut: how }) =>
    how === undefined ? [] : [`${stage} (${how})`],
  );
  return drawSheet(sheet, resolved, {
    notes: [
      ...(wrong.length > 0 ? [`These counts do not add up. ${wrong.join('. ')}.`] : []),
      ...(workedOut.length > 0 ? [`Worked out: ${workedOut.join(', ')}.`] : []),
      'Boxes as in PRISMA 2020 (Page MJ et al., BMJ 2021;372:n71). Grey: what fell out at the step.',
    ],
    description: `${describe(flow)}${wrong.length > 0 ? ` These counts do not add up. ${wrong.join('. ')}.` : ''}`,
  });
}
