// Two arms: ratios, differences, standardised differences, absolute effects.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { absoluteEffect } from '../../src/effects/absoluteEffect.ts';
import { isEstimate } from '../../src/effects/isEstimate.ts';
import { smallSampleFactor } from '../../src/effects/smallSampleFactor.ts';
import { meanDifference, standardisedMeanDifference } from '../../src/effects/twoMeans.ts';
import { oddsRatio, riskDifference, riskRatio, type TwoRates } from '../../src/effects/twoRates.ts';
import { normalQuantile } from '../../src/numerics/distributions.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
import {
  numberIn,
  printedValue,
  published,
  recomputedList,
  recomputedNumber,
} from '../published/published.ts';

const rates = (treated: [number, number], comparator: [number, number]): TwoRates => ({
  study: 'a',
  label: 'Ardfell 2015',
  treated: { events: treated[0], total: treated[1] },
  comparator: { events: comparator[0], total: comparator[1] },
});
const measures = { oddsRatio, riskRatio, riskDifference };

describe('published', () => {
  test('odds ratio of each BCG trial with its limits (Colditz 1994)', () => {
    const bcg = published('bcg-vaccine-pairwise');
    const z = -normalQuantile(0.025);
    const estimates = bcg.rows.map((row) => {
      const found = oddsRatio(
        rates(
          [numberIn(row, 'eventsTreated'), numberIn(row, 'totalTreated')],
          [numberIn(row, 'eventsComparator'), numberIn(row, 'totalComparator')],
        ),
      );
      if (!isEstimate(found)) throw new Error('every BCG trial has an odds ratio');
      return found;
    });
    for (const [quantity, sign] of [
      ['odds ratio, each trial', 0],
      ['odds ratio lower limit, each trial', -1],
      ['odds ratio upper limit, each trial', 1],
    ] as const) {
      const found = estimates.map(({ value, variance }) => Math.exp(value + sign * z * Math.sqrt(variance)));
      const { printed } = printedValue(bcg, quantity);
      found.forEach((value, i) => {
        expectPrinted(value, printed[i]!, { because: 'two decimals are what the page prints' });
        expectClose(value, recomputedList(bcg, quantity, 'Woolf')[i]!, 'specialFunction');
      });
    }
  });

  test('odds ratio of a tenodesis trial: 15/45 against 4/42 is 4.75 (MacDonald 2020 prints an adjusted 4.3)', () => {
    const found = oddsRatio(rates([15, 45], [4, 42]));
    expectPrinted(Math.exp((found as { value: number }).value), '4.75');
  });

  test('small-sample factor (Hedges 1981, from memory), exact', () => {
    const hedges = published('hedges-small-sample-factor');
    const { printed, within, because } = printedValue(hedges, 'factor, degrees of freedom 2 to 10');
    const exact = recomputedList(
      hedges,
      'factor, degrees of freedom 2 to 10',
      'exact: gamma(m/2)/(sqrt(m/2) gamma((m-1)/2))',
    );
    for (let m = 2; m <= 10; m++) {
      expectPrinted(
        smallSampleFactor(m),
        printed[m - 2]!,
        within === undefined ? {} : { within, because: because ?? 'recalled digits' },
      );
      expectClose(smallSampleFactor(m), exact[m - 2]!, 'specialFunction');
    }
    // Both branches meet: the series above 400 continues the gamma functions below.
    expectClose(smallSampleFactor(400.0001), smallSampleFactor(400), 'iterative');
  });

  test('standardised differences of the textbook set, exact factor (Borenstein 2009, from memory)', () => {
    const textbook = published('textbook-standardized-mean-difference');
    const name = 'Hedges g, exact gamma-function factor';
    textbook.rows.forEach((row, i) => {
      const { value, variance } = standardisedMeanDifference({
        study: String(i),
        label: String(i),
        treated: {
          mean: numberIn(row, 'meanTreated'),
          standardDeviation: numberIn(row, 'standardDeviationTreated'),
          total: numberIn(row, 'totalTreated'),
        },
        comparator: {
          mean: numberIn(row, 'meanComparator'),
          standardDeviation: numberIn(row, 'standardDeviationComparator'),
          total: numberIn(row, 'totalComparator'),
        },
      });
      expectClose(value, recomputedList(textbook, 'effect, each study', name)[i]!, 'specialFunctionTail');
      expectClose(
        variance,
        recomputedList(textbook, 'variance, each study', name)[i]!,
        'specialFunctionTail',
      );
      // The page uses the approximate factor; the two agree to its four printed decimals.
      expectPrinted(value, printedValue(textbook, 'effect, each study').printed[i]!);
    });
  });

  test('absolute effects (Cochrane Handbook 5.1, sections 12.5.4.1 to 12.5.4.3)', () => {
    const ratio = absoluteEffect(
      { measure: 'risk-ratio', value: 0.92, lower: 0.9, upper: 0.95 },
      0.3,
      'stated',
    );
    expectPrinted(-1000 * ratio.difference.value, '24');
    expect(ratio.numberNeeded.value).toBe(42);
    const odds = absoluteEffect(
      { measure: 'odds-ratio', value: 0.73, lower: 0.6, upper: 0.9 },
      0.3,
      'stated',
    );
    expectPrinted(-1000 * odds.difference.value, '62');
    expect(odds.numberNeeded.value).toBe(17);
    for (const [value, needed] of [
      [-0.12, 9],
      [-0.22, 5],
    ] as const) {
      const found = absoluteEffect(
        { measure: 'risk-difference', value, lower: value, upper: value },
        0.4,
        'stated',
      );
      expect(found.numberNeeded).toMatchObject({ value: needed, direction: 'one fewer event' });
    }
  });

  test('tenodesis against tenotomy, per 1000 (Hartland 2022, BMJ Open 12:e061954, Table 3)', () => {
    const hartland = published('tenodesis-tenotomy-absolute-effect');
    const [row] = hartland.rows;
    const baseline = numberIn(row!, 'eventsTenotomy') / numberIn(row!, 'totalTenotomy');
    const effect = absoluteEffect(
      {
        measure: 'odds-ratio',
        value: numberIn(row!, 'oddsRatio'),
        lower: numberIn(row!, 'lower'),
        upper: numberIn(row!, 'upper'),
      },
      baseline,
      'tenotomy arms, pooled',
    );
    expectPrinted(-1000 * effect.difference.value, '174');
    expectPrinted(-1000 * effect.difference.lower, '206');
    expectPrinted(-1000 * effect.difference.upper, '128');
    expectClose(
      -1000 * effect.difference.value,
      recomputedNumber(hartland, 'fewer per 1000 with tenodesis'),
      'specialFunction',
    );
    expectPrinted(100 * baseline, '27.2');
  });
});

