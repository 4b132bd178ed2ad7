import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { resolveCertaintyRules } from '../../src/certainty/certaintyRules.ts';
import { differencesFound } from '../../src/certainty/differencesFound.ts';
import { incoherenceOf } from '../../src/certainty/domains/incoherence.ts';
import { riskOfBias } from '../../src/certainty/domains/riskOfBias.ts';
import { studyQuality } from '../../src/certainty/quality/studyQuality.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import type { Review } from '../../src/extraction/review.ts';
import { judgementItems } from '../../src/extraction/sheets/judgementsSheet.ts';
import { bodyOf, comparisonQuestion, outcome, parts, qualityOf } from './bodies.ts';

// As ruleBorders.test.ts: the words of the rules, a case on either side of each border.

const rules = resolveCertaintyRules();
const { review: read } = readReview(demoFiles());
const review: Review = { ...read!, certainty: [] };

describe('indirectness', () => {
  const third = review.arms.slice(0, 3);
  const of = (weight: number, definition = 'Popeye deformity') =>
    differencesFound(
      review,
      bodyOf({
        parts: [weight, 1 - weight].map((each, at) => ({ ...parts(2)[at]!, weight: each })),
        arms: third.slice(0, 2).map((arm, at) => ({
          study: `study-${at}`,
          label: `Study ${at}`,
          year: 2020,
          arm: arm.arm,
          site: 'subpectoral' as const,
          events: 1,
          total: 10,
          followUpMonths: 24,
          definition: at === 0 ? definition : 'visible bulge',
          assessor: 'examiner',
          design: 'case series',
          row: arm.row,
        })),
      }),
      rules,
    ).reduce((sum, { levels }) => sum + levels, 0);
  it.each([
    [0.34, -1],
    [1 / 3, -1],
    [0.33, 0],
  ])('another definition with %s of the weight: %s', (weight, levels) => {
    expect(of(weight)).toBe(levels);
    expect(of(weight, 'Visible BULGE')).toBe(0);
  });
});

describe('risk of bias in a body that starts high with ROBINS-I', () => {
  // Schünemann 2019, J Clin Epidemiol 111:105: the starting level is high and confounding takes it down.
  const of = (weight: number, typed: string) =>
    riskOfBias(
      {
        question: comparisonQuestion,
        body: bodyOf({ design: 'non-randomised studies', parts: parts(2, [weight, 1 - weight]) }),
        quality: qualityOf(['high concern', 'high concern']).map((each, at) => {
          const overall = at === 0 ? typed : 'low';
          return {
            ...each,
            judgement: { instrument: 'ROBINS-I', typed: overall, derived: overall } as never,
          };
        }),
      },
      resolveCertaintyRules({ nonRandomisedStart: 'high-with-robins-i' }),
    ).proposed;
  it.each([
    [0.5, 'moderate', 0],
    [0.51, 'moderate', -1],
    [0.5, 'serious', 0],
    [0.51, 'serious', -2],
    [0.5, 'critical', 0],
    [0.51, 'critical', -3],
    [1, 'low', 0],
  ])('%s of the weight is %s: %s', (weight, typed, levels) => {
    expect(of(weight, typed)).toBe(levels);
  });
});

describe('sums of the instruments', () => {
  it.each([
    ['MINORS', 12, 16, 'low concern'],
    ['MINORS', 11, 16, 'some concern'],
    ['MINORS', 8, 16, 'some concern'],
    ['MINORS', 7, 16, 'high concern'],
    ['MINORS', 18, 24, 'low concern'],
    ['MINORS', 17, 24, 'some concern'],
    ['MINORS', 12, 24, 'some concern'],
    ['MINORS', 11, 24, 'high concern'],
  ] as const)('%s %s of %s is of %s', (tool, points, maximum, concern) => {
    // Eight items of 2 points, or twelve: as many full ones as fit, one of 1 point where the sum is odd.
    const items = judgementItems.MINORS.items.slice(0, maximum / 2);
    const study = review.studies.find(
      (each) =>
        review.arms.filter((arm) => arm.study === each.study).length === (maximum === 24 ? 2 : 1) &&
        each.design !== 'randomised trial',
    )!;
    const judgements = items.map((item, at) => ({
      ...review.judgements[0]!,
      study: study.study,
      outcome: 'not reported' as const,
      tool,
      item,
      judgement: String(Math.min(2, Math.max(0, points - 2 * at))),
    }));
    const found = studyQuality({ ...review, judgements } as Review).find(
      (each) => each.study === study.study,
    )!;
    expect(found.judgement!.sum).toEqual({ points, maximum });
    expect(found.concern).toBe(concern);
  });
});

describe('a question of the network', () => {
  const split = (gap: number, pValue: number) =>
    incoherenceOf(
      [
        {
          treatment: 'subpectoral',
          comparator: 'tenotomy',
          direct: { value: 0 },
          indirect: { value: gap },
          pValue,
        } as never,
      ],
      'subpectoral',
      'tenotomy',
      (value) => value,
      outcome,
    ).proposed;
  it.each([
    [5, 0.001, 0],
    [5.1, 0.099, -1],
    [5.1, 0.1, 0],
    [20, 0.001, -1],
    [20.1, 0.0099, -2],
    [20.1, 0.01, -1],
    [-20.1, 0.0099, -2],
  ])('a gap of %s in 100 with p %s: %s', (gap, pValue, levels) => {
    expect(split(gap, pValue)).toBe(levels);
  });
});
