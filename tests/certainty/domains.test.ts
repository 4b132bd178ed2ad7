import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { resolveCertaintyRules } from '../../src/certainty/certaintyRules.ts';
import { differenceAt } from '../../src/certainty/comparisonBodies.ts';
import { imprecision } from '../../src/certainty/domains/imprecision.ts';
import { inconsistency } from '../../src/certainty/domains/inconsistency.ts';
import { indirectness } from '../../src/certainty/domains/indirectness.ts';
import { publicationBias } from '../../src/certainty/domains/publicationBias.ts';
import { riskOfBias } from '../../src/certainty/domains/riskOfBias.ts';
import { largeEffect } from '../../src/certainty/domains/upgrades.ts';
import { absoluteEffect } from '../../src/effects/absoluteEffect.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
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

const rules = resolveCertaintyRules();
const thresholds = (materialDifference: number, rest: object = {}) => ({
  ...outcome,
  thresholdsPer100: { materialDifference, source: 'stated', ...rest },
});

describe('imprecision of a difference', () => {
  const at = (lower: number, upper: number, value = (lower + upper) / 2) =>
    imprecision({ question: comparisonQuestion, body: bodyOf({ estimate: { value, lower, upper } }) }, rules)
      .proposed;

  it('counts thresholds inside the interval of the absolute effect, and width', () => {
    expect(at(-12, -6)).toBe(0);
    expect(at(-12, -4)).toBe(-1);
    expect(at(-4, 12)).toBe(-1);
    expect(at(-12, 12)).toBe(-2);
    expect(at(-30, 30)).toBe(-3);
    // Wholly within little to no difference: precise, whether or not it holds no effect.
    expect(at(-4, 4)).toBe(0);
  });

  it('never rises when the interval widens', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        (value, below, above, moreBelow, moreAbove) => {
          const narrow = at(value - below, value + above, value);
          const wide = at(value - below - moreBelow, value + above + moreAbove, value);
          expect(wide).toBeLessThanOrEqual(narrow);
        },
      ),
    );
  });

  // CAPRIE, an example of GRADE guidelines 6 (Guyatt 2011, J Clin Epidemiol 64:1283): relative risk reduction 8.7 %
  // (0.3 to 16.5), 5.83 % a year on aspirin. From memory. Whether it is precise hangs on the difference that matters.
  it('hangs on the threshold: clopidogrel against aspirin (from memory)', () => {
    const of = (material: number) =>
      imprecision(
        {
          question: comparisonQuestion,
          body: comparisonBody({ measure: 'risk-ratio', value: 0.913, lower: 0.835, upper: 0.997 }, 0.0583, {
            outcome: thresholds(material),
            shoulders: 19_185,
          }),
        },
        rules,
      ).proposed;
    expect(of(1)).toBe(0);
    expect(of(0.5)).toBe(-1);
  });

  // Hartland 2022, BMJ Open 12:e061954: odds ratio 0.29 (0.19 to 0.45), 109 of 401 after tenotomy; printed 174 fewer in
  // 1000 (206 to 128 fewer).
  it('reads the tenodesis row of a published summary of findings as short of information only', () => {
    const relative = { measure: 'odds-ratio', value: 0.29, lower: 0.19, upper: 0.45 } as const;
    const body = comparisonBody(relative, 109 / 401, { shoulders: 811 });
    expectPrinted(-10 * body.estimate!.value, '174');
    expectPrinted(-10 * body.estimate!.lower, '206');
    expectPrinted(-10 * body.estimate!.upper, '128');
    const proposal = imprecision({ question: comparisonQuestion, body }, rules);
    // No line lies inside, and 811 of 2,328 shoulders are there: 7.8489 (0.2718 × 0.7282 + 0.2218 × 0.7782) / 0.0025 = 1163.4 an arm.
    expect(proposal.proposed).toBe(-1);
    expect(proposal.evidence.join(' ')).toContain('17 fewer in 100 (21 fewer to 13 fewer)');
    expect(proposal.evidence.join(' ')).toContain('2328 shoulders');
  });

  // Sizes of a trial at 5 % two-sided and 80 % power, both arms, by the formula of Fleiss 2003, section 4.3, worked out
  // by hand: (1.959964 + 0.841621)² [p₁(1−p₁) + p₂(1−p₂)] / (p₁ − p₂)², rounded up and doubled.
  it.each([
    // 109 of 401 against 41 of 410, the rates of the review above: printed as 27 and 10 %.
    [109 / 401, 100 * (109 / 401 - 41 / 410), 154],
    [0.1, 5, 864],
    [0.02, 1, 4632],
  ])(
    'asks for the optimal information size: from %s by %s in 100, %s shoulders',
    (baseline, material, size) => {
      const body = comparisonBody({ measure: 'risk-ratio', value: 0.9, lower: 0.8, upper: 1 }, baseline, {
        outcome: thresholds(material),
        shoulders: 100,
      });
      const { evidence } = imprecision({ question: comparisonQuestion, body }, rules);
      expect(evidence.join(' ')).toContain(`Optimal information size: ${size} shoulders`);
    },
  );

  it('takes levels for few shoulders however near the limits of the ratio', () => {
    const of = (lower: number, upper: number, shoulders: number) =>
      imprecision(
        {
          question: comparisonQuestion,
          body: comparisonBody({ measure: 'risk-ratio', value: 0.2, lower, upper }, 0.3, { shoulders }),
        },
        rules,
      ).proposed;
    // 24 fewer: a large difference, which 15 fewer (half the risk) is not and 21 fewer (0.3 of it) is.
    expect(of(0.1, 0.5, 5000)).toBe(-1);
    expect(of(0.1, 0.3, 5000)).toBe(0);
    expect(of(0.1, 0.3, 100)).toBe(-2);
    expect(of(0.15, 0.25, 100)).toBe(-2);
  });

  it('takes three levels where there is no estimate at all', () => {
    const body = bodyOf({ estimate: undefined, events: 0 });
    expect(imprecision({ question: comparisonQuestion, body }, rules).proposed).toBe(-3);
  });
});

