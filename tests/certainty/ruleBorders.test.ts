import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import type { BodyOfEvidence, StudyPart } from '../../src/certainty/bodyOfEvidence.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import type { CertaintyRating } from '../../src/certainty/certaintyRating.ts';
import { resolveCertaintyRules } from '../../src/certainty/certaintyRules.ts';
import { imprecision } from '../../src/certainty/domains/imprecision.ts';
import { inconsistency } from '../../src/certainty/domains/inconsistency.ts';
import { publicationBias } from '../../src/certainty/domains/publicationBias.ts';
import { riskOfBias } from '../../src/certainty/domains/riskOfBias.ts';
import { largeEffect } from '../../src/certainty/domains/upgrades.ts';
import type { ConcernReading } from '../../src/certainty/quality/concern.ts';
import { rateCertainty } from '../../src/certainty/rateCertainty.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import type { Review } from '../../src/extraction/review.ts';
import { pooledSites } from '../../src/extraction/site.ts';
import { evidenceOfReview } from '../../src/publishing/evidenceOfReview.ts';
import { evidenceDocument } from '../../src/tables/evidenceDocument.ts';
import { rateFindings } from '../../src/tables/rateFindings.ts';
import { summaryOfFindings } from '../../src/tables/summaryOfFindings.ts';
import {
  bodyOf,
  comparisonBody,
  comparisonQuestion,
  evidenceOf,
  outcome,
  parts,
  qualityOf,
  rateQuestion,
} from './bodies.ts';

// Each table is written from the words of the rule in docs/methods-certainty.md, with a case on either side of each border.

const rules = resolveCertaintyRules();
const { review: read } = readReview(demoFiles());
const review: Review = { ...read!, certainty: [] };

/** Thresholds 5, 10 and 20 in 100, as the protocol names them. */
const difference = (value: number, lower: number, upper: number) =>
  imprecision({ question: comparisonQuestion, body: bodyOf({ estimate: { value, lower, upper } }) }, rules);

describe('imprecision: the lines of the statement that is said', () => {
  it.each([
    // A large difference (20 or more): its own line, the moderate and the smallest one; two levels at the most.
    [-21, -40, -20, 0],
    [-21, -40, -19.9, -1],
    [-21, -40, -10, -1],
    [-21, -40, -9.9, -2],
    [-21, -40, -6, -2],
    [-21, -40, -4.9, -2],
    // The smallest difference on the other side takes one more, and a width above twice the large difference another.
    [-21, -34, 4.9, -2],
    [-21, -34, 5.1, -3],
    [-30, -61, -21, 0],
    [-30, -61.1, -21, -1],
    // A moderate one (10 to below 20): its own line and the smallest one.
    [-19.9, -30, -10, 0],
    [-19.9, -30, -9.9, -1],
    [-10, -30, -4.9, -2],
    // A slight one (5 to below 10): the smallest one. That it may be larger takes nothing off.
    [-9.9, -15, -5, 0],
    [-9.9, -15, -4.9, -1],
    [-5, -12, -5, 0],
    [-9, -12, 5.1, -2],
    // Little to no difference: the smallest one on either side.
    [-4.9, -5, 5, 0],
    [-4.9, -5.1, 5, -1],
    [-1, -5.1, 5.1, -2],
    [0, -5, 5.1, -1],
  ])('%s (%s to %s): %s, and the same of an increase', (value, lower, upper, levels) => {
    expect(difference(value, lower, upper).proposed).toBe(levels);
    if (value !== 0) expect(difference(-value, -upper, -lower).proposed).toBe(levels);
  });

  it('knows only the smallest difference where the protocol names no others', () => {
    const { materialDifference, source } = outcome.thresholdsPer100;
    const bare = { ...outcome, thresholdsPer100: { materialDifference, source } };
    const of = (value: number, lower: number, upper: number) =>
      imprecision(
        { question: comparisonQuestion, body: bodyOf({ outcome: bare, estimate: { value, lower, upper } }) },
        rules,
      ).proposed;
    expect(of(-21, -40, -6)).toBe(0);
    expect(of(-21, -40, -4.9)).toBe(-1);
  });

  // GRADE guidance 34 (Zeng 2022): the target of the rating follows the point, the interval is held against its lines.
  it.each([
    [-21, -40, -6, 'low', 'may result in a large reduction in'],
    [-21, -40, -11, 'moderate', 'likely results in a large reduction in'],
    [-25, -40, -20, 'high', 'results in a large reduction in'],
    [-12, -20, -6, 'moderate', 'likely reduces'],
    [-12, -20, -10, 'high', 'reduces'],
  ])('%s (%s to %s) from sound trials: %s, "%s"', (value, lower, upper, level, words) => {
    const rating = rateCertainty(evidenceOf({ body: bodyOf({ estimate: { value, lower, upper } }) }));
    expect(rating.level).toBe(level);
    expect(rating.sentence).toContain(`subpectoral fixation ${words} cosmetic deformity`);
  });
});

