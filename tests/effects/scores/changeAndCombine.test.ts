import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  changeFromBaseline,
  correlationFromDeviations,
} from '../../../src/effects/scores/changeFromBaseline.ts';
import { combineGroups } from '../../../src/effects/scores/combineGroups.ts';
import { percentOfRange } from '../../../src/effects/scores/percentOfRange.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { numberIn, printedValue, published, recomputedNumber } from '../../published/published.ts';
import reference from '../../reference/scoresSpread.json' with { type: 'json' };

const handbook = published('handbook-sd-conversions');
const describeGroup = (values: readonly number[]) => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return {
    mean,
    standardDeviation: values.length > 1 ? Math.sqrt(squares / (values.length - 1)) : 0,
    total: values.length,
  };
};

describe('change from baseline', () => {
  it('reproduces the correlations of the Cochrane Handbook, version 5.1 section 16.1.3.2', () => {
    for (const [i, arm] of (['treated', 'control'] as const).entries()) {
      const row = handbook.rows[i + 2]!;
      const correlation = correlationFromDeviations({
        baselineDeviation: numberIn(row, 'standardDeviationBaseline'),
        finalDeviation: numberIn(row, 'standardDeviationFinal'),
        changeDeviation: numberIn(row, 'standardDeviationChange'),
      });
      const quantity = `correlation of baseline and final, ${arm}`;
      expectPrinted(correlation, printedValue(handbook, quantity).printed as string);
      expectClose(correlation, recomputedNumber(handbook, quantity), 'specialFunction');
    }
    const change = changeFromBaseline({
      baselineMean: 15.2,
      baselineDeviation: 6.4,
      finalMean: 16.2,
      finalDeviation: 7.1,
      correlation: 0.78,
    });
    expectClose(
      change.standardDeviation,
      recomputedNumber(handbook, 'sd of change, treated, with correlation 0.78'),
      'specialFunction',
    );
    expectClose(change.mean, 1, 'identity');
  });

  it('agrees with raw scores in base R (sd of the differences, cor)', () => {
    const { baseline, final, mean, deviation, correlation } = reference.change;
    const before = describeGroup(baseline);
    const after = describeGroup(final);
    const change = changeFromBaseline({
      baselineMean: before.mean,
      baselineDeviation: before.standardDeviation,
      finalMean: after.mean,
      finalDeviation: after.standardDeviation,
      correlation,
    });
    expectClose(change.mean, mean, 'specialFunction');
    expectClose(change.standardDeviation, deviation, 'specialFunction');
    expectClose(
      correlationFromDeviations({
        baselineDeviation: before.standardDeviation,
        finalDeviation: after.standardDeviation,
        changeDeviation: deviation,
      }),
      correlation,
      'specialFunction',
    );
  });

  it('undoes itself, and meets its closed forms at correlations of -1, 0 and 1', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 300 }),
        fc.integer({ min: 1, max: 300 }),
        fc.integer({ min: -100, max: 100 }),
        (before, after, hundredths) => {
          const input = {
            baselineMean: 0,
            baselineDeviation: before / 10,
            finalMean: 0,
            finalDeviation: after / 10,
          };
          const correlation = hundredths / 100;
          const change = changeFromBaseline({ ...input, correlation }).standardDeviation;
          const back = correlationFromDeviations({
            ...input,
            changeDeviation: change,
          });
          // Very unequal spreads leave the correlation little room to show.
          expectClose(back - correlation, 0, 'identity', {
            ofSize: (2 * (before + after) ** 2) / (before * after),
          });
        },
      ),
    );
    const at = (correlation: number) =>
      changeFromBaseline({
        baselineMean: 60,
        baselineDeviation: 3,
        finalMean: 20,
        finalDeviation: 4,
        correlation,
      });
    expectClose(at(0).standardDeviation, 5, 'identity');
    expectClose(at(1).standardDeviation, 1, 'identity');
    expectClose(at(-1).standardDeviation, 7, 'identity');
    expect(at(0.3).cautions.map((each) => each.code)).toEqual(['assumed-correlation', 'low-correlation']);
    expect(at(0.7).cautions.map((each) => each.code)).toEqual(['assumed-correlation']);
  });

  it('refuses what cannot be', () => {
    const input = { baselineMean: 60, baselineDeviation: 3, finalMean: 20, finalDeviation: 4 };
    expect(() => changeFromBaseline({ ...input, correlation: 1.2 })).toThrow(
      'correlation must lie from -1 to 1; received 1.2',
    );
    expect(() => changeFromBaseline({ ...input, correlation: Number.NaN })).toThrow(
      'correlation must lie from -1 to 1; received NaN',
    );
    expect(() =>
      correlationFromDeviations({ baselineDeviation: 3, finalDeviation: 4, changeDeviation: 8 }),
    ).toThrow('changeDeviation must lie from 1 to 7, what the other two allow; received 8');
  });
});

