import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quotedFixes } from '../../../src/pooling/quoted/quotedOptions.ts';
import { quotedRate, quotedRates, toldDifferently } from '../../../src/pooling/quoted/quotedRate.ts';
import { rateContext } from '../../../src/pooling/quoted/rateContext.ts';
import { rateMethods } from '../../../src/pooling/quoted/rateMethods.ts';
import { expectClose } from '../../helpers/close.ts';
import { armsOf } from './quotedHelpers.ts';

const rare = armsOf([
  [1, 50],
  [0, 60],
  [3, 72],
  [0, 85],
  [1, 100],
  [2, 115],
  [0, 130],
  [5, 150],
]);
const common = armsOf([
  [10, 40],
  [22, 51],
  [8, 66],
  [30, 90],
  [25, 45],
  [12, 80],
]);

describe('the number that is quoted for a rate', () => {
  it('rare events: the mean of the studies, with the median study and DerSimonian-Laird beside it', () => {
    const quoted = quotedRate(rare);
    expect(quoted).toMatchObject({
      estimand: 'mean of studies',
      method: 'beta-binomial-profile-calibrated',
      because: 'rare',
      arms: 8,
      events: 12,
      shoulders: 762,
    });
    expect(quoted.why).toContain('12 events in 762 shoulders of 8 arms');
    expect(quoted.others.map(({ estimand }) => estimand)).toEqual([
      'mean of studies',
      'median study',
      'centre on the scale',
    ]);
    const [, median] = quoted.others;
    expect(median!.rate!).toBeLessThan(quoted.rate!);
  });

  it('enough events: DerSimonian-Laird, with the mean and the median of the studies beside it', () => {
    const quoted = quotedRate(common);
    expect(quoted).toMatchObject({
      estimand: 'centre on the scale',
      method: 'dersimonian-laird-arcsine-truncated-hartung-knapp',
      because: 'meets-target',
    });
    expect(quoted.others.map(({ estimand }) => estimand)).toEqual([
      'mean of studies',
      'mean of studies',
      'median study',
    ]);
  });

  it('one arm, and no events: one series with its exact interval, and what that assumes', () => {
    const one = quotedRate(rare.slice(0, 1));
    expect(one).toMatchObject({
      estimand: 'one series',
      rate: 1 / 50,
      because: 'one-arm',
      prediction: undefined,
    });
    const none = quotedRate(rare.filter(({ events }) => events === 0));
    expect(none).toMatchObject({ estimand: 'one series', rate: 0, because: 'no-events' });
    expectClose(none.interval!.upper, 1 - 0.025 ** (1 / 275), 'specialFunction');
    expect(none.why).toContain('if the studies share one rate');
    expect(none.cautions.map(({ code }) => code)).toContain('no-events');
    const single = quotedRate(armsOf([[0, 20]]));
    expect(single.why).not.toContain('share one rate');
    expect(
      quotedRate(
        armsOf([
          [20, 20],
          [5, 5],
        ]),
      ).because,
    ).toBe('only-events');
  });

  it('no arms: no number', () => {
    expect(quotedRate([])).toMatchObject({
      rate: undefined,
      interval: undefined,
      because: 'nothing-to-pool',
    });
  });

  it('few arms: the same estimand, and posteriors beside it that name their priors', () => {
    const quoted = quotedRate(rare.slice(0, 3));
    expect(quoted.estimand).toBe('mean of studies');
    expect(quoted.method).toContain('posterior');
    const posteriors = [quoted, ...quoted.others].filter(({ method }) => method.includes('posterior'));
    expect(posteriors.map(({ methodName }) => methodName.match(/normal\(0, [\d.]+²\)/)?.[0])).toEqual([
      'normal(0, 10²)',
      'normal(0, 2.5²)',
    ]);
    expect(quoted.cautions.map(({ code }) => code)).toContain('fewer-than-five-studies');
  });

  it('the likelihood without a limit: the posterior, which says that it leans on its priors', () => {
    const quoted = quotedRate(
      armsOf([
        [0, 30],
        [30, 30],
      ]),
    );
    expect(quoted.rate).toBeDefined();
    expect(quoted.interval).toBeDefined();
    if (quoted.because === 'no-limit') expect(quoted.why).toContain('priors');
  });

  it('fixed by the protocol: DerSimonian-Laird as stated', () => {
    const quoted = quotedRate(rare, {
      fixed: 'dersimonian-laird',
      derSimonianLaird: { scale: 'logit', zeroEvents: { addToEachCell: 0.5 }, interval: 'wald' },
    });
    expect(quoted).toMatchObject({
      because: 'fixed',
      method: 'dersimonian-laird-logit-half-added-wald',
      estimand: 'centre on the scale',
    });
    // Its measured coverage is far below what it claims: that is what is printed beside it.
    expect(quoted.coverage!.least).toBeLessThan(0.9);
    expect(quotedRate(rare).coverage!.least).toBeGreaterThan(0.92);
    const other = quotedRate(rare, {
      fixed: 'dersimonian-laird',
      derSimonianLaird: { scale: 'logit', zeroEvents: { addToEachCell: 0.25 }, interval: 'wald' },
    });
    expect(other).toMatchObject({ method: 'dersimonian-laird-as-stated', coverage: undefined });
  });

  it('options: unknown ones are errors that name those allowed', () => {
    expect(quotedFixes).toEqual(['by-rule', 'dersimonian-laird']);
    expect(() => quotedRate(rare, { fixed: 'best' as 'by-rule' })).toThrow(
      /fixed must be one of by-rule, dersimonian-laird/,
    );
    expect(() => quotedRate(rare, { alpha: 0.05 } as object)).toThrow(
      /unknown option "alpha", the options are level/,
    );
    expect(() => quotedRate(rare, { derSimonianLaird: { scale: 'raw' as 'logit' } })).toThrow(
      /arcsine, logit/,
    );
    expect(() => quotedRate(rare, { derSimonianLaird: { zero: 1 } as object })).toThrow(
      /scale, zeroEvents, interval/,
    );
    expect(() => quotedRate(rare, { level: 95 })).toThrow(/level/);
    expect(() => quotedRate(armsOf([[5, 4]]))).toThrow(RangeError);
  });
});

