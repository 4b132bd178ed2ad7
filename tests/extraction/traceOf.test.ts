import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineRanges, locatorRanges, rowRanges } from '../../src/extraction/trace/rowRanges.ts';
import { rowKey, traceOf } from '../../src/extraction/trace/traceOf.ts';

const row = (line: number, file = 'events.csv', locator = 'table 2') => ({ file, line, locator });

describe('rows behind a result', () => {
  it('finds addresses at any depth, each once, by file and line', () => {
    const result = {
      arms: [{ row: row(9) }, { row: row(2) }],
      pool: { estimates: [{ rows: [row(9), row(4, 'arms.csv')] }] },
    };
    expect(traceOf(result).rows.map(rowKey)).toEqual(['arms.csv:4', 'events.csv:2', 'events.csv:9']);
  });

  it('tells rows left out apart with their own reason, and calls a row used when it is used anywhere', () => {
    const result = {
      leftOut: [
        { reason: 'Too early.', row: row(3) },
        { reason: 'No finite value.', rows: [row(4), row(5)] },
      ],
      arms: [{ row: row(5) }],
    };
    expect(traceOf(result)).toEqual({
      rows: [row(5)],
      leftOut: [
        { row: row(3), reason: 'Too early.' },
        { row: row(4), reason: 'No finite value.' },
      ],
    });
  });

  it('finds a row that one object carries both among what is used and what is left out', () => {
    const arm = { reason: 'Not here.', row: row(7) };
    expect(traceOf({ leftOut: [arm], arms: [arm] })).toEqual({ rows: [row(7)], leftOut: [] });
    expect(traceOf({ arms: [arm], leftOut: [arm] })).toEqual({ rows: [row(7)], leftOut: [] });
  });

  it('ends on results that hold themselves, and passes over what is no data', () => {
    const round: Record<string, unknown> = {
      row: row(2),
      draw: () => 1,
      numbers: new Float64Array(3),
      text: 'x',
    };
    round.self = round;
    round.list = [round, undefined, null, 4];
    expect(traceOf(round).rows).toEqual([row(2)]);
    expect(traceOf(undefined)).toEqual({ rows: [], leftOut: [] });
  });
});

describe('lines as text', () => {
  it('joins three neighbours and more', () => {
    expect(lineRanges([9, 4, 7, 8, 4])).toBe('4, 7–9');
    expect(lineRanges([4, 5])).toBe('4, 5');
    expect(rowRanges([row(4), row(7), row(8), row(9), row(2, 'studies.csv')])).toBe(
      'events.csv lines 4, 7–9; studies.csv line 2',
    );
    expect(
      locatorRanges([row(4), row(5, 'events.csv', 'page 3'), row(6, 'events.csv', 'not reported')]),
    ).toBe('table 2 (events.csv line 4); page 3 (events.csv line 5); place not noted (events.csv line 6)');
  });

  it('loses no line and adds none', () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 1, max: 60 }), { minLength: 1 }), (lines) => {
        const read = lineRanges(lines)
          .split(', ')
          .flatMap((part) => {
            const [first = 0, last = first] = part.split('–').map(Number);
            return Array.from({ length: last - first + 1 }, (_, at) => first + at);
          });
        expect(read).toEqual([...lines].sort((a, b) => a - b));
      }),
    );
  });
});
