// Fragility on both sides of its borders. Fisher's exact p values worked out with base R 4.2.2 (fisher.test) where named;
// small tables by hand from the hypergeometric distribution.
import { describe, expect, it } from 'vitest';
import { fisherExact } from '../../../src/robustness/claims/exactTwoArms.ts';
import { fragility } from '../../../src/robustness/claims/fragility.ts';
import { expectClose } from '../../helpers/close.ts';

const arm = (events: number, total: number) => ({ events, total });

describe('whether the arms differ', () => {
  it('0 of 3 against 3 of 3: p is exactly 1 in 10, which differs above that level of error and not at it', () => {
    const [one, other] = [arm(0, 3), arm(3, 3)];
    // Two of the twenty ways to draw three of six: 0 and 3.
    expectClose(fisherExact(one, other), 0.1, 'identity');
    const p = fisherExact(one, other);
    expect(fragility(one, other, { level: 1 - (p + 1e-9) }).differs).toBe(true);
    expect(fragility(one, other, { level: 1 - (p - 1e-9) }).differs).toBe(false);
    expect(fragility(one, other).differs).toBe(false);
    expect(fragility(one, other).pValue).toBe(p);
  });

  it('p equal to the level of error does not differ', () => {
    // 1 of 1 against 0 of 3: one of four people, so 1/4, which binary keeps exactly, as it does 1 - 0.75.
    expect(fisherExact(arm(1, 1), arm(0, 3))).toBe(0.25);
    expect(fragility(arm(1, 1), arm(0, 3), { level: 0.75 }).differs).toBe(false);
    expect(fragility(arm(1, 1), arm(0, 3), { level: 0.7499 }).differs).toBe(true);
  });
});

describe('the published index', () => {
  it.each<[string, readonly [number, number], readonly [number, number], number | undefined]>([
    // Base R: 1/100 against 9/100 p 0.0185, 2/100 p 0.0582.
    ['events go to the arm with fewer', [1, 100], [9, 100], 1],
    // Base R: 0/20 against 10/20 p 0.0004, 1/20 p 0.0033, 2/20 p 0.0138, 3/20 p 0.0407, 4/20 p 0.0958.
    ['one by one until the difference is gone', [0, 20], [10, 20], 4],
    ['none where the arms do not differ', [4, 20], [10, 20], undefined],
    // Base R: 4/80 against 4/8 p 0.0018, 13/80 p 0.0420, 14/80 p 0.0517.
    ['of as many events, to the arm with the lower rate', [4, 80], [4, 8], 10],
    // 5 of 5 against 10 of 100: the arm with fewer events has no person left to change.
    ['none where that arm is full', [5, 5], [10, 100], undefined],
  ])('%s: %j against %j, either way round', (_, one, other, index) => {
    expect(fragility(arm(...one), arm(...other)).index).toBe(index);
    expect(fragility(arm(...other), arm(...one)).index).toBe(index);
  });
});

describe('the fewest changed shoulders', () => {
  it.each<[readonly [number, number], readonly [number, number], number]>([
    // 3/20 against 10/20 (base R p 0.0407): one event more among three (p 0.0958) or one fewer among ten (p 0.0824) ends it.
    [[3, 20], [10, 20], 1],
    // 4/20 against 10/20 (p 0.0958): one fewer among four (p 0.0407) makes one appear.
    [[4, 20], [10, 20], 1],
  ])('%j against %j: %d', (one, other, fewest) => {
    const found = fragility(arm(...one), arm(...other));
    expect(found.fewest).toBe(fewest);
    const changes =
      Math.abs(found.changed!.one.events - one[0]) + Math.abs(found.changed!.other.events - other[0]);
    expect(changes).toBe(fewest);
    expect(found.changed!.one.total).toBe(one[1]);
    expect(found.changed!.other.total).toBe(other[1]);
  });

  it('no table is changed beyond its people, and no more than all of them or 200 are tried', () => {
    expect(fragility(arm(2, 2), arm(2, 2))).toMatchObject({
      fewest: undefined,
      changed: undefined,
      searched: 4,
    });
    expect(fragility(arm(50, 99), arm(50, 100)).searched).toBe(199);
    expect(fragility(arm(50, 101), arm(50, 100)).searched).toBe(200);
  });
});

it('refuses counts that cannot be, in either arm, and a level that is none', () => {
  expect(() => fragility(arm(5, 4), arm(1, 4))).toThrow(
    /events must be a whole number from 0 to the total 4, received 5/,
  );
  expect(() => fragility(arm(1, 4), arm(1.5, 4))).toThrow(/received 1.5/);
  expect(() => fragility(arm(1, 4), arm(1, 4), { level: 95 })).toThrow(RangeError);
});
