import { decisionsSheet } from '../../src/extraction/agreement/decisionsSheet.ts';
import { wholeRow } from '../../src/extraction/agreement/disagreement.ts';
import { type ExtractedSheet, extractedSheets } from '../../src/extraction/agreement/readExtraction.ts';
import { isMissingText } from '../../src/extraction/missingText.ts';
import { sheets } from '../../src/extraction/sheets/sheets.ts';
import { siteEntries } from '../../src/extraction/siteEntry.ts';
import { type DemoRandom, demoRandom } from './demoRandom.ts';
import type { CsvRow } from './demoRows.ts';

export type DemoSheets = Readonly<Record<ExtractedSheet, readonly CsvRow[]>>;

/** What was planted: the kind, for tests, and the decision that undoes it. */
export interface PlantedDisagreement {
  readonly kind:
    | 'count'
    | 'decimal slip'
    | 'reported by one'
    | 'site'
    | 'category'
    | 'wording'
    | 'judgement'
    | 'missing row'
    | 'other time'
    | 'swapped arms'
    | 'both wrong';
  readonly decision: CsvRow;
}

export interface DemoExtractors {
  readonly first: DemoSheets;
  readonly second: DemoSheets;
  readonly planted: readonly PlantedDisagreement[];
}

type Person = 'first' | 'second';
const other = (person: Person): Person => (person === 'first' ? 'second' : 'first');

/** Both people's sheets being written, with the cells that already hold something planted. */
interface Desk {
  readonly truth: DemoSheets;
  readonly random: DemoRandom;
  readonly typed: Readonly<Record<Person, Record<ExtractedSheet, (CsvRow | undefined)[]>>>;
  readonly planted: PlantedDisagreement[];
  readonly busy: Set<CsvRow>;
}

/**
 * Two people's sheets, made from the demo's by planting disagreements of every kind, with the decisions that settle
 * them. The demo's own sheets are the truth both were trying to type.
 */
export function demoExtractors(seed: number, truth: DemoSheets): DemoExtractors {
  const blank = (): Record<ExtractedSheet, (CsvRow | undefined)[]> => ({
    studies: [...truth.studies],
    arms: [...truth.arms],
    events: [...truth.events],
    scores: [...truth.scores],
    judgements: [...truth.judgements],
  });
  const desk: Desk = {
    truth,
    random: demoRandom(seed, 'extractors'),
    typed: { first: blank(), second: blank() },
    planted: [],
    busy: new Set(),
  };
  plantSwappedArms(desk);
  plantNumbers(desk);
  plantSilence(desk);
  plantWords(desk);
  plantJudgements(desk);
  plantRows(desk);
  const sheetsOf = (person: Person): DemoSheets =>
    Object.fromEntries(
      extractedSheets.map((sheet) => [
        sheet,
        // Only the first wrote notes; of a row the first overlooked the second's stand.
        desk.typed[person][sheet].flatMap((row, at) => {
          if (row === undefined) return [];
          return [
            person === 'second' && desk.typed.first[sheet][at] !== undefined ? { ...row, notes: '' } : row,
          ];
        }),
      ]),
    ) as unknown as DemoSheets;
  return { first: sheetsOf('first'), second: sheetsOf('second'), planted: desk.planted };
}

/** The key columns as the work list shows them: numbers plainly, and what is not reported in words. */
function keyOf(sheet: ExtractedSheet, row: CsvRow): string {
  return sheets[sheet].key
    .map((heading) => {
      const text = row[heading] ?? '';
      return isMissingText(text) ? 'not reported' : text;
    })
    .join(' | ');
}

function rowsWhere(desk: Desk, sheet: ExtractedSheet, fits: (row: CsvRow) => boolean): readonly number[] {
  return desk.truth[sheet].flatMap((row, at) => (!desk.busy.has(row) && fits(row) ? [at] : []));
}

