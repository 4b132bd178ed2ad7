import type { Protocol } from '../../src/extraction/protocol.ts';
import { type SheetName, sheets } from '../../src/extraction/sheets/sheets.ts';
import type { DemoDecision } from './demoCertainty.ts';
import { demoProtocol } from './demoProtocol.ts';
import type { CsvRow } from './demoRows.ts';
import { type DemoStudy, demoStudies } from './demoStudies.ts';

/** Reports that the search of the later year added. */
const notYetFound = ['Stellamar 2024', 'Rosavik 2023', 'Belcastra 2018'];

/** A report that was taken in and later left out, because its patients were found to be those of another study. */
const laterDropped: DemoStudy = {
  place: 'Zennmark',
  year: 2019,
  design: 'retrospective cohort',
  months: 41,
  arms: [
    { site: 'teno', shoulders: 48 },
    { site: 'supra', shoulders: 46 },
  ],
  outcomes: ['cosmetic-deformity', 'revision', 'any-revision'],
};

/** The studies of the demo as the version of the year before held them. */
export const lastYearStudies: readonly DemoStudy[] = [
  ...demoStudies.filter(({ place, year }) => !notYetFound.includes(`${place} ${year}`)),
  laterDropped,
];

interface LaterCorrected {
  readonly sheet: SheetName;
  /** Cells that find the row. */
  readonly row: CsvRow;
  /** Cells as they stood the year before. */
  readonly stood: CsvRow;
}

/** Cells that were corrected since, or that nobody had found in the paper yet. */
const laterCorrected: readonly LaterCorrected[] = [
  {
    sheet: 'studies',
    row: { study: 'palmora-2012' },
    stood: { funding: 'NR' },
  },
  {
    sheet: 'events',
    row: { study: 'lindaro-2015', arm: 'subpectoral', outcome: 'cosmetic-deformity' },
    stood: { events: '5', locator: 'text' },
  },
  {
    sheet: 'events',
    row: { study: 'quellmoor-2010', arm: 'subpectoral', outcome: 'groove-pain' },
    stood: { events: '12' },
  },
  {
    sheet: 'events',
    row: { study: 'halmeria-2016', arm: 'suprapectoral', outcome: 'cosmetic-deformity' },
    stood: { events: 'NR' },
  },
  {
    sheet: 'scores',
    row: { study: 'quellmoor-2010', arm: 'suprapectoral', scale: 'pain-vas', value_type: 'final' },
    stood: { mean: '3.0' },
  },
];

/** Decisions of the earlier year only; the panel met again after the later search. */
export const demoEarlierReasons: readonly DemoDecision[] = [
  {
    question: { kind: 'rate', outcome: 'revision', site: 'suprapectoral' },
    domain: 'publication bias',
    proposed: -1,
    levels: -1,
    reason: 'no register of operations had been searched yet',
  },
  {
    question: {
      kind: 'comparison',
      outcome: 'cosmetic-deformity',
      site: 'subpectoral',
      comparator: 'tenotomy',
    },
    domain: 'risk of bias',
    proposed: -2,
    levels: -1,
    reason: 'one of the two trials is at high risk for missing results only, and both agree',
  },
  {
    question: {
      kind: 'comparison',
      outcome: 'cosmetic-deformity',
      site: 'subpectoral',
      comparator: 'tenotomy',
    },
    domain: 'imprecision',
    proposed: -1,
    levels: 0,
    reason: 'the smallest effect in the interval is nearly twice the difference that matters',
  },
];

/** Rows of a sheet with the cells that were corrected later put back to what they said. */
export function asLastYear(sheet: SheetName, rows: readonly CsvRow[]): readonly CsvRow[] {
  let changed = rows;
  for (const { row, stood } of laterCorrected.filter((each) => each.sheet === sheet)) {
    const matches = (own: CsvRow): boolean => Object.entries(row).every(([key, value]) => own[key] === value);
    const found = changed.filter(matches);
    const unknown = Object.keys(stood).filter(
      (heading) => !Object.hasOwn(sheets[sheet].columns.shape, heading),
    );
    if (unknown.length > 0) throw new RangeError(`${sheet} has no column ${unknown.join(', ')}`);
    if (found.length !== 1)
      throw new RangeError(`${found.length} rows of ${sheet} match ${JSON.stringify(row)}`);
    changed = changed.map((own) => (matches(own) ? { ...own, ...stood } : own));
  }
  return changed;
}

/** The protocol of the year before: deformity counted from two years on, where the later version counts from one. */
export const lastYearProtocol: Protocol = {
  ...(({ previousVersion: _, ...rest }) => rest)(demoProtocol),
  lastSearch: '2025-06-30',
  outcomes: demoProtocol.outcomes.map((outcome) =>
    outcome.id === 'cosmetic-deformity'
      ? { ...outcome, windowMonths: { minimum: 24, maximum: 120 } }
      : outcome,
  ),
};

/** What waited in the year before. */
export const lastYearAwaiting: readonly CsvRow[] = [
  {
    report: 'Invented Journal of Shoulders 34:77',
    found: '2025-06-30',
    waits_for: 'the full text',
    extractor: 'A',
  },
];
