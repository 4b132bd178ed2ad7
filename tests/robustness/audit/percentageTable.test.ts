// A printed percentage against the counts, case by case on both sides of each border, from the words of the rule: a
// whole count, and the one typed, must print as it; where none does, what would, the nearest total first and at most a
// quarter away. Counts are invented and worked out by hand.
import { describe, expect, it } from 'vitest';
import { readPrintedStatistic } from '../../../src/extraction/printedStatistic.ts';
import { checkPercentage, type PercentageContext } from '../../../src/robustness/audit/checkPercentage.ts';

const check = (text: string, context: PercentageContext) => {
  const { statistic, cure } = readPrintedStatistic(text);
  if (statistic === undefined) throw new Error(cure);
  return checkPercentage(statistic, context);
};

describe('a percentage that fits', () => {
  it.each<[string, PercentageContext, string]>([
    ['25', { events: 10, total: 40 }, '10 of 40'],
    ['100', { events: 1, total: 1 }, '1 of 1'],
    ['0', { events: 0, total: 1 }, '0 of 1'],
    // A tie may be rounded either way: 1 of 8 is 12.5 %.
    ['12', { events: 1, total: 8 }, '1 of 8'],
    ['13', { events: 1, total: 8 }, '1 of 8'],
    // Without a count, the counts that would print so: one, two or three named, more as a range.
    ['50', { total: 2 }, '1 of 2'],
    ['50', { total: 150 }, '75 of 150'],
    ['50', { total: 200 }, '99 or 100 or 101 of 200'],
    ['50', { total: 400 }, '198 to 202 of 400'],
    ['100', { total: 30 }, '30 of 30'],
    // A bound holds for the count given.
    ['< 30', { events: 10, total: 40 }, '10 of 40'],
    ['> 20', { events: 10, total: 40 }, '10 of 40'],
  ])('%s per cent with %j: %s', (text, context, by) => {
    expect(check(text, context)).toEqual({ verdict: 'fits', by });
  });
});

describe('a percentage that cannot be checked', () => {
  it.each<[string, PercentageContext, string]>([
    ['25', { total: 0 }, 'The denominator is 0.'],
    ['25', { events: 0, total: 0 }, 'The denominator is 0.'],
    ['< 5', { total: 40 }, 'A bound without a count can be checked by nothing.'],
    ['> 5', { total: 40 }, 'A bound without a count can be checked by nothing.'],
  ])('%s per cent with %j: %s', (text, context, reason) => {
    expect(check(text, context)).toEqual({ verdict: 'cannot be checked', reason });
  });
});