describe('the size that is said where people take fewer levels for imprecision than proposed', () => {
  const sentenceOf = (value: number, lower: number, upper: number, levels: number) =>
    rateCertainty(evidenceOf({ body: bodyOf({ estimate: { value, lower, upper } }) }), {
      decisions: [
        {
          domain: 'imprecision',
          levels,
          reason: 'both ends matter',
          decidedBy: undefined,
          date: undefined,
          proposedThen: undefined,
          row: undefined,
        },
      ],
    }).sentence;
  it.each([
    // Two levels proposed: 20 and 10 fewer lie inside.
    [-21, -40, -6, -2, 'may result in a large reduction in cosmetic deformity'],
    [-21, -40, -6, -1, 'likely reduces cosmetic deformity slightly'],
    [-21, -40, -6, 0, 'reduces cosmetic deformity slightly'],
    // One proposed: 20 fewer lies inside; the nearer limit is moderate from 10 on.
    [-21, -40, -10, 0, 'reduces cosmetic deformity,'],
    [-21, -40, -9.9, 0, 'reduces cosmetic deformity slightly'],
    [21, 10, 40, 0, 'increases cosmetic deformity,'],
    // None proposed: the nearer limit is large itself.
    [-25, -40, -20, 0, 'results in a large reduction in cosmetic deformity'],
    // More taken than proposed leaves the point its word.
    [-25, -40, -20, -1, 'likely results in a large reduction in cosmetic deformity'],
    [-8, -12, -4, 0, 'reduces cosmetic deformity slightly'],
  ])('%s (%s to %s), %s decided: "%s"', (value, lower, upper, levels, words) => {
    expect(sentenceOf(value, lower, upper, levels)).toContain(`subpectoral fixation ${words}`);
  });
});

describe('imprecision: the optimal information size', () => {
  const of = (shoulders: number, change: Partial<BodyOfEvidence> = {}) =>
    imprecision(
      {
        question: comparisonQuestion,
        // 15 fewer (16.5 fewer to 13.5 fewer): moderate, and no line inside. A ratio of limits of 1.2.
        body: comparisonBody({ measure: 'risk-ratio', value: 0.5, lower: 0.45, upper: 0.55 }, 0.3, {
          shoulders,
          ...change,
        }),
      },
      rules,
    ).proposed;

  // (1.959964 + 0.841621)² (0.3 × 0.7 + 0.25 × 0.75) / 0.05² = 1247.97 in each arm by the formula of Fleiss 2003, section
  // 4.3: 2,496 in both, three tenths of them 748.8.
  it.each([
    [2496, 0],
    [2495, -1],
    [749, -1],
    [748, -2],
    [50, -2],
  ])('%s shoulders of 2,496 needed: %s', (shoulders, levels) => {
    expect(of(shoulders)).toBe(levels);
  });

  it('is not asked for where the whole interval lies within the smallest difference on both sides', () => {
    const near = (lower: number, upper: number) =>
      imprecision(
        {
          question: comparisonQuestion,
          body: comparisonBody({ measure: 'risk-difference', value: 0, lower, upper }, 0.3, {
            shoulders: 50,
          }),
        },
        rules,
      ).proposed;
    expect(near(-0.04, 0.04)).toBe(0);
    expect(near(-0.04, 0.051)).toBe(-1);
    // A difference that matters, however near the border, is not within it.
    expect(
      imprecision(
        {
          question: comparisonQuestion,
          body: comparisonBody(
            { measure: 'risk-difference', value: -0.07, lower: -0.09, upper: -0.051 },
            0.3,
            { shoulders: 50 },
          ),
        },
        rules,
      ).proposed,
    ).toBe(-2);
  });

  it('lets no few shoulders rate high, however tight the ratio', () => {
    // 0.46 × 0.54 + 0.41 × 0.59 = 0.4903; 7.8489 × 0.4903 / 0.0025 = 1539.3 in each arm: 3,080 in both.
    const body = comparisonBody({ measure: 'risk-ratio', value: 0.3, lower: 0.2, upper: 0.45 }, 0.46, {
      shoulders: 360,
    });
    const rating = rateCertainty(evidenceOf({ body }));
    expect(rating.domains[3]!.evidence.join(' ')).toContain('3080 shoulders');
    expect(rating.level).toBe('low');
  });

  it('keeps one non-randomised study of 50 shoulders below moderate, and from being rated up', () => {
    const body = comparisonBody({ measure: 'risk-ratio', value: 0.3, lower: 0.2, upper: 0.45 }, 0.6, {
      design: 'non-randomised studies',
      studies: 1,
      shoulders: 50,
      parts: parts(1),
    });
    const rating = rateCertainty(evidenceOf({ body, quality: qualityOf(['low concern']) }));
    expect(rating.domains.find(({ domain }) => domain === 'large effect')!.proposed).toBe(0);
    expect(rating.level).toBe('very low');
  });
});

