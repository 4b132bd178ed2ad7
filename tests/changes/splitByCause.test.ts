import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { splitByCause } from '../../src/changes/splitByCause.ts';
import { expectClose } from '../helpers/close.ts';

const data = ['added', 'removed', 'corrected'] as const;
type Cause = (typeof data)[number] | 'rules';
const groups: readonly (readonly Cause[])[] = [data, ['rules']];
const all: readonly Cause[] = [...data, 'rules'];

/** A number for every set of causes: one drawn for each of the sixteen. */
const game = fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 16, maxLength: 16 });
const numberUnder =
  (numbers: readonly number[]) =>
  (applied: ReadonlySet<Cause>): number =>
    numbers[all.reduce((sum, cause, at) => sum + (applied.has(cause) ? 2 ** at : 0), 0)] as number;

/** Equal to 1e-13 of the numbers the two were made from, which may cancel to next to nothing. */
const near = (one: number | undefined, other: number, ofSize: number): void =>
  expect(Math.abs((one ?? Number.NaN) - other)).toBeLessThanOrEqual(1e-13 * ofSize);

describe('splitByCause', () => {
  it('parts add up to the whole to 1e-13 of the numbers they are made from', () => {
    fc.assert(
      fc.property(game, (numbers) => {
        const split = splitByCause(groups, numberUnder(numbers))!;
        const sum = split.parts.reduce((total, { value }) => total + value, 0);
        const size = Math.max(...numbers.map(Math.abs), 1);
        expect(Math.abs(sum - split.total)).toBeLessThanOrEqual(1e-13 * size);
        for (const { parts } of split.orders) {
          const whole = parts.reduce((total, part) => total + part, 0);
          expect(Math.abs(whole - split.total)).toBeLessThanOrEqual(1e-13 * size);
        }
      }),
    );
  });

  it('going back is the same with the signs turned, within the groups as between them', () => {
    fc.assert(
      fc.property(game, (numbers) => {
        const there = splitByCause(groups, numberUnder(numbers))!;
        const value = numberUnder(numbers);
        const back = splitByCause(groups, (undone) =>
          value(new Set(all.filter((cause) => !undone.has(cause)))),
        )!;
        for (const [at, { value: part }] of there.parts.entries()) near(back.parts[at]?.value, -part, 400);
      }),
    );
  });

  it('two causes: half of what each moves first and half of what it moves last', () => {
    const split = splitByCause([['data'], ['rules']] as const, (applied) =>
      applied.has('data') ? (applied.has('rules') ? 10 : 6) : applied.has('rules') ? 1 : 0,
    );
    expect(split?.parts).toEqual([
      { cause: 'data', value: 7.5, lowest: 6, highest: 9 },
      { cause: 'rules', value: 2.5, lowest: 1, highest: 4 },
    ]);
    expect(split?.orders).toEqual([
      { groups: [['data'], ['rules']], parts: [6, 4] },
      { groups: [['rules'], ['data']], parts: [1, 9] },
    ]);
  });

  it('the glove game of the textbooks: 2/3 for the one right glove, 1/6 for each left one', () => {
    // Two left gloves, one right: a pair is worth 1. Shapley values 1/6, 1/6, 2/3 (common textbook example).
    const gloves = splitByCause([['left', 'other-left', 'right']] as const, (held) =>
      held.has('right') && (held.has('left') || held.has('other-left')) ? 1 : 0,
    );
    const [left, other, right] = gloves!.parts;
    expectClose(left?.value, 1 / 6, 'identity');
    expectClose(other?.value, 1 / 6, 'identity');
    expectClose(right?.value, 2 / 3, 'identity');
  });

  it('with the two left gloves held together by a union, each side of the deal gets half (Owen 1977)', () => {
    const split = splitByCause([['left', 'other-left'], ['right']] as const, (held) =>
      held.has('right') && (held.has('left') || held.has('other-left')) ? 1 : 0,
    );
    expect(split?.parts.map(({ value }) => value)).toEqual([0.25, 0.25, 0.5]);
  });

  it('a cause that never moves anything has no part; equal causes have equal parts', () => {
    fc.assert(
      fc.property(fc.double({ min: -9, max: 9, noNaN: true }), (step) => {
        const split = splitByCause(
          groups,
          (applied) => step * ((applied.has('added') ? 1 : 0) + (applied.has('corrected') ? 1 : 0)),
        )!;
        const [added, removed, corrected, rules] = split.parts.map(({ value }) => value);
        expect(Math.abs(removed!)).toBeLessThan(1e-12);
        expect(Math.abs(rules!)).toBeLessThan(1e-12);
        near(added, corrected!, 10);
      }),
    );
  });

  it('leaves out orders that pass through a state without an answer, and still adds up', () => {
    const split = splitByCause([['added', 'removed']] as const, (applied) =>
      applied.has('removed') && !applied.has('added') ? undefined : applied.size * 2,
    );
    expect(split?.parts).toEqual([
      { cause: 'added', value: 2, lowest: 2, highest: 2 },
      { cause: 'removed', value: 2, lowest: 2, highest: 2 },
    ]);
    expect(splitByCause([['data']] as const, () => undefined)).toBeUndefined();
  });

  it('refuses a cause named twice', () => {
    expect(() => splitByCause([['data'], ['data']], () => 0)).toThrow('every cause must be named once');
  });
});