describe('one outcome, one method, one estimand', () => {
  it('one rare site: every site by the one-step model', () => {
    const alone = quotedRate(common);
    expect(alone.estimand).toBe('centre on the scale');
    const { sites, method, estimand, head } = quotedRates(
      new Map([
        ['suprapectoral', rare],
        ['tenotomy', common],
      ]),
    );
    expect(estimand).toBe('mean of studies');
    expect(head).toContain('Mean of the studies');
    for (const site of sites.values()) expect(site).toMatchObject({ method, estimand });
    expect(sites.get('tenotomy')!.because).toBe('other-site');
    // The DerSimonian-Laird number of that site is what it was.
    expect(sites.get('tenotomy')!.others.find(({ method: m }) => m === alone.method)?.rate).toBe(alone.rate);
  });

  it('no rare site: DerSimonian-Laird at all of them', () => {
    const { sites, estimand } = quotedRates(
      new Map([
        ['a', common],
        ['b', common],
        ['c', common.slice(0, 1)],
      ]),
    );
    expect(estimand).toBe('centre on the scale');
    expect([...sites.values()].map((site) => site.estimand)).toEqual([
      'centre on the scale',
      'centre on the scale',
      'one series',
    ]);
  });

  it('fixed: DerSimonian-Laird in the head', () => {
    const { estimand } = quotedRates(new Map([['a', rare]]), { fixed: 'dersimonian-laird' });
    expect(estimand).toBe('centre on the scale');
  });
});

