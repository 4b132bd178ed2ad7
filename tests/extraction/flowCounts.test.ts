import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flowCounts } from '../../src/extraction/flowCounts.ts';
import { formatProblem } from '../../src/extraction/problem.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import type { FlowRow } from '../../src/extraction/review.ts';
import type { FlowStage } from '../../src/extraction/sheets/flowSheet.ts';
import { smallReview } from './smallReview.ts';

type Typed = readonly (readonly [FlowStage, number, string?])[];
const rowsOf = (typed: Typed): readonly FlowRow[] =>
  typed.map(([stage, count, detail = 'not reported'], at) => ({
    stage,
    count,
    detail,
    locator: 'not reported',
    notes: 'not reported',
    extractor: 'not reported',
    row: { file: 'flow.csv', line: at + 2, locator: 'not reported' },
  }));

/** A flow that adds up, made from what fell out at each step. */
const consistent = fc
  .record({
    identified: fc.integer({ min: 400, max: 5000 }),
    removed: fc.integer({ min: 1, max: 100 }),
    excluded: fc.integer({ min: 1, max: 100 }),
    missing: fc.integer({ min: 1, max: 50 }),
    unfit: fc.integer({ min: 1, max: 100 }),
    other: fc.option(
      fc.record({
        found: fc.integer({ min: 60, max: 90 }),
        sought: fc.integer({ min: 40, max: 60 }),
        missing: fc.integer({ min: 1, max: 10 }),
        unfit: fc.integer({ min: 1, max: 20 }),
      }),
    ),
    previous: fc.option(fc.integer({ min: 1, max: 30 })),
    newTyped: fc.boolean(),
  })
  .map(({ identified, removed, excluded, missing, unfit, other, previous, newTyped }): Typed => {
    const sought = identified - removed - excluded;
    const added =
      sought - missing - unfit + (other === null ? 0 : other.sought - other.missing - other.unfit);
    const whole = added + (previous ?? 0);
    return [
      ['records identified', identified - 7, 'one'],
      ['records identified', 7, 'two'],
      ['records removed before screening', removed, 'duplicates'],
      ['records screened', identified - removed],
      ['records excluded', excluded],
      ['reports sought', sought],
      ['reports not retrieved', missing],
      ['reports assessed', sought - missing],
      ['reports excluded', unfit, 'no result'],
      ...(other === null
        ? []
        : ([
            ['other records identified', other.found],
            ['other reports sought', other.sought],
            ['other reports not retrieved', other.missing],
            ['other reports assessed', other.sought - other.missing],
            ['other reports excluded', other.unfit],
          ] as const)),
      ...(previous === null
        ? []
        : ([
            ['previous reports included', previous],
            ['previous studies included', previous],
            ...(newTyped
              ? ([
                  ['new reports included', added],
                  ['new studies included', added],
                ] as const)
              : []),
          ] as const)),
      ['reports included', whole],
      ['studies included', whole],
    ];
  });

describe('counts of the selection', () => {
  it('finds nothing wrong with a flow that adds up, in any form the standard has', () => {
    fc.assert(
      fc.property(consistent, (typed) => {
        expect(flowCounts(rowsOf(typed)).mismatches).toEqual([]);
      }),
    );
  });

  it('finds any one count that is off', () => {
    fc.assert(
      fc.property(consistent, fc.nat(), fc.integer({ min: 1, max: 3 }), (typed, at, off) => {
        // What was found otherwise is only an upper bound; every other count stands in an equation.
        const within = typed.flatMap(([stage], index) =>
          stage === 'other records identified' ? [] : [index],
        );
        const chosen = within[at % within.length]!;
        const spoilt = typed.map(([stage, count, detail], index): Typed[number] => [
          stage,
          index === chosen ? count + off : count,
          ...(detail === undefined ? ([] as const) : ([detail] as const)),
        ]);
        expect(flowCounts(rowsOf(spoilt)).mismatches).not.toEqual([]);
      }),
    );
  });

  it('keeps a count nobody typed apart from none', () => {
    const { counts } = flowCounts(rowsOf([['records screened', 0]]));
    expect(counts['records screened'].total).toBe(0);
    expect(counts['records excluded'].total).toBe('not reported');
  });

  it('works out what is new in an update, and says so', () => {
    const { counts, update } = flowCounts(
      rowsOf([
        ['previous reports included', 20],
        ['reports included', 33],
      ]),
    );
    expect(update).toBe(true);
    expect(counts['new reports included']).toMatchObject({
      total: 13,
      workedOut: 'reports included less those of before',
    });
  });

  it.each([
    [
      'records excluded without a row that says how many',
      'records screened,,30\nreports sought,,10',
      'flow.csv:3:17 warning: count is "10"; expected 30, as no row says how many fell out. Add the rows of "records excluded", or check the counts.',
    ],
    [
      'more fell out than there were',
      'records screened,,30\nrecords excluded,,31',
      'flow.csv:3:19 warning: count is "31"; expected at most 30. records screened 30, and 31 cannot fall out of them: check both.',
    ],
    [
      'more studies than reports',
      'reports included,,3\nstudies included,,4',
      'flow.csv:3:19 warning: count is "4"; expected at most 3. There cannot be more than the 3 of "reports included": check both.',
    ],
    [
      'a total beside its parts',
      'records identified,one,5\nrecords identified,two,6\nrecords identified,,11',
      'flow.csv:4:21 warning: count is "11"; expected the parts or their sum, not both. Rows of one stage add up, and this one repeats the sum of the others of "records identified": delete it.',
    ],
    [
      'a parallel column that does not reach the included reports',
      'reports assessed,,5\nreports excluded,,4\nother reports assessed,,3\nother reports excluded,,2\nreports included,,3',
      'flow.csv:6:19 warning: count is "3"; expected 2 in all. reports assessed 5 less reports excluded 4, and other reports assessed 3 less other reports excluded 2: check the counts.',
    ],
    [
      'an update whose parts do not make the whole',
      'previous studies included,,2\nnew studies included,,2\nstudies included,,3',
      'flow.csv:4:19 warning: count is "3"; expected 4 in all. previous 2 and new 2: check the three counts.',
    ],
  ])('points at the line: %s', (_, rows, message) => {
    const files = { ...smallReview, 'flow.csv': `stage,detail,count\n${rows}\n` };
    expect(readReview(files).problems.map(formatProblem)).toContain(message);
  });
});