describe('zero cells, one by one', () => {
  test.each([
    ['oddsRatio', [0, 20], [3, 20], 'no events in the treated arm, so the ratio has no finite value'],
    [
      'oddsRatio',
      [20, 20],
      [3, 20],
      'nothing but events in the treated arm, so the ratio has no finite value',
    ],
    ['oddsRatio', [0, 20], [0, 20], 'no events in either arm, which says nothing about a ratio'],
    ['oddsRatio', [20, 20], [20, 20], 'nothing but events in both arms, which says nothing about a ratio'],
    ['riskRatio', [3, 20], [0, 20], 'no events in the comparator arm, so the ratio has no finite value'],
    ['riskRatio', [0, 20], [0, 20], 'no events in either arm, which says nothing about a ratio'],
    [
      'riskDifference',
      [0, 20],
      [0, 20],
      'no events in either arm, so the difference has no sampling variance',
    ],
    [
      'riskDifference',
      [0, 20],
      [20, 20],
      'no events in one arm and nothing but events in the other, so the difference has no sampling variance',
    ],
  ] as const)('%s of %j against %j', (measure, treated, comparator, reason) => {
    expect(measures[measure](rates([...treated], [...comparator]))).toMatchObject({ reason });
  });

  test('a risk difference copes with one empty arm', () => {
    const found = riskDifference(rates([0, 20], [5, 20]));
    expect(found).toMatchObject({ value: -0.25, addedToEachCell: 0 });
  });

  test('a stated amount rescues a single zero but never a study without information on the ratio', () => {
    const options = { zeroEvents: { addToEachCell: 0.5 } } as const;
    expect(oddsRatio(rates([0, 20], [3, 20]), options)).toMatchObject({ addedToEachCell: 0.5 });
    for (const measure of [oddsRatio, riskRatio]) {
      expect(isEstimate(measure(rates([0, 20], [0, 30]), options))).toBe(false);
    }
  });
});