describe('imprecision of a rate', () => {
  const of = (lower: number, upper: number, shoulders = 1e5) =>
    imprecision(
      {
        question: rateQuestion,
        body: bodyOf({ design: 'arms at one site', estimate: { value: 30, lower, upper }, shoulders }),
      },
      rules,
    ).proposed;
  it.each([
    [25, 35, 0],
    [24.9, 35, -1],
    [25, 40, -1],
    [25, 40.1, -2],
    [10, 35, -2],
    [9.9, 35, -3],
  ])('30 (%s to %s): %s', (lower, upper, levels) => {
    expect(of(lower, upper)).toBe(levels);
  });
});

describe('inconsistency', () => {
  /** Studies as their middle and half width on the logarithm of the risk ratio, at a risk of 0.3 after tenotomy. */
  const studies = (...some: readonly (readonly [ratio: number, half: number])[]): readonly StudyPart[] =>
    some.map(([ratio, half], at) => ({
      ...parts(1)[0]!,
      study: `study-${at}`,
      label: `Study ${at}`,
      interval: { lower: Math.log(ratio) - half, upper: Math.log(ratio) + half, level: 0.95 },
    }));
  const none = { betweenStudyDeviation: 0, trueSpread: { lower: -6, upper: -6 } };
  const of = (some: readonly StudyPart[], change: Partial<BodyOfEvidence> = none) =>
    inconsistency(
      {
        body: comparisonBody({ measure: 'risk-ratio', value: 0.8, lower: 0.6, upper: 1.07 }, 0.3, {
          parts: some,
          studies: some.length,
          ...change,
        }),
      },
      rules,
    ).proposed;

  it.each([
    // 15 fewer and 9 more, ln 1.3 − ln 0.5 = 0.956 apart: neither point in the other's interval, or both.
    ['two points outside each other', studies([0.5, 0.9], [1.3, 0.9]), -1],
    ['two points within each other', studies([0.5, 1], [1.3, 1]), 0],
    ['one point within the other', studies([0.5, 0.9], [1.3, 1]), 0],
    // 15 fewer beside 4.5 and 6 fewer, of which the one does not matter and the other does.
    ['two sides of the smallest difference', studies([0.5, 0.2], [0.85, 0.2]), -1],
    ['one side of the smallest difference', studies([0.5, 0.2], [0.8, 0.2]), 0],
    // 7.5 and 2.7 fewer, 4.8 apart; 7.5 and 2.4 fewer, 5.1 apart.
    ['two sides, nearer than matters', studies([0.75, 0.05], [0.91, 0.05]), 0],
    ['two sides, further than matters', studies([0.75, 0.05], [0.92, 0.05]), -1],
    // Four studies have six pairs, of which one disagrees: more than a tenth.
    ['one of six pairs', studies([0.5, 0.45], [0.7, 1], [0.85, 0.45], [0.7, 1]), -1],
    // Beyond four the spread is estimated, and tells.
    ['five studies', studies([0.5, 0.45], [0.85, 0.45], [0.7, 1], [0.7, 1], [0.7, 1]), 0],
  ] as const)('with a spread of nought, %s', (_, some, levels) => {
    expect(of(some)).toBe(levels);
  });

  it('does not hang on which way the effect points', () => {
    expect(of(studies([1.5, 0.1], [1.1, 0.1]))).toBe(-1);
    expect(of(studies([1.5, 0.1], [1.2, 0.1]))).toBe(0);
  });

  it.each([
    // The smaller of the two measures, in 100: the spread of true values, and prediction beyond the interval of the mean.
    [5, 5, false, 0],
    [5.1, 5.1, false, -1],
    [5, 30, false, 0],
    [30, 5, false, 0],
    [10, 10, true, -1],
    [10.1, 10.1, true, -2],
    [10.1, 10.1, false, -1],
  ])('spread %s, prediction %s further, intervals apart %s: %s', (spread, extra, apart, levels) => {
    const some = Array.from({ length: 6 }, (_, at) => [apart ? 0.5 + at / 100 : 0.7, 0.001] as const);
    expect(
      of(studies(...some), {
        estimate: { value: -6, lower: -7, upper: -5 },
        betweenStudyDeviation: 0.3,
        trueSpread: { lower: -6 - spread, upper: -6 + spread },
        prediction: { lower: -7 - extra, upper: -5 + extra },
      }),
    ).toBe(levels);
  });
});