describe('imprecision of a rate', () => {
  const of = (value: number, lower: number, upper: number, shoulders = 100_000) =>
    imprecision(
      {
        question: rateQuestion,
        body: bodyOf({ design: 'arms at one site', estimate: { value, lower, upper }, shoulders }),
      },
      rules,
    ).proposed;

  it('holds the reach of the interval against the thresholds', () => {
    expect([of(10, 6, 14), of(10, 6, 16), of(10, 6, 21), of(10, 6, 31)]).toEqual([0, -1, -2, -3]);
  });

  it('takes a level where there are fewer shoulders than such a rate asks for', () => {
    // p 0.14, d 0.05: 1.959964² × 0.14 × 0.86 / 0.0025 = 185.01, so 186.
    expect(of(10, 6, 14, 185)).toBe(-1);
    expect(of(10, 6, 14, 186)).toBe(0);
  });

  it('never rises when the interval widens', () => {
    const side = fc.double({ min: 0, max: 25, noNaN: true });
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 100, noNaN: true }),
        side,
        side,
        side,
        side,
        (value, a, b, c, d) => {
          const held = (lower: number, upper: number) =>
            of(value, Math.max(0, lower), Math.min(100, upper), 300);
          expect(held(value - a - c, value + b + d)).toBeLessThanOrEqual(held(value - a, value + b));
        },
      ),
    );
  });
});

describe('inconsistency', () => {
  const apart = parts(4).map((part, at) => ({
    ...part,
    interval: { lower: 3 * at, upper: 3 * at + 1, level: 0.95 },
  }));
  const of = (reach: number, spread = reach, some = apart) =>
    inconsistency(
      {
        body: bodyOf({
          parts: some,
          betweenStudyDeviation: spread,
          prediction: { lower: -10 - reach, upper: -6 + reach },
          trueSpread: { lower: -8 - spread, upper: -8 + spread },
        }),
      },
      rules,
    ).proposed;

  it('asks for spread and prediction against thresholds, and for intervals that lie apart before two levels', () => {
    expect([of(4), of(6), of(11)]).toEqual([0, -1, -2]);
    expect(of(11, 11, parts(4) as typeof apart)).toBe(-1);
  });

  it('is not moved by a prediction interval that is wide only because studies are few', () => {
    expect(of(50, 0)).toBe(0);
  });

  it('never rises when studies spread more', () => {
    const size = fc.double({ min: 0, max: 50, noNaN: true });
    fc.assert(
      fc.property(size, size, size, size, (reach, spread, more, further) => {
        expect(of(reach + more, spread + further)).toBeLessThanOrEqual(of(reach, spread));
      }),
    );
  });

  it('cannot be asked of one study, and says so', () => {
    const proposal = inconsistency({ body: bodyOf({ parts: parts(1) }) }, rules);
    expect(proposal.proposed).toBe(0);
    expect(proposal.evidence[0]).toContain('cannot be asked');
  });
});

describe('risk of bias', () => {
  const of = (weights: readonly number[], concerns: Parameters<typeof qualityOf>[0]) =>
    riskOfBias(
      {
        question: comparisonQuestion,
        body: bodyOf({ parts: parts(weights.length, weights) }),
        quality: qualityOf(concerns),
      },
      rules,
    );

  it('goes by the share of the weight, not by the number of studies', () => {
    expect(of([0.8, 0.1, 0.1], ['low concern', 'high concern', 'high concern']).proposed).toBe(0);
    expect(of([0.7, 0.3], ['low concern', 'high concern']).proposed).toBe(-1);
    expect(of([0.3, 0.7], ['low concern', 'high concern']).proposed).toBe(-2);
    expect(of([0.4, 0.6], ['low concern', 'some concern']).proposed).toBe(-1);
  });

  it('never takes a study nobody judged as of low concern', () => {
    const proposal = of([0.4, 0.6], ['low concern', 'not judged']);
    expect(proposal.proposed).toBe(-1);
    expect(proposal.evidence.join(' ')).toContain('1 of 2 studies are not judged');
    expect(of([1], []).proposed).toBe(-1);
  });

  it('never rises when weight moves to more concern', () => {
    const order = ['low concern', 'some concern', 'high concern'] as const;
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0.01, max: 1, noNaN: true }), fc.integer({ min: 0, max: 2 })), {
          minLength: 1,
          maxLength: 8,
        }),
        fc.nat(),
        (studies, pick) => {
          const at = pick % studies.length;
          const levels = studies.map(([, level]) => level);
          const worse = levels.map((level, index) => (index === at ? Math.min(2, level + 1) : level));
          const proposed = (some: readonly number[]) =>
            of(
              studies.map(([weight]) => weight),
              some.map((level) => order[level]!),
            ).proposed;
          expect(proposed(worse)).toBeLessThanOrEqual(proposed(levels));
        },
      ),
    );
  });
});

