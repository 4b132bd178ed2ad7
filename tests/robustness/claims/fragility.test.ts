import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fisherExact } from '../../../src/robustness/claims/exactTwoArms.ts';
import { fragility } from '../../../src/robustness/claims/fragility.ts';
import { runs } from '../../helpers/runs.ts';

const count = fc
  .integer({ min: 1, max: 25 })
  .chain((total) => fc.record({ events: fc.integer({ min: 0, max: total }), total: fc.constant(total) }));

describe('fragility', () => {
  it('is the nearest of all tables with the other answer: brute force over every table of these totals', () => {
    fc.assert(
      fc.property(count, count, (one, other) => {
        const found = fragility(one, other);
        let nearest: number | undefined;
        for (let a = 0; a <= one.total; a++) {
          for (let b = 0; b <= other.total; b++) {
            const differs =
              fisherExact({ events: a, total: one.total }, { events: b, total: other.total }) < 1 - 0.95;
            if (differs === found.differs) continue;
            const steps = Math.abs(a - one.events) + Math.abs(b - other.events);
            if (nearest === undefined || steps < nearest) nearest = steps;
          }
        }
        expect(found.fewest).toBe(nearest);
        if (found.changed !== undefined) {
          const { changed } = found;
          expect(fisherExact(changed.one, changed.other) < 1 - 0.95).toBe(!found.differs);
        }
      }),
      { numRuns: runs(60) },
    );
  });

  it('the published index changes the arm with fewer events only, and is never below the fewest', () => {
    fc.assert(
      fc.property(count, count, (one, other) => {
        const { differs, index, fewest } = fragility(one, other);
        if (!differs) expect(index).toBeUndefined();
        else if (index !== undefined) expect(index).toBeGreaterThanOrEqual(fewest!);
      }),
      { numRuns: runs(60) },
    );
  });

  it('an index by hand: 1/100 against 9/100 (p 0.0185), then 2/100 (p 0.0582)', () => {
    // Base R 4.2.2 fisher.test: 0.01848768 and 0.05822072.
    expect(fragility({ events: 1, total: 100 }, { events: 9, total: 100 }).index).toBe(1);
  });

  it('swapping the arms changes nothing', () => {
    fc.assert(
      fc.property(count, count, (one, other) => {
        const [a, b] = [fragility(one, other), fragility(other, one)];
        expect(a.fewest).toBe(b.fewest);
        expect(a.differs).toBe(b.differs);
      }),
      { numRuns: runs(40) },
    );
  });

  it('tables too small to differ have no answer, and are searched to the end', () => {
    const tiny = fragility({ events: 0, total: 2 }, { events: 1, total: 2 });
    expect(tiny.fewest).toBeUndefined();
    expect(tiny.searched).toBe(4);
  });
});
