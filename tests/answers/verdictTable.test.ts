// The one rule by which anything is said of a difference or a rate, case by case on both sides of each border, from its
// words in docs and docstring. A difference of exactly the smallest that matters is one that matters.
import { describe, expect, it } from 'vitest';
import { answerId, isAboutCounts, questionName } from '../../src/answers/question.ts';
import {
  differenceCuts,
  differenceVerdicts,
  type Reach,
  reachOf,
  type Verdict,
  verdictOnDifference,
  verdictOnRate,
  verdicts,
} from '../../src/answers/verdict.ts';
import { verdictClause } from '../../src/answers/verdictWords.ts';

const material = 5;
const least = 1e-9;

describe('the parts of the line an interval reaches', () => {
  it.each<[number, number, Reach]>([
    [-9, -5, ['below']],
    [-9, -5 + least, ['below', 'between']],
    [-5, -5, ['below']],
    [-5 + least, -1, ['between']],
    [-5 + least, 5 - least, ['between']],
    [1, 5 - least, ['between']],
    [1, 5, ['between', 'above']],
    [5 - least, 9, ['between', 'above']],
    [5, 9, ['above']],
    [5, 5, ['above']],
    [-5, 5, ['below', 'between', 'above']],
    [-5 + least, 5, ['between', 'above']],
    [-5, 5 - least, ['below', 'between']],
    [0, 0, ['between']],
  ])('%d to %d about a difference of 5: %j', (lower, upper, reach) => {
    expect(reachOf({ lower, upper }, differenceCuts(material))).toEqual(reach);
  });

  it.each<[number, number, Reach]>([
    // One bound: on it is still below.
    [1, 3, ['below']],
    [3, 3, ['below']],
    [3, 3 + least, ['below', 'above']],
    [1, 4, ['below', 'above']],
    [3 + least, 4, ['above']],
  ])('%d to %d about one bound of 3: %j', (lower, upper, reach) => {
    expect(reachOf({ lower, upper }, { lower: 3, upper: 3 })).toEqual(reach);
  });

  it('no interval reaches nothing', () => {
    expect(reachOf(undefined, differenceCuts(material))).toBeUndefined();
  });
});

describe('the verdict on a difference', () => {
  const cases: readonly (readonly [lower: number, upper: number, verdict: Verdict])[] = [
    [-12, -6, 'fewer'],
    [-12, -5, 'fewer'],
    [-12, -5 + least, 'not more'],
    [-12, 5 - least, 'not more'],
    [-12, 5, 'cannot be told'],
    [-5 + least, 5 - least, 'no difference that matters'],
    [-5, 5 - least, 'not more'],
    [-5 + least, 5, 'not fewer'],
    [-5, 5, 'cannot be told'],
    [-5 + least, 12, 'not fewer'],
    [5 - least, 12, 'not fewer'],
    [5, 12, 'more'],
    [6, 12, 'more'],
    [-12, 12, 'cannot be told'],
  ];

  it.each(cases)('%d to %d is %s, whatever the level above very low', (lower, upper, verdict) => {
    for (const certainty of ['low', 'moderate', 'high'] as const)
      expect(verdictOnDifference({ interval: { lower, upper }, material, certainty })).toBe(verdict);
  });

  it.each(cases)(
    '%d to %d cannot be told at very low certainty, and is not rated without a rating',
    (lower, upper) => {
      const interval = { lower, upper };
      expect(verdictOnDifference({ interval, material, certainty: 'very low' })).toBe('cannot be told');
      expect(verdictOnDifference({ interval, material, certainty: undefined })).toBe('not rated');
    },
  );

  it('without an interval it cannot be told, rated or not', () => {
    for (const certainty of [undefined, 'very low', 'high'] as const)
      expect(verdictOnDifference({ interval: undefined, material, certainty })).toBe('cannot be told');
  });

  // With a risk that may lie below 5 in 100, nothing can have fewer by 5: "not fewer" would say nothing.
  it.each<[number, number, Verdict, Verdict]>([
    [-4, 12, 'not fewer', 'cannot be told'],
    [-4, 4, 'no difference that matters', 'not more'],
    [-12, -6, 'fewer', 'fewer'],
    [-12, 4, 'not more', 'not more'],
    [6, 12, 'more', 'more'],
    [-12, 12, 'cannot be told', 'cannot be told'],
  ])(
    '%d to %d is %s from a risk of 5 in 100 or more, %s from one that may be lower',
    (lower, upper, from, below) => {
      const of = (baselineLower: number | undefined): Verdict =>
        verdictOnDifference({ interval: { lower, upper }, material, certainty: 'moderate', baselineLower });
      expect(of(undefined)).toBe(from);
      expect(of(5 + least)).toBe(from);
      expect(of(5)).toBe(from);
      expect(of(5 - least)).toBe(below);
      expect(of(0)).toBe(below);
    },
  );

  it('turns round with the sites', () => {
    const turned: Partial<Record<Verdict, Verdict>> = {
      fewer: 'more',
      'not more': 'not fewer',
      'not fewer': 'not more',
      more: 'fewer',
    };
    for (const [lower, upper, verdict] of cases)
      expect(
        verdictOnDifference({ interval: { lower: -upper, upper: -lower }, material, certainty: 'low' }),
      ).toBe(turned[verdict] ?? verdict);
  });
});