/** Draws rows, keeping them for one planting each. */
function draw(
  desk: Desk,
  sheet: ExtractedSheet,
  howMany: number,
  fits: (row: CsvRow) => boolean,
): readonly number[] {
  return Array.from({ length: howMany }, () => {
    const at = desk.random.pick(rowsWhere(desk, sheet, fits));
    desk.busy.add(desk.truth[sheet][at] as CsvRow);
    return at;
  });
}

/** One cell typed otherwise by one person, or by both, and the decision that puts it right. */
function plantCell(
  desk: Desk,
  kind: PlantedDisagreement['kind'],
  sheet: ExtractedSheet,
  at: number,
  column: string,
  wrong: Readonly<Partial<Record<Person, string>>>,
  reason: string,
): void {
  const row = desk.truth[sheet][at] as CsvRow;
  const right = row[column] ?? '';
  for (const person of ['first', 'second'] as const) {
    const text = wrong[person];
    if (text === undefined) continue;
    desk.typed[person][sheet][at] = { ...(desk.typed[person][sheet][at] ?? row), [column]: text };
  }
  const taken = wrong.first === undefined ? 'first' : wrong.second === undefined ? 'second' : 'neither';
  decide(desk, kind, sheet, keyOf(sheet, row), column, {
    first_value: wrong.first ?? right,
    second_value: wrong.second ?? right,
    taken_from: taken,
    decided_value: right,
    reason,
  });
}

function decide(
  desk: Desk,
  kind: PlantedDisagreement['kind'],
  sheet: ExtractedSheet,
  row: string,
  column: string,
  rest: CsvRow,
): void {
  const day = 3 + Math.floor(desk.planted.length / 12);
  desk.planted.push({
    kind,
    decision: {
      file: sheets[sheet].file,
      row,
      column,
      ...rest,
      decided_by: rest.taken_from === 'neither' ? 'C, third reader' : 'A and B',
      date: `2026-07-${String(day).padStart(2, '0')}`,
    },
  });
}

const isCount = (text: string | undefined): boolean => /^\d+$/.test(text ?? '');
const isDecimal = (text: string | undefined): boolean => /^\d+\.\d+$/.test(text ?? '');

/** A study with two arms whose counts of one outcome one person typed into each other's rows. */
function plantSwappedArms(desk: Desk): void {
  const { events } = desk.truth;
  const mates = events.flatMap((row, at) => {
    const mate = events.findIndex(
      (each, index) =>
        index > at &&
        each.study === row.study &&
        each.arm !== row.arm &&
        ['outcome', 'definition', 'assessor', 'follow_up_months'].every((key) => each[key] === row[key]),
    );
    const partner = events[mate];
    if (partner === undefined || !isCount(row.events) || !isCount(partner.events)) return [];
    const [a, b] = [Number(row.events), Number(partner.events)];
    const clear = a !== b && a > 1 && b > 1 && row.eligible_shoulders !== partner.eligible_shoulders;
    return clear && isCount(row.eligible_shoulders) && isCount(partner.eligible_shoulders)
      ? [{ at, mate }]
      : [];
  });
  const { at, mate } = desk.random.pick(mates);
  for (const [here, there] of [
    [at, mate],
    [mate, at],
  ] as const) {
    desk.busy.add(events[here] as CsvRow);
    for (const column of ['events', 'eligible_shoulders'])
      plantCell(
        desk,
        'swapped arms',
        'events',
        here,
        column,
        { second: (events[there] as CsvRow)[column] ?? '' },
        'the columns of the table are the other way round',
      );
  }
}

