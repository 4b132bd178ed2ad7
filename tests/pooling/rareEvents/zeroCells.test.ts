import { describe, expect, it } from 'vitest';
import { applyZeroCells } from '../../../src/pooling/rareEvents/zeroCells.ts';
import { near, table } from './rareEventsHelpers.ts';

describe('zero cells', () => {
  const rows = [
    table('None', [0, 30], [0, 10]),
    table('One', [0, 30], [2, 10]),
    table('Full', [3, 30], [2, 10]),
  ];

  it('adds nothing unasked', () => {
    for (const { added } of applyZeroCells(rows, 'none'))
      expect(added).toEqual({ treated: 0, comparator: 0 });
  });

  it('adds a constant to the tables that need it, or to all', () => {
    const some = applyZeroCells(rows, { addToEachCell: 0.5 });
    expect(some.map(({ added }) => added.treated)).toEqual([0.5, 0.5, 0]);
    expect(some[1]).toMatchObject({
      treatedEvents: 0.5,
      treatedWithout: 30.5,
      comparatorEvents: 2.5,
      comparatorWithout: 8.5,
    });
    const every = applyZeroCells(rows, { addToEachCell: 0.25, to: 'every-table' });
    expect(every.map(({ added }) => added.comparator)).toEqual([0.25, 0.25, 0.25]);
  });

  it('the reciprocal of the other arm leaves a table without events at an odds ratio of 1 (Sweeting 2004)', () => {
    const [none, one, full] = applyZeroCells(rows, 'treatment-arm-reciprocal');
    expect(none!.added.treated + none!.added.comparator).toBe(1);
    expect(none!.added.treated / none!.added.comparator).toBe(3);
    near(
      (none!.treatedEvents * none!.comparatorWithout) / (none!.treatedWithout * none!.comparatorEvents),
      1,
      1e-13,
    );
    expect(one!.added).toEqual({ treated: 0.75, comparator: 0.25 });
    expect(full!.added).toEqual({ treated: 0, comparator: 0 });
  });
});