describe('the verdict on a rate', () => {
  it.each<[number, Verdict]>([
    [0, 'at most as many'],
    [0.01, 'about as many'],
    [50, 'about as many'],
    [99.99, 'about as many'],
    [100, 'at least as many'],
  ])('%d in 100 is %s', (value, verdict) => {
    const rate = { value, lower: Math.max(0, value - 1), upper: Math.min(100, value + 1) };
    for (const certainty of ['low', 'moderate', 'high'] as const)
      expect(verdictOnRate(rate, certainty)).toBe(verdict);
    expect(verdictOnRate(rate, 'very low')).toBe('cannot be told');
    expect(verdictOnRate(rate, undefined)).toBe('not rated');
  });

  it('without a number it cannot be told', () => {
    for (const certainty of [undefined, 'low'] as const)
      expect(verdictOnRate(undefined, certainty)).toBe('cannot be told');
  });
});

describe('the words of a verdict', () => {
  const pair = {
    kind: 'comparison',
    outcome: 'revision',
    site: 'subpectoral',
    comparator: 'tenotomy',
  } as const;
  const quoted = {} as never;

  it.each<[Verdict, string]>([
    ['fewer', 'subpectoral has fewer than tenotomy, by 5 or more in 100'],
    [
      'not more',
      'subpectoral does not have more than tenotomy by 5 or more in 100, but may have as many or fewer',
    ],
    ['no difference that matters', 'subpectoral and tenotomy do not differ by 5 or more in 100'],
    [
      'not fewer',
      'subpectoral does not have fewer than tenotomy by 5 or more in 100, but may have as many or more',
    ],
    ['more', 'subpectoral has more than tenotomy, by 5 or more in 100'],
    ['cannot be told', 'whether subpectoral and tenotomy differ by 5 or more in 100 cannot be told'],
    ['not rated', 'subpectoral and tenotomy: how sure one may be was not rated, so nothing is concluded'],
  ])('%s of a pair', (verdict, clause) => {
    expect(verdictClause({ question: pair, verdict, material, quoted })).toBe(clause);
  });

  it('a score is told in points, and a pair without a number says so whatever the verdict', () => {
    const question = { ...pair, kind: 'mean difference', scale: 'vas-pain' } as const;
    expect(verdictClause({ question, verdict: 'fewer', material: 1.4, quoted })).toBe(
      'subpectoral has fewer than tenotomy, by 1.4 or more points',
    );
    for (const verdict of differenceVerdicts)
      expect(verdictClause({ question: pair, verdict, material, quoted: undefined })).toBe(
        'no study gives a difference between subpectoral and tenotomy',
      );
  });

  it.each<[Verdict, RegExp]>([
    ['about as many', /^it happens after top of groove in about as many$/],
    ['at most as many', /after top of groove in at most as many as the upper limit says$/],
    ['at least as many', /after top of groove in at least as many as the lower limit says$/],
    ['cannot be told', /^how often it happens after top of groove cannot be told$/],
    ['not rated', /^how sure one may be was not rated$/],
  ])('%s of a rate', (verdict, clause) => {
    const question = { kind: 'rate', outcome: 'revision', site: 'top-of-groove' } as const;
    expect(verdictClause({ question, verdict, material, quoted })).toMatch(clause);
  });

  it('lists every word once', () => {
    expect([...verdicts].sort()).toEqual(
      [
        'about as many',
        'at least as many',
        'at most as many',
        'cannot be told',
        'fewer',
        'more',
        'no difference that matters',
        'not fewer',
        'not more',
        'not rated',
      ].sort(),
    );
  });
});

describe('the text of a question', () => {
  it.each([
    [
      { kind: 'rate', outcome: 'revision', site: 'subpectoral' },
      'rate:revision:subpectoral',
      'Subpectoral',
      true,
    ],
    [
      { kind: 'comparison', outcome: 'revision', site: 'subpectoral', comparator: 'tenotomy' },
      'comparison:revision:subpectoral:tenotomy',
      'Subpectoral against tenotomy',
      true,
    ],
    [
      { kind: 'mean', outcome: 'pain', site: 'tenotomy', scale: 'vas' },
      'mean:pain:tenotomy:vas',
      'Tenotomy',
      false,
    ],
    [
      {
        kind: 'mean difference',
        outcome: 'pain',
        site: 'suprapectoral',
        comparator: 'tenotomy',
        scale: 'vas',
      },
      'mean-difference:pain:suprapectoral:tenotomy:vas',
      'Suprapectoral against tenotomy',
      false,
    ],
  ] as const)('%j', (question, id, name, counts) => {
    expect(answerId(question)).toBe(id);
    expect(questionName(question)).toBe(name);
    expect(isAboutCounts(question)).toBe(counts);
  });
});
