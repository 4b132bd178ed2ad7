// What the arms behind a number are taken as: cases on both sides of each border, from the words of the rule.
import { describe, expect, it } from 'vitest';
import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import { notReported, type Reported } from '../../src/extraction/reported.ts';
import type { Review } from '../../src/extraction/review.ts';
import { notesOnArms } from '../../src/pooling/notesOnArms.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';

interface Case {
  readonly months?: Reported<number>;
  readonly total?: number;
  readonly events?: number;
  readonly patients?: Reported<number>;
  readonly shoulders?: Reported<number>;
  readonly enrolled?: readonly [patients: Reported<number>, shoulders: Reported<number>];
  readonly eligiblePatients?: Reported<number>;
}

function made(cases: readonly Case[]): { readonly arms: ArmEvents[]; readonly review: Review } {
  const arms = cases.map(
    ({ months = 24, total = 40, events = 4 }, at): ArmEvents => ({
      study: `s${at}`,
      label: `Study ${at}`,
      year: 2020,
      arm: 'a',
      site: 'subpectoral',
      events,
      total,
      followUpMonths: months,
      definition: 'd',
      assessor: 'e',
      design: 'case series',
      row: { file: 'events.csv', line: at + 2, locator: notReported },
    }),
  );
  const review = {
    arms: cases.map(({ total = 40, patients = total, shoulders = total, enrolled }, at) => ({
      study: `s${at}`,
      arm: 'a',
      patientsAnalysed: patients,
      shouldersAnalysed: shoulders,
      patientsEnrolled: enrolled?.[0] ?? notReported,
      shouldersEnrolled: enrolled?.[1] ?? notReported,
    })),
    events: cases.map(({ eligiblePatients = notReported }, at) => ({
      eligiblePatients,
      row: arms[at]!.row,
    })),
  } as unknown as Review;
  return { arms, review };
}

const said = (cases: readonly Case[]): readonly string[] => {
  const { arms, review } = made(cases);
  return notesOnArms(arms, review).map(({ message }) => message);
};
const independent = 'Shoulders are taken as independent, although two may be of one patient: ';

describe('follow-up', () => {
  it.each<[string, Reported<number>[], string | undefined]>([
    ['alike', [24, 24], undefined],
    ['a little apart', [24, 47], undefined],
    ['twice as long', [24, 48], 'Arms followed for 24 to 48 months are taken as one proportion.'],
    ['from nothing', [0, 3], 'Arms followed for 0 to 3 months are taken as one proportion.'],
    ['as in a wide window', [12, 60, 120], 'Arms followed for 12 to 120 months are taken as one proportion.'],
    [
      'wide and silent',
      [12, 120, notReported],
      'Arms followed for 12 to 120 months are taken as one proportion; 1 arm does not report it.',
    ],
    [
      'alike and silent',
      [24, notReported, notReported],
      'Follow-up is 24 months where reported; 2 arms do not report it, and all are taken as one proportion.',
    ],
    [
      'silent',
      [notReported, notReported],
      'Follow-up is not reported by any of the 2 arms in this number: it has no time attached.',
    ],
    [
      'one silent arm',
      [notReported],
      'Follow-up is not reported by the arm in this number: it has no time attached.',
    ],
  ])('%s', (_, months, expected) => {
    expect(said(months.map((each) => ({ months: each })))).toEqual(expected === undefined ? [] : [expected]);
  });
});

describe('shoulders and patients', () => {
  it.each<[string, Case[], string | undefined]>([
    ['one shoulder each', [{}, {}], undefined],
    [
      'two more shoulders',
      [{ patients: 38 }, {}],
      '1 of 2 arms holds more shoulders than patients (40 of 38)',
    ],
    [
      'patients not reported',
      [{ patients: notReported }, {}],
      '1 of 2 arms does not report patients beside shoulders',
    ],
    [
      'both kinds',
      [{ patients: 38 }, { patients: 39 }, { patients: notReported, shoulders: notReported }],
      '2 of 3 arms hold more shoulders than patients (80 of 77); 1 does not report patients beside shoulders',
    ],
    ['the count gives its patients', [{ patients: notReported, eligiblePatients: 40 }], undefined],
    [
      'the count goes before the arm',
      [{ eligiblePatients: 39 }],
      '1 of 1 arm holds more shoulders than patients (40 of 39)',
    ],
    [
      'only enrolled ones are told',
      [{ patients: notReported, shoulders: notReported, enrolled: [41, 42] }],
      '1 of 1 arm holds more shoulders than patients (42 of 41)',
    ],
    ['as many shoulders looked at as patients', [{ patients: 40, shoulders: notReported }], undefined],
    [
      'fewer looked at than patients tells nothing',
      [{ patients: 50, shoulders: notReported }],
      '1 of 1 arm does not report patients beside shoulders',
    ],
  ])('%s', (_, cases, expected) => {
    expect(said(cases)).toEqual(
      expected === undefined ? [] : [`${independent}${expected}. The interval can be too narrow.`],
    );
  });
});

describe('arms in a number', () => {
  it('are those pooled: an arm left out for want of events does not widen the span', () => {
    const { arms, review } = made([{ months: 24 }, { months: 30 }, { months: 120, events: 0 }]);
    const pool = poolRates(arms, { zeroEvents: 'leave-out' });
    expect(pool.armsInNumber.map(({ study }) => study)).toEqual(['s0', 's1']);
    expect(notesOnArms(pool.armsInNumber, review)).toEqual([]);
  });

  it('are all where the exact interval is quoted', () => {
    const { arms } = made([{ events: 0 }, { events: 0 }]);
    expect(poolRates(arms).armsInNumber).toHaveLength(2);
  });
});
