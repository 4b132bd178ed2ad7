import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isEstimate } from '../../../src/effects/isEstimate.ts';
import { naturalValue } from '../../../src/effects/naturalValue.ts';
import { combineGroups } from '../../../src/effects/scores/combineGroups.ts';
import { estimateMeans } from '../../../src/effects/scores/estimateMeans.ts';
import { estimateScoreContrasts, scoreMeasures } from '../../../src/effects/scores/estimateScoreContrasts.ts';
import { ratioOfMeans } from '../../../src/effects/scores/ratioOfMeans.ts';
import type { ScoreArm } from '../../../src/effects/scores/scoreArm.ts';
import { standardisedMeanDifference } from '../../../src/effects/twoMeans.ts';
import { expectClose } from '../../helpers/close.ts';
import reference from '../../reference/scoresOrderStatistics.json' with { type: 'json' };

let line = 1;
const arm = (
  study: string,
  site: ScoreArm['site'],
  mean: number,
  standardDeviation: number,
  total: number,
  more: Partial<ScoreArm> = {},
): ScoreArm => {
  line += 1;
  const row = { file: 'scores.csv', line, locator: 'table 2' };
  return {
    study,
    label: study,
    year: 2020,
    arm: `${site}-${line}`,
    site,
    design: 'case series',
    followUpMonths: 24,
    scale: 'pain-vas',
    scaleName: 'Pain',
    range: { minimum: 0, maximum: 100 },
    unit: 'mm',
    better: 'lower',
    zeroIsNone: true,
    kind: 'final',
    mean,
    standardDeviation,
    total,
    conversions: [],
    line: { multiply: 1, add: 0 },
    cautions: [],
    row,
    rows: [row],
    ...more,
  };
};
const question = { treated: 'subpectoral', comparator: 'tenotomy', scale: 'pain-vas' } as const;

describe('mean of one arm', () => {
  it('is the mean with the squared standard error, one scale and kind at a time', () => {
    const arms = [
      arm('a', 'subpectoral', 22, 8, 40),
      arm('b', 'subpectoral', 80, 9, 30, { scale: 'ases', scaleName: 'ASES' }),
      arm('c', 'subpectoral', -40, 9, 30, { kind: 'change' }),
      arm('d', 'subpectoral', 22, 0, 30),
    ];
    const { estimates, leftOut } = estimateMeans(arms, { scale: 'pain-vas' });
    expect(estimates).toHaveLength(1);
    expect(estimates[0]).toMatchObject({
      study: 'a',
      value: 22,
      scale: 'plain',
      addedToEachCell: 0,
      rows: arms[0]!.rows,
    });
    expectClose(estimates[0]!.variance, 1.6, 'identity');
    expect(leftOut.map((each) => each.reason)).toEqual([
      'ASES is another scale than the one averaged (Pain).',
      'A change score is not averaged with final scores.',
      'The standard deviation is 0 or out of range, so the score cannot be weighed.',
    ]);
    expect(estimateMeans(arms, { scale: 'ases' }).estimates.map((each) => each.study)).toEqual(['b']);
    expect(
      estimateMeans(arms, { scale: 'pain-vas', kind: 'change' }).estimates.map((each) => each.study),
    ).toEqual(['c']);
    expect(estimateMeans(arms, { scale: 'sst' }).estimates).toEqual([]);
    expect(() => estimateMeans(arms, {} as { scale: string })).toThrow(
      'scale must be stated, such as "ases"; received nothing',
    );
    expect(() => estimateMeans(arms, { scale: 'ases', kind: 'start' as 'final' })).toThrow(
      'kind must be one of baseline, final, change; received "start"',
    );
    expect(estimateMeans([], { scale: 'ases' })).toEqual({ estimates: [], leftOut: [] });
  });
});