describe('a percentage that does not fit', () => {
  it.each<[string, PercentageContext, string, readonly string[]]>([
    // 15 of 40 is not below 30 %: nothing but the count can be wrong, and no other is guessed at.
    ['< 30', { events: 15, total: 40 }, '15 of 40 is 37.5 %.', []],
    ['> 40', { events: 15, total: 40 }, '15 of 40 is 37.5 %.', []],
    // 11 of 40 is 27.5 %; 10 would print as 25 %, and 11 would of 44 (the nearest total of which it does, from 35 to 45).
    [
      '25.0',
      { events: 11, total: 40 },
      '11 of 40 is 27.50 %.',
      ['10 of 40 would fit.', '11 of 44 would fit.'],
    ],
    // Nearest first: 8 of 20 is 40 %; 8 of 21 is 38.1 %.
    ['38.1', { events: 8, total: 20 }, '8 of 20 is 40.00 %.', ['8 of 21 would fit.']],
    // Smaller before larger at one distance: 1 of 8 is 12.5 %; 14.3 % is 1 of 7, two decimals none of 8.
    ['14.3', { events: 1, total: 8 }, '1 of 8 is 12.50 %.', ['1 of 7 would fit.']],
    // A quarter away and no further: 10 of 30 is 33.3 % (10 from 40, a quarter); of 29, 34.5 %, is further.
    ['33.3', { events: 10, total: 40 }, '10 of 40 is 25.00 %.', ['10 of 30 would fit.']],
    ['34.5', { events: 10, total: 40 }, '10 of 40 is 25.00 %.', []],
    [
      '20.0',
      { events: 10, total: 40 },
      '10 of 40 is 25.00 %.',
      ['8 of 40 would fit.', '10 of 50 would fit.'],
    ],
    ['19.6', { events: 10, total: 40 }, '10 of 40 is 25.00 %.', []],
    // Small totals are looked at up to two away: 1 of 4 is 25 %, of 2 50 % and of 6 16.7 %; of 7 14.3 %.
    ['16.7', { events: 1, total: 4 }, '1 of 4 is 25.00 %.', ['1 of 6 would fit.']],
    ['14.3', { events: 1, total: 4 }, '1 of 4 is 25.00 %.', []],
    // Never fewer people than events: 5 of 5 is 100 % and fits, 5 of 4 is no share; 125 % is none of anything.
    ['100', { events: 5, total: 6 }, '5 of 6 is 83.3 %.', ['6 of 6 would fit.', '5 of 5 would fit.']],
    ['125', { events: 5, total: 6 }, '5 of 6 is 83.3 %.', []],
  ])('%s per cent with %j: %s %j', (text, context, counts, wouldFit) => {
    expect(check(text, context)).toEqual({
      verdict: 'does not fit',
      kind: 'percentage',
      strength: 'contradiction',
      counts,
      wouldFit,
    });
  });

  it.each<[string, number, string, readonly string[]]>([
    // Without a count: the two whole numbers beside it, and the nearest total of which a whole number does fit.
    [
      '58.9',
      91,
      'No whole number of 91 is 58.9 %: 53 is 58.24 % and 54 is 59.34 %.',
      ['53 of 90 would fit, the nearest total of which a whole number does.'],
    ],
    // 1 of 9 is 11.1 % and 1 of 8 12.5 %: of 10, one down comes before one up.
    [
      '11.1',
      10,
      'No whole number of 10 is 11.1 %: 1 is 10.00 % and 2 is 20.00 %.',
      ['1 of 9 would fit, the nearest total of which a whole number does.'],
    ],
    // 9.1 % is 1 of 11: one up.
    [
      '9.1',
      10,
      'No whole number of 10 is 9.1 %: 0 is 0.00 % and 1 is 10.00 %.',
      ['1 of 11 would fit, the nearest total of which a whole number does.'],
    ],
    // Above 100 % there is nobody left above.
    ['101.0', 10, 'No whole number of 10 is 101.0 %: 10 is 100.00 %.', []],
    // 2.0 % of 8: totals from 6 to 10 hold no such share.
    ['2.0', 8, 'No whole number of 8 is 2.0 %: 0 is 0.00 % and 1 is 12.50 %.', []],
    ['99.0', 3, 'No whole number of 3 is 99.0 %: 2 is 66.67 % and 3 is 100.00 %.', []],
    // No total below one: of 1 and 2 nothing is 33.3 %, of 3 one is.
    [
      '33.3',
      1,
      'No whole number of 1 is 33.3 %: 0 is 0.00 % and 1 is 100.00 %.',
      ['1 of 3 would fit, the nearest total of which a whole number does.'],
    ],
  ])('%s per cent of %d without a count: %s', (text, total, counts, wouldFit) => {
    expect(check(text, { total })).toEqual({
      verdict: 'does not fit',
      kind: 'percentage',
      strength: 'contradiction',
      counts,
      wouldFit,
    });
  });

  describe('against the totals of other arms', () => {
    const arms = (...totals: readonly number[]) =>
      totals.map((total, at) => ({ name: at === 0 ? 'tenotomy' : 'subpectoral', total }));
    it.each<[string, PercentageContext, string, readonly string[]]>([
      [
        '25.0',
        { events: 10, total: 41, otherTotals: arms(40) },
        'denominator',
        [
          '10 of 40, the total of tenotomy, would fit: the denominators may be swapped.',
          '10 of 40 would fit.',
        ],
      ],
      // Two reasons are enough: no third total is looked for.
      [
        '25.0',
        { events: 11, total: 40, otherTotals: arms(44) },
        'denominator',
        [
          '11 of 44, the total of tenotomy, would fit: the denominators may be swapped.',
          '10 of 40 would fit.',
        ],
      ],
      // As many as the events is enough; fewer is not, and the arm's own total is no other.
      [
        '100',
        { events: 10, total: 41, otherTotals: arms(10) },
        'denominator',
        [
          '10 of 10, the total of tenotomy, would fit: the denominators may be swapped.',
          '41 of 41 would fit.',
        ],
      ],
      ['111', { events: 10, total: 41, otherTotals: arms(9) }, 'percentage', []],
      ['50.0', { events: 10, total: 41, otherTotals: arms(41, 30) }, 'percentage', []],
    ])('%s per cent with %j: %s', (text, context, kind, wouldFit) => {
      expect(check(text, context)).toMatchObject({ verdict: 'does not fit', kind, wouldFit });
    });
  });
});