function plantNumbers(desk: Desk): void {
  const person = (): Person => desk.random.pick(['first', 'second'] as const);
  for (const at of draw(desk, 'events', 6, (row) => isCount(row.events) && Number(row.events) > 2)) {
    const right = Number((desk.truth.events[at] as CsvRow).events);
    const slip = String(right + desk.random.pick([-2, -1, 1]));
    plantCell(
      desk,
      'count',
      'events',
      at,
      'events',
      { [person()]: slip },
      'the table gives the other number',
    );
  }
  for (const at of draw(desk, 'scores', 3, (row) => isDecimal(row.mean) && Number(row.mean) >= 1)) {
    const right = (desk.truth.scores[at] as CsvRow).mean ?? '';
    const slipped = (Number(right) / 10).toFixed(right.split('.')[1]!.length + 1);
    plantCell(
      desk,
      'decimal slip',
      'scores',
      at,
      'mean',
      { [person()]: slipped },
      'the decimal point had slipped',
    );
  }
  for (const at of draw(desk, 'scores', 3, (row) => isDecimal(row.sd))) {
    const right = (desk.truth.scores[at] as CsvRow).sd ?? '';
    const slip = (Number(right) + desk.random.pick([0.2, 0.3, 1])).toFixed(right.split('.')[1]!.length);
    plantCell(desk, 'count', 'scores', at, 'sd', { [person()]: slip }, 'read from the line below');
  }
  for (const at of draw(desk, 'events', 2, (row) => isCount(row.events) && Number(row.events) > 4)) {
    const right = Number((desk.truth.events[at] as CsvRow).events);
    const wrong = { first: String(right - 1), second: String(right + 1) };
    plantCell(desk, 'both wrong', 'events', at, 'events', wrong, 'counted again from the list of patients');
  }
  for (const at of draw(desk, 'arms', 3, (row) => isDecimal(row.age_mean_years))) {
    const right = (desk.truth.arms[at] as CsvRow).age_mean_years ?? '';
    const slip = (Number(right) + desk.random.pick([0.9, 1, 10])).toFixed(1);
    plantCell(desk, 'count', 'arms', at, 'age_mean_years', { [person()]: slip }, 'a digit was misread');
  }
}

/** One person found what the other did not. */
function plantSilence(desk: Desk): void {
  const plant = (sheet: ExtractedSheet, column: string, howMany: number, reason: string): void => {
    const told = (row: CsvRow): boolean => !isMissingText(row[column] ?? '');
    for (const at of draw(desk, sheet, howMany, told)) {
      const person = desk.random.pick(['first', 'second', 'second'] as const);
      plantCell(desk, 'reported by one', sheet, at, column, { [person]: 'NR' }, reason);
    }
  };
  plant('events', 'percent', 3, 'stands in the abstract');
  plant('arms', 'sling_weeks', 3, 'stands under rehabilitation');
  plant('arms', 'distance_mm', 1, 'stands in the legend of the figure');
  plant('studies', 'patients_lost', 2, 'stands in the flow chart');
  // Here the paper is silent and one person guessed.
  for (const at of draw(desk, 'events', 1, (row) => isMissingText(row.events ?? '') && row.percent === '')) {
    plantCell(
      desk,
      'reported by one',
      'events',
      at,
      'events',
      { second: '0' },
      'silence is not a count of none',
    );
  }
}

function plantWords(desk: Desk): void {
  const unlike = (choices: readonly string[], text: string): string =>
    desk.random.pick(choices.filter((each) => each !== text));
  const classified = (row: CsvRow): boolean =>
    row.site_as_classified !== '' && row.site_as_classified !== 'tenotomy';
  for (const at of draw(desk, 'arms', 5, classified)) {
    const right = (desk.truth.arms[at] as CsvRow).site_as_classified ?? '';
    const near = siteEntries.filter((each) => each !== 'tenotomy' && each !== 'unclassified');
    const person = desk.random.pick(['first', 'second'] as const);
    const reason = 'the words of the methods section decide, not the title';
    plantCell(desk, 'site', 'arms', at, 'site_as_classified', { [person]: unlike(near, right) }, reason);
  }
  const fixations = ['interference screw', 'suture anchor', 'cortical button', 'all-suture anchor'];
  for (const at of draw(desk, 'arms', 3, (row) => fixations.includes(row.fixation ?? ''))) {
    const right = (desk.truth.arms[at] as CsvRow).fixation ?? '';
    const person = desk.random.pick(['first', 'second'] as const);
    const wrong = { [person]: unlike(fixations, right) };
    plantCell(desk, 'category', 'arms', at, 'fixation', wrong, 'stands in the operative technique');
  }
  for (const at of draw(desk, 'studies', 2, (row) => row.design === 'retrospective cohort')) {
    const wrong = { second: 'prospective cohort' };
    plantCell(desk, 'category', 'studies', at, 'design', wrong, 'data were collected from charts');
  }
  for (const at of draw(desk, 'arms', 1, (row) => row.concomitant_procedures === 'decompression')) {
    const wrong = { second: 'acromioplasty' };
    plantCell(desk, 'wording', 'arms', at, 'concomitant_procedures', wrong, 'the word of the paper');
  }
}