describe('ratio of means', () => {
  const pair = (m1: number, s1: number, n1: number, m2: number, s2: number, n2: number) => ({
    study: 'a',
    label: 'Ostrava 2015',
    treated: { mean: m1, standardDeviation: s1, total: n1 },
    comparator: { mean: m2, standardDeviation: s2, total: n2 },
  });

  it('is ln(m1/m2) with the delta-method variance of Friedrich et al. 2008, equation for the log ratio', () => {
    const result = ratioOfMeans(pair(20, 6, 30, 25, 5, 50));
    if (!isEstimate(result)) throw new Error(result.reason);
    // By hand: 36/(30·400) + 25/(50·625) = 0.003 + 0.0008.
    expectClose(result.value, Math.log(0.8), 'specialFunction');
    expectClose(result.variance, 0.0038, 'identity');
    expectClose(naturalValue(result.value, result.scale), 0.8, 'specialFunction');
  });

  it('does not change with the unit, and turns its sign when the arms are swapped', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 900 }),
        fc.integer({ min: 1, max: 900 }),
        fc.constantFrom(0.1, 9.80665, 1e6),
        (a, b, unit) => {
          const plain = ratioOfMeans(pair(a / 10, 3, 20, b / 10, 5, 14));
          const scaled = ratioOfMeans(pair((unit * a) / 10, 3 * unit, 20, (unit * b) / 10, 5 * unit, 14));
          const swapped = ratioOfMeans(pair(b / 10, 5, 14, a / 10, 3, 20));
          if (!(isEstimate(plain) && isEstimate(scaled) && isEstimate(swapped))) throw new Error('left out');
          expectClose(scaled.value - plain.value, 0, 'identity', { ofSize: 30 });
          expectClose(scaled.variance, plain.variance, 'specialFunction');
          expect(swapped.value + plain.value).toBe(0);
          expectClose(swapped.variance, plain.variance, 'identity');
        },
      ),
    );
  });

  it('is left out when a mean is not above 0', () => {
    for (const [m1, m2] of [
      [0, 3],
      [3, -1],
    ] as const) {
      const result = ratioOfMeans(pair(m1, 1, 9, m2, 1, 9));
      expect(isEstimate(result)).toBe(false);
      expect('reason' in result && result.reason).toContain('needs both above 0');
    }
    expect(() => ratioOfMeans(pair(Number.NaN, 1, 9, 2, 1, 9))).toThrow(
      'must be a finite number; received NaN',
    );
  });
});

describe('variances of the standardised mean difference', () => {
  it('agree with 40-digit formulas, and the unbiased one has the exact variance as its expectation (scipy, non-central t)', () => {
    for (const row of reference.standardisedDifference) {
      const total = { treated: row.treatedTotal, comparator: row.comparatorTotal };
      const arms = {
        study: 'a',
        label: 'a',
        treated: { mean: row.uncorrected, standardDeviation: 1, total: total.treated },
        comparator: { mean: 0, standardDeviation: 1, total: total.comparator },
      };
      const large = standardisedMeanDifference(arms);
      const unbiased = standardisedMeanDifference(arms, { variance: 'unbiased' });
      expectClose(large.value, row.corrected, 'specialFunctionTail');
      expectClose(large.variance, row.largeSample, 'specialFunctionTail');
      expectClose(unbiased.variance, row.unbiased, 'specialFunctionTail');
      // The estimate is linear in g², so its expectation is the formula at E(g²).
      const sizes = 1 / total.treated + 1 / total.comparator;
      const slope = row.uncorrected === 0 ? undefined : (unbiased.variance - sizes) / row.corrected ** 2;
      if (slope === undefined) continue;
      expectClose(
        sizes + slope * row.truth.expectedSquareOfCorrected,
        row.truth.varianceOfCorrected,
        'iterative',
      );
    }
  });
});

