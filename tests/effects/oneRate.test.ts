// One arm's rate: scales, back-transformation and study intervals.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rateScales } from '../../src/effects/analysisScale.ts';
import { backTransformRate } from '../../src/effects/backTransformRate.ts';
import { estimateRate } from '../../src/effects/estimateRate.ts';
import { estimateRates } from '../../src/effects/estimateRates.ts';
import { isEstimate } from '../../src/effects/isEstimate.ts';
import { rateInterval, rateIntervalMethods } from '../../src/effects/rateInterval.ts';
import { rateToScale } from '../../src/effects/rateToScale.ts';
import { betaCumulative, normalQuantile } from '../../src/numerics/distributions.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
import { numberIn, printedValue, published, recomputedList } from '../published/published.ts';

const counts = fc
  .integer({ min: 1, max: 2000 })
  .chain((total) => fc.record({ events: fc.integer({ min: 0, max: total }), total: fc.constant(total) }));

describe('study intervals against published tables', () => {
  const newcombe = published('newcombe-single-proportion');
  for (const [method, name] of [
    ['wilson', 'Wilson score, no correction (method 3)'],
    ['clopper-pearson', 'Clopper-Pearson exact (method 5)'],
  ] as const) {
    test.each(newcombe.rows.map((row) => [row.case, row] as const))(
      `Newcombe 1998, ${name}, %s`,
      (label, row) => {
        const count = { events: numberIn(row, 'events'), total: numberIn(row, 'total') };
        const { lower, upper } = rateInterval(count, { method });
        const quantity = `95% interval, ${label}`;
        const { printed } = printedValue(newcombe, quantity, name);
        expectPrinted(lower, printed[0]!, { because: 'four decimals are what the table prints' });
        expectPrinted(upper, printed[1]!);
        const [low, high] = recomputedList(newcombe, quantity, name);
        expectClose(lower, low!, 'specialFunctionTail');
        expectClose(upper, high!, 'specialFunctionTail');
      },
    );
  }

  // Counts and exact limits of published series of this field: Overmann 2019 OJSM; Brady 2015 Arthroscopy; Nho 2010 JSES.
  test.each([
    [12, 15085, 'clopper-pearson', '0.041', '0.139'],
    [44, 1083, 'clopper-pearson', '2.97', '5.42'],
    [4, 1083, 'clopper-pearson', '0.101', '0.943'],
    [7, 353, 'wilson', '0.96', '4.04'],
    [0, 23, 'clopper-pearson', '0', '14.8'],
  ] as const)('%i of %i, %s: %s to %s per cent', (events, total, method, lower, upper) => {
    const found = rateInterval({ events, total }, { method });
    if (lower === '0') expect(found.lower).toBe(0);
    else expectPrinted(100 * found.lower, lower);
    expectPrinted(100 * found.upper, upper);
  });

  test('rule of three (Hanley and Lippman-Hand 1983): the exact one-sided 95 % bound is near 3/n and below it', () => {
    for (const total of [30, 100, 300, 1500]) {
      const { upper } = rateInterval({ events: 0, total }, { method: 'clopper-pearson', level: 0.9 });
      expectClose(upper, 1 - 0.05 ** (1 / total), 'specialFunctionTail');
      expect(upper).toBeLessThan(3 / total);
      expect(upper).toBeGreaterThan(2.85 / total);
    }
  });
});