describe('risk of bias', () => {
  const of = (weights: readonly number[], concerns: readonly ConcernReading[]) =>
    riskOfBias(
      {
        question: comparisonQuestion,
        body: bodyOf({ parts: parts(weights.length, weights) }),
        quality: qualityOf(concerns),
      },
      rules,
    ).proposed;
  it.each([
    [[50, 50], ['high concern', 'low concern'], -1],
    [[51, 49], ['high concern', 'low concern'], -2],
    [[25, 75], ['high concern', 'low concern'], 0],
    [[26, 74], ['high concern', 'low concern'], -1],
    [[50, 50], ['some concern', 'low concern'], 0],
    [[51, 49], ['some concern', 'low concern'], -1],
    [[50, 50], ['not judged', 'low concern'], 0],
    [[51, 49], ['not judged', 'low concern'], -1],
    [[0, 0], ['low concern', 'low concern'], -1],
  ] as const)('weights %s of %s: %s', (weights, concerns, levels) => {
    expect(of(weights, concerns)).toBe(levels);
  });
});

describe('publication bias', () => {
  const lean = (pValue: number) =>
    ({ kind: 'regression-test', method: 'a test', studies: 12, forced: false, pValue }) as never;
  it.each([
    [0.1, 0],
    [0.0999, -1],
  ])('p %s of a small-study test: %s', (pValue, levels) => {
    expect(publicationBias({ smallStudies: [lean(pValue)], missing: undefined }, rules).proposed).toBe(
      levels,
    );
  });
});

describe('large effect', () => {
  // GRADE guidelines 9 (Guyatt 2011, J Clin Epidemiol 64:1311).
  it.each([
    [2, 3, 4, 0],
    [2.01, 3, 4, 1],
    [5, 6, 7, 1],
    [5.01, 6, 7, 2],
    [0.1, 0.3, 0.5, 0],
    [0.1, 0.3, 0.499, 1],
    [0.1, 0.15, 0.2, 1],
    [0.1, 0.15, 0.199, 2],
  ])('risk ratio %s, %s, %s: %s', (lower, value, upper, levels) => {
    const body = comparisonBody({ measure: 'risk-ratio', value, lower, upper }, 0.05, {
      design: 'non-randomised studies',
    });
    expect(largeEffect(evidenceOf({ body }), { startsLow: true, down: 0 }).proposed).toBe(levels);
  });
});

