import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bodyDesigns } from '../../src/certainty/bodyOfEvidence.ts';
import type { CertaintyDecision } from '../../src/certainty/certaintyDecision.ts';
import {
  certaintyDomains,
  certaintyLevels,
  domainsDown,
  effectSizes,
} from '../../src/certainty/certaintyRating.ts';
import { nonRandomisedStarts, resolveCertaintyRules } from '../../src/certainty/certaintyRules.ts';
import { differenceInHundred, hundredText, thresholdsOf } from '../../src/certainty/perHundred.ts';
import { resolveQualityOptions } from '../../src/certainty/quality/concern.ts';
import { newcastleOttawaForms } from '../../src/certainty/quality/newcastleOttawa.ts';
import { addUp, rateCertainty } from '../../src/certainty/rateCertainty.ts';
import { effectSizeOf, standardSentence } from '../../src/certainty/standardSentence.ts';
import {
  protocolCertainty,
  protocolNewcastleOttawaForms,
  protocolNonRandomisedStarts,
} from '../../src/extraction/protocolCertainty.ts';
import {
  decidedBodies,
  decidedDomains,
  decidedLevels,
  decidedQuestions,
} from '../../src/extraction/sheets/certaintySheet.ts';
import { missingRecordAnswers } from '../../src/extraction/sheets/missingSheet.ts';
import { missingAnswers } from '../../src/robustness/missing/missingJudgement.ts';
import {
  bodyOf,
  comparisonBody,
  comparisonQuestion,
  evidenceOf,
  parts,
  qualityOf,
  rateQuestion,
} from './bodies.ts';

const decision = (
  domain: CertaintyDecision['domain'],
  levels: number,
  change: Partial<CertaintyDecision> = {},
): CertaintyDecision => ({
  domain,
  levels,
  reason: 'because',
  decidedBy: 'panel',
  date: '2026-07-14',
  proposedThen: undefined,
  row: undefined,
  ...change,
});

describe('words of the sheet and of the stage', () => {
  it('are the same', () => {
    expect(decidedDomains).toEqual(certaintyDomains);
    expect(decidedBodies).toEqual(bodyDesigns);
    expect(decidedQuestions).toEqual([rateQuestion.kind, comparisonQuestion.kind]);
    expect(missingRecordAnswers).toEqual(missingAnswers);
    expect(protocolNewcastleOttawaForms).toEqual(newcastleOttawaForms);
    expect(protocolNonRandomisedStarts).toEqual(nonRandomisedStarts);
  });

  it('a protocol may name every rule but the order of instruments, and no other', () => {
    const named = Object.keys(protocolCertainty.shape);
    const known = [
      ...Object.keys(resolveCertaintyRules()),
      ...Object.keys(resolveQualityOptions()).filter((name) => name !== 'preference'),
    ];
    expect(named.sort()).toEqual(known.sort());
  });
});

describe('the arithmetic', () => {
  it('is the start plus the levels, held between very low and high, whatever the levels', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('high' as const, 'low' as const),
        fc.tuple(...certaintyDomains.map((domain) => fc.constantFrom(...decidedLevels(domain)))),
        (level, levels) => {
          const { level: end, steps } = addUp(
            { level, reason: 'stated.' },
            certaintyDomains.map((domain, at) => ({ domain, levels: levels[at]! })),
          );
          const sum = levels.reduce((total, each) => total + each, certaintyLevels.indexOf(level));
          expect(certaintyLevels.indexOf(end)).toBe(Math.min(3, Math.max(0, sum)));
          // Every step follows from the one before it, and the last is the level.
          for (const [at, step] of steps.entries())
            if (at > 0) expect(step.sum).toBe(steps[at - 1]!.sum + step.levels);
          expect(steps.at(-1)!.sum).toBe(certaintyLevels.indexOf(end));
        },
      ),
    );
  });

  it('reaches every level from proposals alone', () => {
    const reached = new Set(
      (['low concern', 'some concern', 'high concern'] as const).flatMap((concern) =>
        [
          { value: -8, lower: -10, upper: -6 },
          { value: -8, lower: -30, upper: 6 },
        ].map(
          (estimate) =>
            rateCertainty(
              evidenceOf({ body: bodyOf({ estimate }), quality: qualityOf(Array(4).fill(concern)) }),
            ).level,
        ),
      ),
    );
    expect([...reached].sort()).toEqual([...certaintyLevels].sort());
  });
});