describe('where theory says that two methods agree', () => {
  it('no deviation: mean and median of studies are one number', () => {
    const same = armsOf([
      [5, 100],
      [5, 100],
      [5, 100],
      [5, 100],
      [5, 100],
    ]);
    const context = rateContext(same);
    expect(context.median()!.peak.s).toBe(0);
    expectClose(context.mean()!.peak.t, context.median()!.peak.t, 'identity');
    expectClose(context.mean()!.peak.t, Math.log(0.05 / 0.95), 'iterative');
    expectClose(rateMethods['beta-binomial-profile-f'].estimate(context, 0.95)!.rate, 0.05, 'iterative');
  });

  it('large arms: the profile of the median study with the t-test cut-off is the t interval of the logits', () => {
    const rates = [0.11, 0.23, 0.17, 0.31, 0.08, 0.19];
    const total = 1e9;
    const arms = armsOf(rates.map((rate) => [Math.round(rate * total), total]));
    const { rate, interval } = rateMethods['median-study-profile-t-test'].estimate(rateContext(arms), 0.95)!;
    const logits = rates.map((p) => Math.log(p / (1 - p)));
    const mean = logits.reduce((a, b) => a + b) / 6;
    const deviation = Math.sqrt(logits.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 5);
    // t(0.975, 5) as tables print it.
    const margin = (2.570582 * deviation) / Math.sqrt(6);
    const back = (x: number): number => 1 / (1 + Math.exp(-x));
    expectClose(rate, back(mean), 'otherLibrary');
    expectClose(interval!.lower, back(mean - margin), 'otherLibrary');
    expectClose(interval!.upper, back(mean + margin), 'otherLibrary');
  });

  it('told differently: more than a tenth apart, in events or in shoulders without', () => {
    expect(toldDifferently(0.1, 0.11)).toBe(false);
    expect(toldDifferently(0.1, 0.1101)).toBe(true);
    expect(toldDifferently(0.9, 0.89)).toBe(false);
    expect(toldDifferently(0.9, 0.8899)).toBe(true);
    expect(toldDifferently(undefined, 0.1)).toBe(false);
  });
});

describe('for any counts', () => {
  const anyArm = fc
    .integer({ min: 1, max: 400 })
    .chain((total) =>
      fc.tuple(
        fc.oneof(
          fc.constant(0),
          fc.integer({ min: 0, max: Math.min(total, 6) }),
          fc.integer({ min: 0, max: total }),
        ),
        fc.constant(total),
      ),
    );
  const anyArms = fc.array(anyArm, { minLength: 1, maxLength: 12 });

  it('a rate within its interval within its prediction, no NaN anywhere, and the same in any order', () => {
    fc.assert(
      fc.property(anyArms, (rows) => {
        const arms = armsOf(rows);
        const quoted = quotedRate(arms);
        const numbers = JSON.stringify(quoted, (_, value) =>
          typeof value === 'number' && !Number.isFinite(value) ? 'not a number' : value,
        );
        expect(numbers).not.toContain('not a number');
        for (const { rate, interval } of [quoted, ...quoted.others]) {
          if (rate === undefined || !interval) continue;
          expect(interval.lower).toBeLessThanOrEqual(rate + 1e-12);
          expect(interval.upper).toBeGreaterThanOrEqual(rate - 1e-12);
          expect(interval.lower).toBeGreaterThanOrEqual(0);
          expect(interval.upper).toBeLessThanOrEqual(1);
        }
        expect(quoted.interval).toBeDefined();
        if (quoted.prediction) {
          expect(quoted.prediction.lower).toBeLessThanOrEqual(quoted.interval!.lower);
          expect(quoted.prediction.upper).toBeGreaterThanOrEqual(quoted.interval!.upper);
        }
        const reversed = quotedRate(armsOf([...rows].reverse()));
        expect(reversed.method).toBe(quoted.method);
        expectClose(reversed.rate, quoted.rate!, 'otherLibrary', { ofSize: 1e-3 });
      }),
      { numRuns: 60 },
    );
  });

  it('events and shoulders without change places: so do the limits', () => {
    fc.assert(
      fc.property(anyArms, (rows) => {
        const quoted = quotedRate(armsOf(rows));
        const mirrored = quotedRate(armsOf(rows.map(([events, total]) => [total - events, total])));
        // The prior of the mean is symmetric, too.
        const pairs = [
          [mirrored.rate, quoted.rate],
          [mirrored.interval!.upper, quoted.interval!.lower],
          [mirrored.interval!.lower, quoted.interval!.upper],
        ] as const;
        for (const [other, one] of pairs) expect(Math.abs(1 - other! - one!)).toBeLessThan(1e-7);
      }),
      { numRuns: 40 },
    );
  });
});