describe('a footnote gives the fact that made the step', () => {
  const footnotes = (rating: CertaintyRating): string => {
    const { protocol } = review;
    const shown = { ...rating, question: { ...rating.question, outcome: protocol.outcomes[0]!.id } };
    const found =
      rating.question.kind === 'rate'
        ? rateFindings(protocol, [shown])
        : summaryOfFindings(protocol, [shown]);
    return (found.footnotes ?? []).map(({ text }) => text).join('\n');
  };
  const noteOn = (domain: string, rating: CertaintyRating): string =>
    footnotes(rating)
      .split('\n')
      .find((text) => text.startsWith(domain)) ?? '';

  it('inconsistency by spread, where every pair of intervals overlaps', () => {
    const rating = rateCertainty(
      evidenceOf({
        body: bodyOf({ betweenStudyDeviation: 0.4, trueSpread: { lower: -15, upper: -1 } }),
      }),
    );
    const note = noteOn('Inconsistency', rating);
    expect(note).toContain('one level down');
    expect(note).toContain('spread over \u221215 to \u22121.0 in 100');
    expect(note).not.toContain('0 of 6');
  });

  it('studies of one true value are not said to spread', () => {
    const rating = rateCertainty(
      evidenceOf({ body: bodyOf({ betweenStudyDeviation: 0, trueSpread: { lower: -8, upper: -8 } }) }),
    );
    const inconsistency = rating.domains.find(({ domain }) => domain === 'inconsistency');
    const evidence = inconsistency?.evidence.join(' ');
    expect(evidence).not.toContain('spread over');
    expect(evidence).toContain('No spread of the studies beyond chance was found');
  });

  it('inconsistency by two levels says that intervals lie apart as well', () => {
    const rating = rateCertainty(
      evidenceOf({
        body: bodyOf({
          parts: parts(4).map((part, at) => ({
            ...part,
            interval: { lower: 3 * at, upper: 3 * at + 1, level: 0.95 },
          })),
          trueSpread: { lower: -20, upper: 4 },
        }),
      }),
    );
    expect(noteOn('Inconsistency', rating)).toMatch(/two levels down.*spread over.*6 of 6 pairs/);
  });

  it('imprecision by information size, where no line lies inside the interval', () => {
    const body = comparisonBody({ measure: 'risk-ratio', value: 0.3, lower: 0.2, upper: 0.5 }, 0.46, {
      shoulders: 360,
    });
    const note = noteOn('Imprecision', rateCertainty(evidenceOf({ body })));
    expect(note).toContain('the studies hold 360');
    expect(note).not.toContain('no line');
  });

  it('indirectness by the difference that counts, not by one that does not, and by all that do', () => {
    const rating = rateCertainty(
      evidenceOf({
        differences: [
          { levels: 0, words: 'Two arms say nothing of their assessor.' },
          { levels: -1, words: 'Older anchors.' },
          { levels: -1, words: 'Other patients.' },
        ],
      }),
    );
    expect(noteOn('Indirectness', rating)).toMatch(
      /two levels down \(proposed\): Older anchors. Other patients.$/,
    );
  });

  it('publication bias by the judgement, where no test could tell', () => {
    const missing = {
      overall: 'high',
      facts: { studies: { used: 8, 'in another report': 1, 'not reported': 2 } },
    } as never;
    const note = noteOn('Publication bias', rateCertainty(evidenceOf({ missing })));
    expect(note).toContain('as the reviewers judged it: high');
    expect(note).not.toContain('Undetected');
  });

  it('risk of bias by the share that passed its border', () => {
    const rating = rateCertainty(
      evidenceOf({
        quality: qualityOf(['high concern', 'some concern', 'some concern', 'low concern']),
      }),
    );
    expect(noteOn('Risk of bias', rating)).toBe(
      'Risk of bias, one level down (proposed): 75 % of the weight is not of low concern, more than the 50 % from which it counts a level.',
    );
  });
});

