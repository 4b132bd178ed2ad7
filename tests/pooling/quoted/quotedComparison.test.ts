import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { petoHolds, quotedComparison } from '../../../src/pooling/quoted/quotedComparison.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import type { TwoArmTable } from '../../../src/pooling/rareEvents/twoArmTable.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { published } from '../../published/published.ts';
import { tablesOf } from './quotedHelpers.ts';

const rosiglitazone: TwoArmTable[] = published('rosiglitazone-rare-events').rows.map((row) => ({
  study: String(row.trial),
  label: String(row.trial),
  treated: { events: Number(row.infarctionsTreated), total: Number(row.totalTreated) },
  comparator: { events: Number(row.infarctionsComparator), total: Number(row.totalComparator) },
  rows: [],
}));

const table = (treated: [number, number], comparator: [number, number]) => ({ treated, comparator });
const frequent = tablesOf([
  table([12, 60], [20, 58]),
  table([9, 45], [14, 50]),
  table([30, 120], [41, 118]),
  table([6, 40], [11, 41]),
  table([15, 90], [16, 88]),
]);

describe('the 42 published trials of rosiglitazone (Nissen & Wolski 2007)', () => {
  const quoted = quotedComparison(rosiglitazone);

  it('1.43, over the 38 trials with an infarction, by the model that lets trials differ', () => {
    expectPrinted(quoted.effect, '1.43');
    expect(quoted).toMatchObject({
      estimand: 'median study',
      method: 'hypergeometric-normal-profile-t-test',
      because: 'few-events',
      tables: 42,
      informative: 38,
      treatedEvents: 86,
      comparatorEvents: 72,
    });
    // A little wider than the printed 1.03 to 1.98: the rule follows coverage.
    expect(quoted.interval!.lower).toBeGreaterThan(1);
    expect(quoted.interval!.lower).toBeLessThan(1.03);
    expect(quoted.interval!.upper).toBeGreaterThan(1.98);
    expect(quoted.interval!.upper).toBeLessThan(2.1);
  });

  it.each(['mantel-haenszel-odds-ratio', 'peto', 'conditional-maximum-likelihood'])(
    '%s beside it, as an answer about a common effect: 1.43 (1.03 to 1.98)',
    (method) => {
      const other = quoted.others.find((answer) => answer.method === method)!;
      expect(other.estimand).toBe('common effect');
      expectPrinted(other.effect, '1.43');
      expectPrinted(other.interval!.lower, '1.03');
      expectPrinted(other.interval!.upper, '1.98');
    },
  );

  it('DerSimonian-Laird is shown, with nothing added and the trials it cannot use left out', () => {
    const other = quoted.others.find(({ method }) => method.startsWith('dersimonian-laird'))!;
    expect(other.methodName).toContain('left out');
    expect(other.effect!).toBeLessThan(1.35);
  });

  it('conditional likelihood against the library’s own entry for it', () => {
    const other = quoted.others.find(({ method }) => method === 'conditional-maximum-likelihood')!;
    const pool = poolTwoArms(rosiglitazone, { method: 'conditional-maximum-likelihood' });
    expect(other.effect).toBe(pool.natural!.value);
  });
});