describe('invariants', () => {
  const arm = fc
    .integer({ min: 2, max: 400 })
    .chain((total) => fc.tuple(fc.integer({ min: 1, max: total - 1 }), fc.constant(total)));
  test.each(Object.entries(measures))(
    '%s: swapping arms turns the sign and keeps the variance',
    (_name, measure) => {
      fc.assert(
        fc.property(arm, arm, (treated, comparator) => {
          const one = measure(rates(treated, comparator));
          const other = measure(rates(comparator, treated));
          if (!isEstimate(one) || !isEstimate(other)) throw new Error('no zero cell, so both have estimates');
          expectClose(other.value, -one.value, 'specialFunction', { ofSize: 1 });
          expectClose(other.variance, one.variance, 'specialFunction');
        }),
      );
    },
  );

  const group = fc.record({
    mean: fc.integer({ min: -500, max: 500 }).map((value) => value / 10),
    standardDeviation: fc.integer({ min: 1, max: 400 }).map((value) => value / 10),
    total: fc.integer({ min: 2, max: 300 }),
  });
  test('rescaling a score rescales the mean difference and leaves the standardised one alone', () => {
    fc.assert(
      fc.property(group, group, fc.constantFrom(0.1, 10, 100), (treated, comparator, unit) => {
        const scaled = (summary: typeof treated) => ({
          mean: unit * summary.mean + 7,
          standardDeviation: unit * summary.standardDeviation,
          total: summary.total,
        });
        const base = { study: 'a', label: 'Ardfell 2015' };
        const size = Math.abs(treated.mean) + Math.abs(comparator.mean) + 10;
        const one = meanDifference({ ...base, treated, comparator });
        const other = meanDifference({ ...base, treated: scaled(treated), comparator: scaled(comparator) });
        expectClose(other.value / unit, one.value, 'specialFunctionTail', {
          ofSize: size / Math.min(unit, 1),
        });
        expectClose(other.variance / unit ** 2, one.variance, 'specialFunction');
        const g = standardisedMeanDifference({ ...base, treated, comparator });
        const h = standardisedMeanDifference({
          ...base,
          treated: scaled(treated),
          comparator: scaled(comparator),
        });
        expectClose(h.value, g.value, 'iterative', { ofSize: 1 });
        expectClose(h.variance, g.variance, 'iterative');
      }),
    );
  });

  test('an absolute effect at no relative effect is none, and its number needed runs both ways', () => {
    const found = absoluteEffect({ measure: 'odds-ratio', value: 1, lower: 0.5, upper: 2 }, 0.2, 'stated');
    expectClose(found.difference.value, 0, 'identity', { ofSize: 1 });
    expect(found.numberNeeded.kind).toBe('both directions');
    const crossing = absoluteEffect(
      { measure: 'risk-ratio', value: 0.8, lower: 0.5, upper: 1.2 },
      0.2,
      'stated',
    );
    expect(crossing.numberNeeded).toEqual({
      kind: 'both directions',
      direction: 'one fewer event',
      value: 25,
      oneFewer: 10,
      oneMore: 25,
    });
  });

  test('misuse is refused with name, bound and value', () => {
    expect(() =>
      absoluteEffect({ measure: 'odds-ratio', value: 0.5, lower: 0.4, upper: 0.6 }, 0, 'x'),
    ).toThrow('baselineRisk must lie between 0 and 1, received 0');
    expect(() =>
      absoluteEffect({ measure: 'odds-ratio', value: 0.5, lower: 0.6, upper: 0.7 }, 0.2, 'x'),
    ).toThrow('lower, value and upper must be in order, received 0.6, 0.5, 0.7');
    expect(() => smallSampleFactor(1)).toThrow('degreesOfFreedom must be above 1, received 1');
    expect(() =>
      meanDifference({
        study: 'a',
        label: 'Ardfell 2015',
        treated: { mean: 1, standardDeviation: 0, total: 10 },
        comparator: { mean: 1, standardDeviation: 1, total: 10 },
      }),
    ).toThrow('standardDeviation of Ardfell 2015 (treated) must be above 0, received 0');
  });
});