describe('study intervals put back', () => {
  test('Clopper-Pearson limits leave (1 - level)/2 in each exact binomial tail', () => {
    fc.assert(
      fc.property(counts, fc.constantFrom(0.8, 0.95, 0.99), ({ events, total }, level) => {
        const { lower, upper } = rateInterval({ events, total }, { method: 'clopper-pearson', level });
        const tail = (1 - level) / 2;
        // P(X >= x) = I_p(x, n - x + 1); P(X <= x) = I_(1-p)(n - x, x + 1).
        if (events > 0) expectClose(betaCumulative(lower, events, total - events + 1), tail, 'iterative');
        else expect(lower).toBe(0);
        if (events < total)
          expectClose(betaCumulative(1 - upper, total - events, events + 1), tail, 'iterative');
        else expect(upper).toBe(1);
      }),
    );
  });

  test('Wilson limits are where the score statistic is the normal quantile', () => {
    fc.assert(
      fc.property(counts, fc.constantFrom(0.8, 0.95, 0.99), ({ events, total }, level) => {
        const { lower, upper } = rateInterval({ events, total }, { level });
        const z = -normalQuantile((1 - level) / 2);
        for (const limit of [lower, upper]) {
          if (limit === 0 || limit === 1) continue;
          const score = Math.abs(events / total - limit) / Math.sqrt((limit * (1 - limit)) / total);
          expectClose(score, z, 'iterative');
        }
      }),
    );
  });

  test('Jeffreys limits are quantiles of the beta posterior, with the ends of Brown, Cai and DasGupta 2001', () => {
    const { lower, upper } = rateInterval({ events: 3, total: 40 }, { method: 'jeffreys' });
    expectClose(betaCumulative(lower, 3.5, 37.5), 0.025, 'iterative');
    expectClose(betaCumulative(upper, 3.5, 37.5), 0.975, 'iterative');
    expect(rateInterval({ events: 0, total: 40 }, { method: 'jeffreys' }).lower).toBe(0);
    expect(rateInterval({ events: 40, total: 40 }, { method: 'jeffreys' }).upper).toBe(1);
  });

  test.each(rateIntervalMethods)('%s: holds the rate, lies in [0, 1], nests by level, mirrors', (method) => {
    fc.assert(
      fc.property(counts, ({ events, total }) => {
        const at = (level: number) => rateInterval({ events, total }, { method, level });
        const [narrow, wide] = [at(0.9), at(0.99)];
        for (const { lower, upper } of [narrow, wide]) {
          expect(lower).toBeGreaterThanOrEqual(0);
          expect(upper).toBeLessThanOrEqual(1);
          expect(lower).toBeLessThanOrEqual(events / total + 1e-15);
          expect(upper).toBeGreaterThanOrEqual(events / total - 1e-15);
        }
        expect(wide.lower).toBeLessThanOrEqual(narrow.lower);
        expect(wide.upper).toBeGreaterThanOrEqual(narrow.upper);
        const mirrored = rateInterval({ events: total - events, total }, { method, level: 0.9 });
        expectClose(1 - mirrored.lower, narrow.upper, 'iterative', { ofSize: 1 });
      }),
    );
  });
});

describe('scales', () => {
  test.each(rateScales)('%s: the back-transformation is the exact inverse, and rises', (scale) => {
    fc.assert(
      fc.property(counts, ({ events, total }) => {
        const scaled = rateToScale(events, total, scale);
        if (!scaled) return;
        const options = scale === 'double-arcsine' ? { total } : {};
        // The double arcsine at its own size: exact at the count itself (Miller 1978).
        expectClose(backTransformRate(scaled.value, scale, options), events / total, 'iterative', {
          ofSize: 0.01,
        });
        expect(scaled.variance).toBeGreaterThan(0);
      }),
    );
    let before = -1;
    for (let value = -3; value <= 3; value += 0.05) {
      const rate = backTransformRate(value, scale, { total: 40 });
      expect(rate).toBeGreaterThanOrEqual(before);
      expect(rate).toBeGreaterThanOrEqual(0);
      expect(rate).toBeLessThanOrEqual(1);
      before = rate;
    }
  });

  test('variances are those of the delta method: derivative squared times p(1 - p)/n', () => {
    const total = 4000;
    for (const scale of ['raw', 'logit', 'log', 'arcsine'] as const) {
      for (const events of [400, 1600, 3000]) {
        const step = 1e-3;
        const slope =
          (rateToScale(events + step, total, scale)!.value -
            rateToScale(events - step, total, scale)!.value) /
          ((2 * step) / total);
        const rate = events / total;
        expectClose(
          rateToScale(events, total, scale)!.variance,
          (slope ** 2 * rate * (1 - rate)) / total,
          'otherLibrary',
        );
      }
    }
  });

  test('logit and arcsine mirror when events and non-events change places', () => {
    fc.assert(
      fc.property(counts, ({ events, total }) => {
        const logit = rateToScale(events, total, 'logit');
        const other = rateToScale(total - events, total, 'logit');
        if (logit && other) {
          expectClose(other.value, -logit.value, 'identity', { ofSize: 1 });
          expectClose(other.variance, logit.variance, 'identity');
        }
        expectClose(
          rateToScale(events, total, 'arcsine')!.value + rateToScale(total - events, total, 'arcsine')!.value,
          Math.PI / 2,
          'identity',
        );
      }),
    );
  });
});