function plantJudgements(desk: Desk): void {
  const plant = (tool: string, answers: readonly string[], howMany: number): void => {
    for (const at of draw(
      desk,
      'judgements',
      howMany,
      (row) => row.tool === tool && row.item !== 'overall',
    )) {
      const right = answers.indexOf((desk.truth.judgements[at] as CsvRow).judgement ?? '');
      // People mostly miss each other by one step.
      const steps = [right - 1, right + 1].filter((step) => step >= 0 && step < answers.length);
      const step = desk.random.uniform() < 0.15 ? answers.length - 1 - right : desk.random.pick(steps);
      const slip = answers[step === right ? (steps[0] as number) : step] as string;
      const person = desk.random.pick(['first', 'second'] as const);
      const reason = 'settled by reading the methods section together';
      plantCell(desk, 'judgement', 'judgements', at, 'judgement', { [person]: slip }, reason);
    }
  };
  plant('MINORS', ['0', '1', '2'], 24);
  plant('RoB 2', ['low', 'some concerns', 'high'], 5);
}

/** Rows one person overlooked, and one row typed at another time by each. */
function plantRows(desk: Desk): void {
  const drop = (sheet: ExtractedSheet, at: number, person: Person): void => {
    const row = desk.truth[sheet][at] as CsvRow;
    desk.typed[person][sheet][at] = undefined;
    decide(desk, 'missing row', sheet, keyOf(sheet, row), wholeRow, {
      first_value: person === 'first' ? 'absent' : 'present',
      second_value: person === 'second' ? 'absent' : 'present',
      taken_from: other(person),
      decided_value: 'present',
      reason: 'the row had been overlooked',
    });
  };
  const [a, b, c] = draw(desk, 'events', 3, (row) => isCount(row.events));
  for (const [at, person] of [
    [a, 'first'],
    [b, 'second'],
    [c, 'second'],
  ] as const)
    drop('events', at as number, person);
  for (const at of draw(desk, 'scores', 1, () => true)) drop('scores', at, 'first');
  const month = (row: CsvRow): boolean => isCount(row.follow_up_months) && Number(row.follow_up_months) > 12;
  for (const at of draw(desk, 'events', 1, (row) => isCount(row.events) && month(row))) {
    const right = desk.truth.events[at] as CsvRow;
    const wrong = { ...right, follow_up_months: String(Number(right.follow_up_months) + 2) };
    desk.typed.second.events[at] = wrong;
    const sides = [
      [right, 'present', 'absent', 'present', 'the table says when'],
      [wrong, 'absent', 'present', 'absent', 'the same row with the wrong month'],
    ] as const;
    for (const [row, first, second, decided, reason] of sides)
      decide(desk, 'other time', 'events', keyOf('events', row), wholeRow, {
        first_value: first,
        second_value: second,
        taken_from: 'first',
        decided_value: decided,
        reason,
      });
  }
}

/** Rows of decisions.csv, with every heading the sheet has. */
export const decisionHeadings: readonly string[] = Object.keys(decisionsSheet.columns.shape);
