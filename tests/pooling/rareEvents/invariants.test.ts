import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import type { TwoArmOptions } from '../../../src/pooling/rareEvents/twoArmOptions.ts';
import type { TwoArmTable } from '../../../src/pooling/rareEvents/twoArmTable.ts';
import { everyChoice, everyNumberFinite, named, near, table, tablesOf } from './rareEventsHelpers.ts';

const swapArms = (tables: readonly TwoArmTable[]): TwoArmTable[] =>
  tables.map((entry) => ({ ...entry, treated: entry.comparator, comparator: entry.treated }));
const swapEvents = (tables: readonly TwoArmTable[]): TwoArmTable[] =>
  tables.map((entry) => ({
    ...entry,
    treated: { events: entry.treated.total - entry.treated.events, total: entry.treated.total },
    comparator: { events: entry.comparator.total - entry.comparator.events, total: entry.comparator.total },
  }));
const reordered = (tables: readonly TwoArmTable[]): TwoArmTable[] => [
  ...tables.slice(3),
  ...tables.slice(0, 3).reverse(),
];
const without = tablesOf('sparse').filter(
  ({ treated, comparator }) => treated.events + comparator.events > 0,
);
const doubleZero = table('Marsh 2022', [0, 40], [0, 35]);
const iterated = 1e-8;

/** Runs of a property. Each choice draws its own data, or all would look at the same few. */
const runsOf = (options: TwoArmOptions, numRuns: number): fc.Parameters<unknown> => {
  const { seed } = fc.readConfigureGlobal() ?? {};
  return { numRuns, ...(seed === undefined ? {} : { seed: seed + everyChoice.indexOf(options) }) };
};

describe.each(everyChoice.map((options) => [named(options), options] as const))('%s', (_name, options) => {
  const of = (tables: readonly TwoArmTable[]) => poolTwoArms(tables, options);

  it.each(['sparse', 'streptokinase', 'tolbutamide'])(
    'does not depend on the order of studies: %s',
    (name) => {
      const [one, other] = [of(tablesOf(name)), of(reordered(tablesOf(name)))];
      near(other.value, one.value!, iterated, 'value');
      near(other.standardError, one.standardError!, iterated, 'standard error');
      near(other.interval!.lower, one.interval!.lower, iterated, 'lower');
      near(other.interval!.upper, one.interval!.upper, iterated, 'upper');
    },
  );

  it.each(['sparse', 'streptokinase', 'tolbutamide'])(
    'turns its sign when the arms are swapped: %s',
    (name) => {
      const [one, other] = [of(tablesOf(name)), of(swapArms(tablesOf(name)))];
      near(other.value, -one.value!, iterated, 'value');
      near(other.standardError, one.standardError!, iterated, 'standard error');
      near(other.interval!.lower, -one.interval!.upper, iterated, 'lower');
      near(other.interval!.upper, -one.interval!.lower, iterated, 'upper');
      if (one.pValue !== undefined) near(other.pValue, one.pValue, 1e-7, 'p');
      if (one.betweenStudyDeviation !== undefined) {
        near(other.betweenStudyDeviation, one.betweenStudyDeviation, 1e-7, 'deviation');
      }
    },
  );

  if (options.measure !== 'risk-ratio') {
    it.each(['sparse', 'streptokinase'])('turns its sign when events become non-events: %s', (name) => {
      const [one, other] = [of(tablesOf(name)), of(swapEvents(tablesOf(name)))];
      near(other.value, -one.value!, iterated, 'value');
      near(other.standardError, one.standardError!, iterated, 'standard error');
      near(other.interval!.lower, -one.interval!.upper, iterated, 'lower');
    });
  }

  it('does with a study without events what it says it does', () => {
    const [none, one, two] = [
      of(without),
      of([...without, doubleZero]),
      of([...without, doubleZero, { ...doubleZero, study: 'Marsh 2023' }]),
    ];
    expect(none.doubleZero).toEqual([]);
    expect(one.doubleZero).toHaveLength(1);
    expect(two.doubleZero).toHaveLength(2);
    const [report] = one.doubleZero;
    expect(report).toMatchObject({ study: 'Marsh 2022', cells: 'no-events' });
    if (report!.carriesInformation) {
      expect(report!.treatment).toMatch(/^used: /);
      expect(one.value).not.toBe(none.value);
      expect(one.studies).toBe(none.studies + 1);
    } else {
      expect(report!.treatment).toMatch(/^kept in the list; adds nothing/);
      for (const other of [one, two]) {
        near(other.value, none.value!, 1e-13, 'value');
        near(other.standardError, none.standardError!, 1e-13, 'standard error');
        near(other.interval!.lower, none.interval!.lower, 1e-13, 'lower');
        expect(other.studies).toBe(none.studies);
      }
    }
  });

  it('agrees between interval and p-value', () => {
    for (const name of ['sparse', 'streptokinase', 'tolbutamide', 'bcg']) {
      const { interval, pValue } = of(tablesOf(name));
      const excludes = interval!.lower > 0 || interval!.upper < 0;
      expect(pValue! < 0.05).toBe(excludes);
      // At the coverage that just reaches no effect the p-value is what is left.
      if (!(pValue! > 1e-6 && pValue! < 0.9)) continue;
      const touching = poolTwoArms(tablesOf(name), { ...options, level: 1 - pValue! }).interval!;
      const edge = Math.abs(touching.lower) < Math.abs(touching.upper) ? touching.lower : touching.upper;
      expect(Math.abs(edge), `${name}: ${edge}`).toBeLessThan(1e-7);
    }
  });

  it('answers one study, and says that it is one', () => {
    const one = of([table('Harbour 2019', [3, 40], [7, 38])]);
    everyNumberFinite(one);
    expect(one.value).toBeTypeOf('number');
    expect(one.value! < 0).toBe(true);
    expect(one.cautions.map(({ code }) => code)).toContain('one-study');
    expect(one.betweenStudyDeviation).toBeUndefined();
    expect(one.overdispersion).toBeUndefined();
    expect(one.reason ?? '').not.toContain('share one effect');
  });

  it('gives no number that is not one, whatever the counts', () => {
    const count = fc.integer({ min: 1, max: 14 }).chain((total) =>
      fc.record({
        events: fc.oneof(fc.constant(0), fc.constant(total), fc.integer({ min: 0, max: total })),
        total: fc.constant(total),
      }),
    );
    fc.assert(
      fc.property(fc.array(fc.record({ treated: count, comparator: count }), { maxLength: 5 }), (arms) => {
        const tables = arms.map((entry, index) => ({
          ...entry,
          study: `s${index}`,
          label: `Study ${index}`,
          rows: [],
        }));
        const result = of(tables);
        everyNumberFinite(result);
        const answered = result.status === 'estimated' || result.status === 'boundary';
        expect(result.value !== undefined).toBe(answered);
        expect(result.standardError !== undefined && result.interval !== undefined).toBe(answered);
        expect(result.reason === undefined).toBe(result.status === 'estimated');
        if (answered) {
          expect(result.standardError).toBeGreaterThan(0);
          expect(result.interval!.lower).toBeLessThan(result.value!);
          expect(result.interval!.upper).toBeGreaterThan(result.value!);
        } else expect(result.cautions.length).toBeGreaterThan(0);
      }),
      runsOf(options, 40),
    );
  });
});