describe('the number that is quoted for a comparison', () => {
  it('events enough in every arm: DerSimonian-Laird', () => {
    expect(quotedComparison(frequent)).toMatchObject({
      estimand: 'centre on the scale',
      method: 'dersimonian-laird-odds-ratio-nothing-added-truncated-hartung-knapp',
      because: 'meets-target',
    });
    expect(quotedComparison(frequent, { measure: 'risk-ratio' }).method).toContain(
      'risk-ratio-nothing-added',
    );
    expect(quotedComparison(frequent, { measure: 'risk-difference' }).method).toContain(
      'risk-difference-nothing',
    );
  });

  it('models that do not hold the study effect are never quoted nor shown as if they did', () => {
    for (const tables of [rosiglitazone, frequent]) {
      const { method, others } = quotedComparison(tables);
      for (const name of [method, ...others.map((other) => other.method)]) {
        expect(name).not.toMatch(/beta-binomial|random-intercepts|one-series/);
      }
    }
  });

  it('rare risk ratio: the conditional binomial-normal model, close to the odds ratio', () => {
    const ratio = quotedComparison(rosiglitazone, { measure: 'risk-ratio' });
    expect(ratio).toMatchObject({
      estimand: 'median study',
      method: 'conditional-binomial-normal-profile-t-test',
    });
    // Without differences between trials its maximum is that of one rate ratio given sums of events: close to Mantel-Haenszel.
    const other = ratio.others.find(({ method }) => method === 'mantel-haenszel-risk-ratio')!;
    expect(Math.abs(Math.log(ratio.effect! / other.effect!))).toBeLessThan(0.01);
  });

  it('rare risk difference: Mantel-Haenszel, named as an effect that studies share', () => {
    expect(quotedComparison(rosiglitazone, { measure: 'risk-difference' })).toMatchObject({
      estimand: 'common effect',
      method: 'mantel-haenszel-risk-difference',
      because: 'no-one-step-model',
      prediction: undefined,
    });
  });

  it('all events in one kind of arm: a limit on one side and no number', () => {
    const quoted = quotedComparison(tablesOf([table([3, 20], [0, 20]), table([2, 30], [0, 31])]));
    expect(quoted).toMatchObject({ effect: undefined, interval: undefined, because: 'no-finite-estimate' });
    expect(quoted.oneSidedLimit).toMatchObject({ side: 'lower' });
    expect(quoted.oneSidedLimit!.natural).toBeGreaterThan(1);
  });

  it('one study, none with an event, none at all', () => {
    expect(quotedComparison(frequent.slice(0, 1))).toMatchObject({
      because: 'one-study',
      estimand: 'common effect',
    });
    const none = quotedComparison(tablesOf([table([0, 20], [0, 20])]));
    expect(none).toMatchObject({ because: 'no-events', effect: undefined });
    expect(quotedComparison([])).toMatchObject({ because: 'nothing-to-pool', effect: undefined });
  });

  it('studies without an event change nothing', () => {
    const without = rosiglitazone.filter(({ treated, comparator }) => treated.events + comparator.events > 0);
    expect(without).toHaveLength(38);
    const some = quotedComparison(without);
    const all = quotedComparison(rosiglitazone);
    expect([some.effect, some.interval]).toEqual([all.effect, all.interval]);
  });

  it('fixed by the protocol, and options that are not there', () => {
    const quoted = quotedComparison(rosiglitazone, {
      fixed: 'dersimonian-laird',
      derSimonianLaird: { zeroEvents: 'leave-out', interval: 'wald' },
    });
    expect(quoted).toMatchObject({
      because: 'fixed',
      method: 'dersimonian-laird-odds-ratio-nothing-added-wald',
    });
    // What this pool printed before, over the 12 trials with an infarction in both arms.
    expectPrinted(quoted.effect, '1.29');
    expectPrinted(quoted.interval!.lower, '0.90', { because: 'as printed' });
    expectPrinted(quoted.interval!.upper, '1.85');
    expect(() => quotedComparison(frequent, { measure: 'hazard-ratio' as 'odds-ratio' })).toThrow(
      /measure must be one of odds-ratio, risk-ratio, risk-difference/,
    );
    expect(() => quotedComparison(frequent, { scale: 'logit' } as object)).toThrow(/unknown option "scale"/);
    expect(() => quotedComparison(tablesOf([table([3, 2], [1, 4])]))).toThrow(RangeError);
  });

  it('conditions of Peto’s method', () => {
    expect(petoHolds(rosiglitazone, 1.43)).toBe(true);
    expect(petoHolds(rosiglitazone, 2.01)).toBe(false);
    expect(petoHolds(rosiglitazone, undefined)).toBe(false);
    expect(petoHolds(frequent, 1)).toBe(false);
    expect(petoHolds(tablesOf([table([1, 300], [1, 100])]), 1)).toBe(false);
    expect(petoHolds(tablesOf([table([1, 200], [1, 100])]), 1)).toBe(true);
  });
});

describe('for any tables', () => {
  const anyArm = fc
    .integer({ min: 1, max: 200 })
    .chain((total) =>
      fc.tuple(
        fc.oneof(fc.integer({ min: 0, max: Math.min(5, total) }), fc.integer({ min: 0, max: total })),
        fc.constant(total),
      ),
    );
  const anyTables = fc.array(fc.tuple(anyArm, anyArm), { minLength: 1, maxLength: 8 });

  it('the effect within its interval within its prediction, no NaN, and arms that change places turn the ratio over', () => {
    fc.assert(
      fc.property(anyTables, (rows) => {
        const tables = tablesOf(rows.map(([treated, comparator]) => ({ treated, comparator })));
        const quoted = quotedComparison(tables);
        const text = JSON.stringify(quoted, (_, value) =>
          typeof value === 'number' && !Number.isFinite(value) ? 'not a number' : value,
        );
        expect(text).not.toContain('not a number');
        const { effect, interval, prediction } = quoted;
        if (interval) {
          expect(interval.lower).toBeLessThanOrEqual(effect! * (1 + 1e-9));
          expect(interval.upper).toBeGreaterThanOrEqual(effect! * (1 - 1e-9));
          if (prediction) {
            expect(prediction.lower).toBeLessThanOrEqual(interval.lower);
            expect(prediction.upper).toBeGreaterThanOrEqual(interval.upper);
          }
        }
        const turned = quotedComparison(
          tables.map(({ treated, comparator, ...rest }) => ({
            ...rest,
            treated: comparator,
            comparator: treated,
          })),
        );
        expect(turned.method).toBe(quoted.method);
        expect(turned.effect === undefined).toBe(effect === undefined);
        if (effect !== undefined) expectClose(1 / turned.effect!, effect, 'otherLibrary');
        if (interval && turned.interval)
          expectClose(1 / turned.interval.upper, interval.lower, 'otherLibrary');
      }),
      { numRuns: 60 },
    );
  });
});
