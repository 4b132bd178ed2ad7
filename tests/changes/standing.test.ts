import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reachOf, regions } from '../../src/answers/verdict.ts';
import { tellsNothing } from '../../src/changes/reaches.ts';
import { standingOf } from '../../src/changes/standing.ts';

const five = { lower: -5, upper: 5 };
const bound = { lower: 3, upper: 3 };
const reach = (lower: number, upper: number, cuts = five) => reachOf({ lower, upper }, cuts);
const state = (lower: number, upper: number, certainty?: 'low' | 'moderate') => ({
  reach: reach(lower, upper),
  certainty,
});

describe('reachOf', () => {
  it.each([
    [[-9, -6], ['below']],
    [[-9, -5], ['below']],
    [
      [-9, -4],
      ['below', 'between'],
    ],
    [[-4.9, 4.9], ['between']],
    [
      [-4, 5],
      ['between', 'above'],
    ],
    [[5, 8], ['above']],
    [
      [-9, 9],
      ['below', 'between', 'above'],
    ],
  ])('%j against a difference of 5', ([lower, upper], expected) => {
    expect(reach(lower!, upper!)).toEqual(expected);
  });

  it.each([
    [[1, 3], ['below']],
    [
      [1, 3.1],
      ['below', 'above'],
    ],
    [[3.1, 4], ['above']],
  ])('%j against a bound of 3', ([lower, upper], expected) => {
    expect(reach(lower!, upper!, bound)).toEqual(expected);
  });

  it('is never empty, holds the middle of the interval, and a wider interval never reaches less', () => {
    const number = fc.double({ min: -20, max: 20, noNaN: true });
    fc.assert(
      fc.property(number, number, fc.double({ min: 0, max: 5, noNaN: true }), (a, b, more) => {
        const [lower, upper] = [Math.min(a, b), Math.max(a, b)];
        const own = reach(lower, upper)!;
        expect(own.length).toBeGreaterThan(0);
        const wider = reach(lower - more, upper + more)!;
        for (const region of own) expect(wider).toContain(region);
        expect(own).toEqual(regions.filter((region) => own.includes(region)));
      }),
    );
  });
});

describe('standingOf', () => {
  it.each([
    ['still stands', state(-9, -6), state(-8, -7)],
    ['stands more firmly', state(-9, -4), state(-9, -6)],
    ['stands but weaker', state(-9, -6), state(-9, -4)],
    ['changed', state(-9, -6), state(-4, 4)],
    ['changed', state(-9, -4), state(-4, 9)],
    ['can no longer be told', state(-9, -4), state(-9, 9)],
    ['newly answered', state(-9, 9), state(-9, -4)],
    ['still cannot be told', state(-9, 9), state(-6, 6)],
    ['stands but weaker', state(-9, -6, 'moderate'), state(-9, -6, 'low')],
    ['stands more firmly', state(-9, -6, 'low'), state(-9, -6, 'moderate')],
  ] as const)('%s', (expected, before, after) => {
    expect(standingOf(before, after, five)).toBe(expected);
  });

  it('no answer is nothing told; one that comes is newly answered, one that goes can no longer be told', () => {
    const none = { reach: undefined, certainty: undefined };
    expect(tellsNothing(none.reach, five)).toBe(true);
    expect(standingOf(none, state(-9, -6), five)).toBe('newly answered');
    expect(standingOf(state(-9, -6), none, five)).toBe('can no longer be told');
    expect(standingOf(none, state(-9, 9), five)).toBe('still cannot be told');
  });

  it('does not hear on which side of no difference an interval ends', () => {
    expect(standingOf(state(-9, -0.1), state(-9, 0.1), five)).toBe('still stands');
  });
});