describe('series against series', () => {
  it('are not rated above low, whatever people decide', () => {
    const rating = rateCertainty(evidenceOf({ body: bodyOf({ design: 'series against series' }) }), {
      decisions: [decision('indirectness', 0), decision('dose-response', 1), decision('large effect', 2)],
    });
    expect(rating.level).toBe('low');
    expect(rating.steps.at(-1)).toMatchObject({ what: 'bounds', sum: 1 });
  });
});

describe('where a body starts', () => {
  const startOf = (design: (typeof bodyDesigns)[number], kind: 'rate' | 'comparison' = 'comparison') =>
    rateCertainty(
      evidenceOf({
        question: kind === 'rate' ? rateQuestion : comparisonQuestion,
        body: bodyOf({ design }),
      }),
    ).start.level;

  it('high for rates and trials, low for the rest', () => {
    expect(startOf('arms at one site', 'rate')).toBe('high');
    expect(startOf('randomised trials')).toBe('high');
    expect(startOf('non-randomised studies')).toBe('low');
    expect(startOf('series against series')).toBe('low');
  });

  it('high with ROBINS-I as an option, and falls by it', () => {
    const by = (typed: string) =>
      qualityOf(Array(4).fill('high concern')).map((each) => ({
        ...each,
        judgement: { instrument: 'ROBINS-I', typed, derived: typed } as never,
      }));
    const of = (typed: string, nonRandomisedStart: 'low' | 'high-with-robins-i') =>
      rateCertainty(evidenceOf({ body: bodyOf({ design: 'non-randomised studies' }), quality: by(typed) }), {
        rules: { nonRandomisedStart },
      });
    expect(of('serious', 'low').start.level).toBe('low');
    expect(of('serious', 'high-with-robins-i').start.level).toBe('high');
    const bias = (typed: string) => of(typed, 'high-with-robins-i').domains[0]!.proposed;
    expect([bias('low'), bias('moderate'), bias('serious'), bias('critical')]).toEqual([0, -1, -2, -3]);
    // One study with weight and without ROBINS-I, and the rule does not apply.
    const mixed = [...by('serious').slice(1), qualityOf(['low concern'])[0]!];
    expect(
      rateCertainty(evidenceOf({ body: bodyOf({ design: 'non-randomised studies' }), quality: mixed }), {
        rules: { nonRandomisedStart: 'high-with-robins-i' },
      }).start.level,
    ).toBe('low');
  });
});