describe('zero events are decided one by one, never silently', () => {
  const arm = (events: number, total = 20) => ({ study: 'a', label: 'Ardfell 2015', events, total });

  test.each([
    ['raw', 0, 'no events in 20, so the raw scale has no sampling variance'],
    ['logit', 0, 'no events in 20, so the logit scale has no finite value'],
    ['log', 0, 'no events in 20, so the log scale has no finite value'],
    ['raw', 20, 'nothing but events in 20, so the raw scale has no sampling variance'],
    ['logit', 20, 'nothing but events in 20, so the logit scale has no finite value'],
    ['log', 20, 'nothing but events in 20, so the log scale has no sampling variance'],
  ] as const)('%s at %i of 20 is left out with its reason', (scale, events, reason) => {
    expect(estimateRate(arm(events), { scale })).toMatchObject({ reason, count: { events, total: 20 } });
  });

  test.each(['arcsine', 'double-arcsine'] as const)('%s has an estimate at none and at all', (scale) => {
    for (const events of [0, 20]) expect(isEstimate(estimateRate(arm(events), { scale }))).toBe(true);
  });

  test('an amount is added only to arms that need it, and the estimate says so', () => {
    const { estimates } = estimateRates([arm(0), arm(3)], {
      scale: 'logit',
      zeroEvents: { addToEachCell: 0.5 },
    });
    expect(estimates.map(({ addedToEachCell }) => addedToEachCell)).toEqual([0.5, 0]);
    // 0 of 20 with 0.5 in each cell is 0.5 of 21, 2.4 per cent: the pull the caution speaks of.
    expectPrinted(100 * backTransformRate(estimates[0]!.value, 'logit'), '2.4');
    expectClose(estimates[1]!.value, Math.log(3 / 17), 'identity');
    expect(estimates[0]!.count).toEqual({ events: 0, total: 20 });
  });

  test('misuse is refused with name, bound and value', () => {
    expect(() => estimateRate(arm(21))).toThrow(
      'events of Ardfell 2015 must be a whole number from 0 to the total 20, received 21',
    );
    expect(() => estimateRate(arm(1.5))).toThrow('received 1.5');
    expect(() => estimateRate(arm(0, 0))).toThrow(
      'total of Ardfell 2015 must be a whole number of at least 1, received 0',
    );
    expect(() => estimateRate(arm(1), { scale: 'probit' as 'logit' })).toThrow(
      'scale must be one of raw, logit, log, arcsine, double-arcsine; received probit',
    );
    expect(() => estimateRate(arm(1), { zeroEvents: { addToEachCell: 2 } })).toThrow('above 0 and at most 1');
    expect(() => backTransformRate(Number.NaN, 'logit')).toThrow('value must be finite, received NaN');
    expect(() => backTransformRate(1, 'double-arcsine')).toThrow('total must be given and above 0');
    expect(() => rateInterval({ events: 1, total: 2 }, { level: 95 })).toThrow(
      'level must lie between 0 and 1',
    );
  });
});