describe('combining groups', () => {
  it('is the formula of the Handbook’s table 6.5.a for two groups', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 500 }),
        fc.integer({ min: 2, max: 500 }),
        fc.integer({ min: -900, max: 900 }),
        fc.integer({ min: 1, max: 300 }),
        (n1, n2, tenths, spread) => {
          const [m1, m2, s1, s2] = [50, tenths / 10, spread / 10, 11];
          const combined = combineGroups([
            { mean: m1, standardDeviation: s1, total: n1 },
            { mean: m2, standardDeviation: s2, total: n2 },
          ]);
          const cross = ((n1 * n2) / (n1 + n2)) * (m1 ** 2 + m2 ** 2 - 2 * m1 * m2);
          const printed = Math.sqrt(((n1 - 1) * s1 ** 2 + (n2 - 1) * s2 ** 2 + cross) / (n1 + n2 - 1));
          expectClose(combined.standardDeviation, printed, 'specialFunction');
          expectClose(combined.mean - (n1 * m1 + n2 * m2) / (n1 + n2), 0, 'identity', { ofSize: 100 });
          expect(combined.total).toBe(n1 + n2);
        },
      ),
    );
  });

  it('gives what the raw scores of all groups give, to 1e-10, also in base R and far from zero', () => {
    const { treated, comparator, together } = reference.twoSamples;
    const both = combineGroups([describeGroup(treated), describeGroup(comparator)]);
    expectClose(both.mean, together.mean, 'specialFunction');
    expectClose(both.standardDeviation, together.deviation, 'specialFunction');
    const group = fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 1, maxLength: 30 });
    fc.assert(
      fc.property(
        fc.array(group, { minLength: 2, maxLength: 6 }),
        fc.constantFrom(0, 1e6),
        (groups, offset) => {
          const shifted = groups.map((values) => values.map((value) => value / 10 + offset));
          const raw = describeGroup(shifted.flat());
          const combined = combineGroups(shifted.map(describeGroup));
          expectClose(combined.mean - raw.mean, 0, 'identity', { ofSize: offset + 100 });
          expectClose(combined.standardDeviation - raw.standardDeviation, 0, 'specialFunctionTail', {
            ofSize: 100,
          });
          const reversed = combineGroups([...shifted].reverse().map(describeGroup));
          expectClose(reversed.standardDeviation - combined.standardDeviation, 0, 'specialFunctionTail', {
            ofSize: 100,
          });
        },
      ),
    );
  });

  it('refuses no group and impossible groups', () => {
    expect(() => combineGroups([])).toThrow('groups must hold at least one group; received none');
    expect(() => combineGroups([{ mean: 1, standardDeviation: -1, total: 4 }])).toThrow(
      'groups[0].standardDeviation must be a finite number of at least 0; received -1',
    );
    expect(() => combineGroups([{ mean: 1, standardDeviation: 0, total: 1 }])).toThrow(
      'at least 2 people; received 1',
    );
  });
});

describe('per cent of range', () => {
  it('puts a score on 0 to 100', () => {
    expectClose(percentOfRange(30, { minimum: 12, maximum: 60 }), 37.5, 'identity');
    expectClose(percentOfRange(8, { minimum: 12, maximum: 60 }, { spread: true }), 100 / 6, 'identity');
    expect(() => percentOfRange(61, { minimum: 12, maximum: 60 })).toThrow(
      'value must lie from 12 to 60; received 61',
    );
    expect(() => percentOfRange(1, { minimum: 5, maximum: 5 })).toThrow(
      'maximum must be above minimum (5); received 5',
    );
  });
});
