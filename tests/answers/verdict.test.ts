import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { turnVerdict } from '../../src/answers/pairToTell.ts';
import {
  differenceCuts,
  reachOf,
  verdictOnDifference,
  verdictOnRate,
  verdicts,
} from '../../src/answers/verdict.ts';
import { certaintyLevels } from '../../src/certainty/certaintyRating.ts';

const surer = ['low', 'moderate', 'high'] as const;

/** Where the interval lies against a smallest difference of 5, and what may be said: both sides of each border. */
const cases = [
  // Wholly at or beyond 5 fewer.
  [-12, -5, 'fewer'],
  [-12, -5.001, 'fewer'],
  // The upper limit a hair inside: not more is left.
  [-12, -4.999, 'not more'],
  [-12, 4.999, 'not more'],
  // The upper limit at 5 more reaches what matters there.
  [-12, 5, 'cannot be told'],
  // The lower limit at 5 fewer reaches what matters, a hair inside it does not.
  [-5, 4.999, 'not more'],
  [-4.999, 4.999, 'no difference that matters'],
  [-4.999, 5, 'not fewer'],
  [-5, 5, 'cannot be told'],
  [-4.999, 12, 'not fewer'],
  [4.999, 12, 'not fewer'],
  [5, 12, 'more'],
  [5.001, 12, 'more'],
  [0, 0, 'no difference that matters'],
  [-40, 40, 'cannot be told'],
] as const;

describe('verdictOnDifference', () => {
  it.each(cases)('%d to %d against 5: %s', (lower, upper, verdict) => {
    for (const certainty of surer)
      expect(verdictOnDifference({ interval: { lower, upper }, material: 5, certainty })).toBe(verdict);
  });

  it.each(cases)('%d to %d: nothing at very low certainty, no verdict without a rating', (lower, upper) => {
    const judged = { interval: { lower, upper }, material: 5 };
    expect(verdictOnDifference({ ...judged, certainty: 'very low' })).toBe('cannot be told');
    expect(verdictOnDifference({ ...judged, certainty: undefined })).toBe('not rated');
  });

  it('cannot tell without an interval, rated or not', () => {
    for (const certainty of [...certaintyLevels, undefined])
      expect(verdictOnDifference({ interval: undefined, material: 5, certainty })).toBe('cannot be told');
  });

  it.each([
    // The baseline may lie below what matters: five fewer cannot happen, so "not fewer" says nothing.
    [4.999, -4, 4, 'not more'],
    [5, -4, 4, 'no difference that matters'],
    [4.999, -4, 12, 'cannot be told'],
    [5, -4, 12, 'not fewer'],
    // What does not claim "not fewer" stands.
    [1, -12, 4, 'not more'],
    [1, -12, -6, 'fewer'],
    [1, 6, 12, 'more'],
  ] as const)('with a baseline from %d, %d to %d: %s', (baselineLower, lower, upper, verdict) => {
    expect(
      verdictOnDifference({ interval: { lower, upper }, material: 5, certainty: 'high', baselineLower }),
    ).toBe(verdict);
  });

  it('says of the second against the first what it says turned round of the first against the second', () => {
    const number = fc.integer({ min: -200, max: 200 }).map((each) => each / 10);
    fc.assert(
      fc.property(number, number, fc.constantFrom(...certaintyLevels), (one, other, certainty) => {
        const [lower, upper] = [Math.min(one, other), Math.max(one, other)];
        const straight = verdictOnDifference({ interval: { lower, upper }, material: 5, certainty });
        const mirror = { lower: 0 - upper, upper: 0 - lower };
        expect(turnVerdict(straight)).toBe(verdictOnDifference({ interval: mirror, material: 5, certainty }));
      }),
    );
  });
});

describe('verdictOnRate', () => {
  const some = { value: 4, lower: 2, upper: 9 };
  const none = { value: 0, lower: 0, upper: 3.7 };
  const all = { value: 100, lower: 91, upper: 100 };
  it.each([
    [some, 'low', 'about as many'],
    [some, 'high', 'about as many'],
    [some, 'very low', 'cannot be told'],
    [some, undefined, 'not rated'],
    [none, 'low', 'at most as many'],
    [none, 'very low', 'cannot be told'],
    [all, 'moderate', 'at least as many'],
    [{ ...some, value: 0.0001 }, 'low', 'about as many'],
    [{ ...some, value: 99.9999 }, 'low', 'about as many'],
    [undefined, 'low', 'cannot be told'],
    [undefined, undefined, 'cannot be told'],
  ] as const)('%o at %s: %s', (rate, certainty, verdict) => {
    expect(verdictOnRate(rate, certainty)).toBe(verdict);
    expect(verdicts).toContain(verdict);
  });
});

describe('reachOf', () => {
  it.each([
    [-6, -5, ['below']],
    [-5, -4, ['below', 'between']],
    [-4, 4, ['between']],
    [4, 5, ['between', 'above']],
    [5, 6, ['above']],
    [-5, 5, ['below', 'between', 'above']],
  ] as const)('%d to %d', (lower, upper, reach) => {
    expect(reachOf({ lower, upper }, differenceCuts(5))).toEqual(reach);
  });

  it.each([
    [1, 5, ['below']],
    [1, 5.001, ['below', 'above']],
    [5, 6, ['below', 'above']],
    [5.001, 6, ['above']],
  ] as const)('against one bound at 5, %d to %d', (lower, upper, reach) => {
    expect(reachOf({ lower, upper }, { lower: 5, upper: 5 })).toEqual(reach);
  });

  it('has no parts without an interval', () => {
    expect(reachOf(undefined, differenceCuts(5))).toBeUndefined();
  });
});