describe('studies that nobody judged', () => {
  const rated = (weights: readonly number[], concerns: readonly ConcernReading[]) =>
    rateCertainty(
      evidenceOf({
        question: rateQuestion,
        body: bodyOf({
          design: 'arms at one site',
          estimate: { value: 30, lower: 26, upper: 34 },
          parts: parts(weights.length, weights),
          studies: weights.length,
        }),
        quality: qualityOf(concerns),
      }),
    );

  it.each([
    [[100], ['not judged'], 'low'],
    [[51, 49], ['not judged', 'low concern'], 'low'],
    [[50, 50], ['not judged', 'low concern'], 'high'],
    [[51, 49], ['some concern', 'low concern'], 'moderate'],
    [[0, 0], ['not judged', 'not judged'], 'low'],
  ] as const)('weights %s of %s: %s', (weights, concerns, level) => {
    expect(rated(weights, concerns).level).toBe(level);
  });

  it('cannot be lifted by a decision on a domain, only by judging them', () => {
    const rating = rateCertainty(
      evidenceOf({
        question: rateQuestion,
        body: bodyOf({ estimate: { value: 30, lower: 26, upper: 34 } }),
        quality: [],
      }),
      {
        decisions: [
          {
            domain: 'risk of bias',
            levels: 0,
            reason: 'known surgeons',
            decidedBy: undefined,
            date: undefined,
            proposedThen: undefined,
            row: undefined,
          },
        ],
      },
    );
    expect(rating.level).toBe('low');
    expect(rating.steps.at(-1)!.words).toBe(
      'Studies whose quality nobody has judged are not rated above low.',
    );
  });

  it('give no level above low and no key message, and the document says how many wait', () => {
    const bare = { ...review, judgements: [] };
    const levels = pooledSites.map(
      (site) => certaintyOfReview(bare, { kind: 'rate', outcome: 'revision', site }).level,
    );
    expect(levels.filter((level) => level === 'moderate' || level === 'high')).toEqual([]);
    const words = (of: Review) =>
      evidenceDocument(
        of,
        evidenceOfReview(of, {
          pairs: [['subpectoral', 'tenotomy']],
          outcomes: ['revision'],
          forests: false,
        }),
      ).blocks.flatMap((block) => (block.kind === 'list' ? block.items : []));
    const messages = (of: Review) => words(of).filter((text) => / certainty(?:, proposed)?\)$/.test(text));
    expect(messages(bare)).toEqual([]);
    expect(messages(review).length).toBeGreaterThan(0);
    expect(words(bare).join(' ')).toMatch(
      /4 answers of 4 rates rest on studies whose quality is not judged yet/,
    );
  });

  it('a time of follow-up that nobody reports counts as a difference from the question', () => {
    const silent = {
      ...review,
      protocol: {
        ...review.protocol,
        outcomes: review.protocol.outcomes.map((each) => ({ ...each, windowMonths: undefined })),
      },
      studies: review.studies.map((study) => ({ ...study, followUpMeanMonths: 'not reported' as const })),
      arms: review.arms.map((arm) => ({ ...arm, followUpMeanMonths: 'not reported' as const })),
    };
    const of = (events: Review['events']) =>
      certaintyOfReview({ ...silent, events } as Review, {
        kind: 'rate',
        outcome: 'revision',
        site: 'tenotomy',
      }).domains.find(({ domain }) => domain === 'indirectness')!;
    const unknown = of(review.events.map((row) => ({ ...row, followUpMonths: 'not reported' })));
    expect(unknown.proposed).toBe(-1);
    expect(unknown.evidence.join(' ')).toContain('do not report their time of follow-up');
    expect(of(review.events.map((row) => ({ ...row, followUpMonths: 24 }))).proposed).toBe(0);
  });
});

describe('synonyms of one definition', () => {
  /** The demonstration with a protocol and a sheet in words of the trade. */
  const worded = (definitions: readonly string[], first: string, second: string): Review => ({
    ...review,
    protocol: {
      ...review.protocol,
      outcomes: review.protocol.outcomes.map((each) =>
        each.kind === 'events' && each.id === 'cosmetic-deformity'
          ? { ...each, definitions: [...definitions] }
          : each,
      ),
    },
    events: review.events.map((row) =>
      row.outcome !== 'cosmetic-deformity'
        ? row
        : { ...row, definition: row.definition.toLowerCase() === 'visible bulge' ? first : second },
    ),
  });
  const indirect = (of: Review) =>
    certaintyOfReview(of, { kind: 'rate', outcome: 'cosmetic-deformity', site: 'subpectoral' }).domains.find(
      ({ domain }) => domain === 'indirectness',
    )!;

  it.each([
    [['Popeye deformity', 'Popeye sign'], 'Popeye sign', 'Popeye deformity', 0],
    [['Popeye sign', 'Popeye deformity'], 'popeye deformity', 'POPEYE SIGN', 0],
    [['Popeye deformity', 'visible bulge'], 'visible bulge', 'visible bulge', -1],
    [['Popeye deformity | visible bulge'], 'Visible  Bulge', 'popeye sign', 0],
    [['Popeye deformity', 'bulge when flexed | visible bulge'], 'visible bulge', 'visible bulge', -1],
  ] as const)('%s, counted as %s and %s: %s', (definitions, first, second, levels) => {
    const found = indirect(worded(definitions, first, second));
    expect(found.proposed).toBe(levels);
    expect(found.evidence.some((words) => words.includes('another definition'))).toBe(levels !== 0);
  });
});