describe('indirectness', () => {
  it('adds declared levels up, to two, or three for series against series', () => {
    const of = (design: 'randomised trials' | 'series against series', ...levels: readonly (0 | -1 | -2)[]) =>
      indirectness({
        body: bodyOf({ design }),
        differences: levels.map((each) => ({ levels: each, words: 'differs' })),
      }).proposed;
    expect(of('randomised trials')).toBe(0);
    expect(of('randomised trials', 0, -1)).toBe(-1);
    expect(of('randomised trials', -2, -1)).toBe(-2);
    expect(of('series against series', -2, -1)).toBe(-3);
  });
});

describe('publication bias', () => {
  it('calls what cannot be tested undetected, never absent', () => {
    const { proposed, evidence } = publicationBias({ smallStudies: [], missing: undefined }, rules);
    expect(proposed).toBe(0);
    expect(evidence.join(' ')).toContain('Undetected, which is not absent');
    expect(evidence.join(' ')).toContain('not judged by the reviewers');
  });

  it('takes a level for a lean among ten studies or a judgement of high, and one at the most', () => {
    const lean = (pValue: number, forced = false) =>
      ({ kind: 'regression-test', method: 'a test', studies: 12, forced, pValue }) as never;
    const missing = (overall: string) =>
      ({ overall, facts: { studies: { used: 8, 'in another report': 1, 'not reported': 2 } } }) as never;
    const of = (tests: readonly never[], judged?: never) =>
      publicationBias({ smallStudies: tests, missing: judged }, rules).proposed;
    expect(of([lean(0.2)])).toBe(0);
    expect(of([lean(0.05)])).toBe(-1);
    expect(of([lean(0.05, true)])).toBe(0);
    expect(of([], missing('high'))).toBe(-1);
    expect(of([], missing('some concerns'))).toBe(0);
    expect(of([lean(0.05)], missing('high'))).toBe(-1);
  });
});

describe('large effect', () => {
  const of = (lower: number, value: number, upper: number, down = 0, startsLow = true) =>
    largeEffect(
      evidenceOf({
        body: comparisonBody({ measure: 'risk-ratio', value, lower, upper }, 0.05, {
          design: 'non-randomised studies',
        }),
      }),
      { startsLow, down },
    ).proposed;

  // GRADE guidelines 9 (Guyatt 2011, J Clin Epidemiol 64:1311): risk ratio above 2 or below 0.5, above 5 or below 0.2.
  it('goes by size and interval', () => {
    expect(of(2.1, 3, 4.5)).toBe(1);
    expect(of(0.1, 0.3, 0.49)).toBe(1);
    expect(of(5.1, 7, 9)).toBe(2);
    expect(of(0.05, 0.1, 0.19)).toBe(2);
    expect(of(1.5, 3, 6)).toBe(0);
  });

  it('is not moved by a small effect known exactly, however small its p', () => {
    expect(of(1.49, 1.5, 1.51)).toBe(0);
  });

  it('does not rate up what was rated down, what starts high, or series against series', () => {
    expect(of(2.1, 3, 4.5, -1)).toBe(0);
    expect(of(2.1, 3, 4.5, 0, false)).toBe(0);
    const body = comparisonBody({ measure: 'risk-ratio', value: 8, lower: 6, upper: 10 }, 0.05, {
      design: 'series against series',
    });
    expect(largeEffect(evidenceOf({ body }), { startsLow: true, down: 0 }).proposed).toBe(0);
  });
});

describe('difference at a baseline', () => {
  it('is that of the absolute effect, and stays finite for any effect', () => {
    for (const measure of ['odds-ratio', 'risk-ratio'] as const)
      for (const value of [0.29, 0.9, 1.7])
        expectClose(
          differenceAt(measure, Math.log(value), 0.27),
          absoluteEffect({ measure, value, lower: value, upper: value }, 0.27, 'stated').difference.value,
          'identity',
        );
    for (const value of [-1e4, 1e4])
      expect(Number.isFinite(differenceAt('odds-ratio', value, 0.2))).toBe(true);
  });
});