describe('decisions', () => {
  const all = (change: Partial<CertaintyDecision> = {}) =>
    domainsDown.map((domain) => decision(domain, 0, change));

  it('take the place of proposals, which stay in sight', () => {
    const rating = rateCertainty(
      evidenceOf({ quality: qualityOf(['high concern', 'high concern', 'high concern', 'high concern']) }),
      { decisions: [decision('risk of bias', -1)] },
    );
    expect(rating.domains[0]).toMatchObject({ proposed: -2, decided: -1, levels: -1, reason: 'because' });
    expect(rating.level).toBe('moderate');
  });

  it('confirm only when every domain that must be judged is decided', () => {
    expect(rateCertainty(evidenceOf(), { decisions: all() }).confirmed).toBe(true);
    for (const domain of domainsDown)
      expect(
        rateCertainty(evidenceOf(), { decisions: all().filter((each) => each.domain !== domain) }).confirmed,
      ).toBe(false);
    // A proposal to rate up must be decided as well.
    const body = comparisonBody({ measure: 'risk-ratio', value: 3, lower: 2.5, upper: 3.6 }, 0.1, {
      design: 'non-randomised studies',
    });
    expect(rateCertainty(evidenceOf({ body }), { decisions: all() }).confirmed).toBe(false);
    expect(
      rateCertainty(evidenceOf({ body }), { decisions: [...all(), decision('large effect', 1)] }),
    ).toMatchObject({ confirmed: true, level: 'moderate' });
  });

  it('need a reason, a known domain, allowed levels, and come once', () => {
    const rate = (...decisions: readonly CertaintyDecision[]) => rateCertainty(evidenceOf(), { decisions });
    expect(() => rate(decision('imprecision', 0, { reason: '  ' }))).toThrow('needs a reason');
    expect(() => rate(decision('imprecision', 1))).toThrow('must be one of 0, -1, -2, -3, received 1');
    expect(() => rate(decision('dose-response', 2))).toThrow('must be one of 0, 1, received 2');
    expect(() => rate(decision('luck' as never, 0))).toThrow('domain must be one of');
    expect(() => rate(decision('imprecision', 0), decision('imprecision', -1))).toThrow('decided twice');
  });

  it('are called stale when the data now propose something else', () => {
    const of = (proposedThen: number) =>
      rateCertainty(evidenceOf(), {
        decisions: [decision('imprecision', -1, { proposedThen })],
      }).cautions.map(({ code }) => code);
    expect(of(-2)).toContain('decision-stale');
    expect(of(0)).not.toContain('decision-stale');
  });

  it('rate up only by declaration for dose-response and opposing confounding', () => {
    const body = bodyOf({ design: 'non-randomised studies' });
    expect(rateCertainty(evidenceOf({ body })).level).toBe('low');
    expect(
      rateCertainty(evidenceOf({ body }), {
        decisions: [decision('dose-response', 1), decision('opposing confounding', 1)],
      }).level,
    ).toBe('high');
  });
});

describe('misuse', () => {
  it('names rule, bound and value', () => {
    expect(() => resolveCertaintyRules({ smallStudyP: 2 })).toThrow(
      'smallStudyP must be from 0 to 1, received 2',
    );
    expect(() => resolveCertaintyRules({ fewFraction: 1.5 })).toThrow(
      'fewFraction must be from 0 to 1, received 1.5',
    );
    expect(() => resolveCertaintyRules({ nonRandomisedStart: 'middle' as never })).toThrow(
      'nonRandomisedStart',
    );
    expect(() => resolveCertaintyRules({ luck: 1 } as never)).toThrow('unknown option');
  });
});