describe('two sites within studies', () => {
  const arms = [
    arm('a', 'subpectoral', 20, 6, 30),
    arm('a', 'tenotomy', 25, 5, 50),
    arm('b', 'subpectoral', 18, 7, 20),
    arm('b', 'subpectoral', 24, 6, 25),
    arm('b', 'tenotomy', 22, 8, 40),
    arm('c', 'subpectoral', 30, 6, 30),
    arm('d', 'subpectoral', 82, 9, 30, {
      scale: 'ases',
      scaleName: 'ASES',
      better: 'higher',
      zeroIsNone: false,
    }),
    arm('d', 'tenotomy', 78, 9, 30, {
      scale: 'ases',
      scaleName: 'ASES',
      better: 'higher',
      zeroIsNone: false,
    }),
  ];

  it('takes one variance for both arms when asked, as the two-sample t test does', () => {
    // R: t.test of values with these means, standard deviations and sizes, var.equal = TRUE, stderr 2.94763861543477.
    const arms = [arm('a', 'subpectoral', 82, 12, 40), arm('a', 'tenotomy', 79, 14, 38)];
    const [estimate] = estimateScoreContrasts(arms, { ...question, variance: 'pooled' }).estimates;
    expectClose(Math.sqrt(estimate!.variance), 2.94763861543477, 'specialFunction');
    expect(() => estimateScoreContrasts(arms, { ...question, variance: 'unbiased' })).toThrow(
      /variance must be one of separate, pooled/,
    );
    expect(() =>
      estimateScoreContrasts(arms, {
        ...question,
        measure: 'standardised-mean-difference',
        variance: 'pooled',
      }),
    ).toThrow(/variance must be one of large-sample, unbiased/);
  });

  it('makes a mean difference per study with both sites, several arms of a site combined', () => {
    const { estimates, leftOut } = estimateScoreContrasts(arms, question);
    expect(estimates.map((each) => [each.study, each.scale])).toEqual([
      ['a', 'mean-difference'],
      ['b', 'mean-difference'],
    ]);
    expect(estimates[0]!.value).toBe(-5);
    expectClose(estimates[0]!.variance, 36 / 30 + 25 / 50, 'identity');
    const both = combineGroups([arms[2]!, arms[3]!]);
    expectClose(estimates[1]!.value, both.mean - 22, 'specialFunction');
    expectClose(estimates[1]!.variance, both.standardDeviation ** 2 / 45 + 64 / 40, 'identity');
    expect(estimates[1]!.rows).toHaveLength(3);
    expect(leftOut.map((each) => each.reason)).toEqual([
      'ASES is another scale than the one compared (pain-vas).',
    ]);
  });

  it('turns standardised differences so that positive is better, and may mix scales', () => {
    const { estimates } = estimateScoreContrasts(arms, {
      ...question,
      measure: 'standardised-mean-difference',
      variance: 'unbiased',
    });
    expect(estimates.map((each) => each.study)).toEqual(['a', 'b', 'd']);
    expect(estimates.map((each) => Math.sign(each.value))).toEqual([1, 1, 1]);
  });

  it('makes a ratio only where 0 means none, and never of changes', () => {
    const { estimates, leftOut } = estimateScoreContrasts(arms, {
      ...question,
      measure: 'log-ratio-of-means',
    });
    expectClose(estimates[0]!.value, Math.log(0.8), 'specialFunction');
    expect(leftOut[0]!.reason).toBe('0 on ASES does not mean none of it, so a ratio means nothing.');
    const changes = [
      arm('e', 'subpectoral', -20, 6, 30, { kind: 'change' }),
      arm('e', 'tenotomy', -25, 5, 50, { kind: 'change' }),
    ];
    expect(
      estimateScoreContrasts(changes, { ...question, measure: 'log-ratio-of-means' }).leftOut[0]!.reason,
    ).toContain('A ratio of changes means nothing');
    expect(
      estimateScoreContrasts([...arms, ...changes], question)
        .estimates.map((each) => each.value)
        .at(-1),
    ).toBe(5);
    expect(
      estimateScoreContrasts([...arms, ...changes], { ...question, measure: 'standardised-mean-difference' })
        .leftOut[0]!.reason,
    ).toContain('are not pooled with those of final scores');
    const half = [arm('f', 'subpectoral', 20, 6, 30), arm('f', 'tenotomy', -25, 5, 50, { kind: 'change' })];
    expect(estimateScoreContrasts(half, question).leftOut[0]!.reason).toBe(
      'One arm gives final scores and the other changes.',
    );
  });

  it('turns its sign when the sites are swapped, whatever the measure', () => {
    for (const measure of scoreMeasures) {
      const forth = estimateScoreContrasts(arms, { ...question, measure }).estimates;
      const back = estimateScoreContrasts(arms, {
        treated: 'tenotomy',
        comparator: 'subpectoral',
        scale: 'pain-vas',
        measure,
      }).estimates;
      expect(forth.length).toBeGreaterThan(1);
      for (const [i, each] of forth.entries()) {
        expectClose(back[i]!.value, -each.value, 'identity');
        expectClose(back[i]!.variance, each.variance, 'specialFunction');
      }
    }
  });

  it('refuses unknown words, and mixed scales without a word on which is meant', () => {
    expect(() => estimateScoreContrasts(arms, { treated: 'subpectoral', comparator: 'tenotomy' })).toThrow(
      'scale must be one of pain-vas, ases, since the arms are on several; received nothing',
    );
    expect(() => estimateScoreContrasts(arms, { ...question, comparator: 'subpectoral' })).toThrow(
      'comparator must be another site than treated (subpectoral); received the same',
    );
    expect(() =>
      estimateScoreContrasts(arms, { ...question, measure: 'ratio' as 'mean-difference' }),
    ).toThrow(
      'measure must be one of mean-difference, standardised-mean-difference, log-ratio-of-means; received "ratio"',
    );
  });
});