describe('the standard sentence', () => {
  const values = { large: -22, plain: -12, slight: -7, 'little to no': -1 } as const;
  const sentence = (value: number, level: (typeof certaintyLevels)[number] | undefined) =>
    standardSentence(
      comparisonQuestion,
      bodyOf({ estimate: { value, lower: value - 1, upper: value + 1 } }),
      level,
    );

  // The statements of GRADE guidelines 26 (Santesso 2020, J Clin Epidemiol 119:126, table of statements; from memory).
  it('has words for each certainty and size, in both directions', () => {
    const statement = (value: number, level: (typeof certaintyLevels)[number]) =>
      sentence(value, level).split(': ')[1]!;
    const rest = ', compared with tenotomy.';
    const modal = { high: '', moderate: 'likely ', low: 'may ' } as const;
    for (const [level, before] of Object.entries(modal) as [keyof typeof modal, string][]) {
      const s = level === 'low' ? '' : 's';
      const verb = (value: number) => (value < 0 ? `reduce${s}` : `increase${s}`);
      for (const sign of [1, -1]) {
        const [large, plain, slight, little] = effectSizes.map((size) => sign * values[size]);
        const noun = large! < 0 ? 'reduction' : 'increase';
        const start = 'subpectoral fixation';
        expect(statement(large!, level)).toBe(
          `${start} ${before}result${s} in a large ${noun} in cosmetic deformity${rest}`,
        );
        expect(statement(plain!, level)).toBe(`${start} ${before}${verb(plain!)} cosmetic deformity${rest}`);
        expect(statement(slight!, level)).toBe(
          `${start} ${before}${verb(slight!)} cosmetic deformity slightly${rest}`,
        );
        expect(statement(little!, level)).toBe(
          `${start} ${before}result${s} in little to no difference in cosmetic deformity${rest}`,
        );
      }
    }
    for (const value of Object.values(values))
      expect(statement(value, 'very low')).toBe(
        'the evidence is very uncertain about the effect of subpectoral fixation on cosmetic deformity, compared with tenotomy.',
      );
  });

  it('puts the absolute numbers first', () => {
    expect(sentence(-22, 'low')).toMatch(/^22 fewer in 100 \(23 fewer to 21 fewer\): /);
    expect(differenceInHundred({ value: 0.5, lower: -2, upper: 3 })).toBe(
      '0.5 more in 100 (2.0 fewer to 3.0 more)',
    );
    expect(differenceInHundred({ value: 0, lower: -2, upper: 0.001 })).toBe(
      'No difference in 100 (2.0 fewer to <0.01 more)',
    );
    expect([0.04, 0.4, 9.96, 12.4, -3].map(hundredText)).toEqual(['0.04', '0.4', '10', '12', '\u22123.0']);
  });

  it('names a size only as far as the protocol does', () => {
    const { thresholdsPer100 } = bodyOf().outcome;
    const bare = {
      ...bodyOf().outcome,
      thresholdsPer100: {
        materialDifference: thresholdsPer100.materialDifference,
        source: thresholdsPer100.source,
      },
    };
    const body = bodyOf({ outcome: bare, estimate: { value: -40, lower: -50, upper: -30 } });
    expect(effectSizeOf(body)).toBe('plain');
    expect(thresholdsOf(bare)).toMatchObject({ material: 5, moderate: 10, large: 20, declared: false });
  });

  it('has a sentence of its own for rates, for series, and for silence, and never tells anybody what to do', () => {
    const all = [undefined, ...certaintyLevels].flatMap((level) =>
      bodyDesigns.flatMap((design) =>
        [undefined, ...Object.values(values)].flatMap((value) => {
          const body = bodyOf({
            design,
            estimate: value === undefined ? undefined : { value, lower: value - 30, upper: value + 30 },
          });
          return [rateQuestion, comparisonQuestion].map((question) =>
            standardSentence(question, body, level),
          );
        }),
      ),
    );
    for (const each of all) {
      expect(each).toMatch(/^[A-Z0-9\u2212].*\.$/);
      expect(each).not.toMatch(/undefined|NaN|Infinity/);
      expect(each).not.toMatch(/\b(choose|should|prefer|recommend|better|best|superior|use)\b/i);
    }
    expect(
      standardSentence(rateQuestion, bodyOf({ estimate: { value: 12, lower: 8, upper: 17 } }), 'moderate'),
    ).toBe(
      '12 in 100 (8.0 to 17): cosmetic deformity likely occurs in about this many shoulders after subpectoral fixation.',
    );
    const noneSeen = bodyOf({ estimate: { value: 0, lower: 0, upper: 1.1 }, events: 0, shoulders: 343 });
    expect(standardSentence(rateQuestion, noneSeen, 'low')).toBe(
      'None seen in 343 (0 to 1.1 in 100): cosmetic deformity may occur in up to this many shoulders after subpectoral fixation.',
    );
    expect(
      standardSentence(comparisonQuestion, bodyOf({ design: 'series against series' }), 'very low'),
    ).toMatch(/^No study compared the two; between series of each, 8.0 fewer/);
  });
});

describe('nothing to rate', () => {
  it('has no level and says that no study answers', () => {
    const rating = rateCertainty(
      evidenceOf({ body: bodyOf({ studies: 0, estimate: undefined, parts: [], shoulders: 0, events: 0 }) }),
    );
    expect(rating).toMatchObject({ level: undefined, confirmed: false, steps: [] });
    expect(rating.cautions.map(({ code }) => code)).toContain('nothing-answers-the-question');
    expect(rating.sentence).toContain('we cannot tell');
  });

  it('keeps studies that gave no estimate in sight', () => {
    const rating = rateCertainty(
      evidenceOf({
        body: bodyOf({ estimate: undefined, events: 0, parts: parts(2, [0, 0]), studies: 2 }),
        quality: qualityOf(['low concern', 'low concern']),
      }),
    );
    expect(rating.level).toBe('very low');
    expect(rating.sentence).toContain('the studies give no estimate');
  });
});
