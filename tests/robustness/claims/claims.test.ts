import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { betaCumulative } from '../../../src/numerics/distributions.ts';
import { armBalance } from '../../../src/robustness/claims/armBalance.ts';
import { checkClaim } from '../../../src/robustness/claims/checkClaim.ts';
import { claimAgainstPool } from '../../../src/robustness/claims/claimAgainstPool.ts';
import { fisherExact } from '../../../src/robustness/claims/exactTwoArms.ts';
import { informationSize } from '../../../src/robustness/claims/informationSize.ts';
import { peopleRange } from '../../../src/robustness/claims/peopleRange.ts';
import { probabilityLower } from '../../../src/robustness/claims/probabilityLower.ts';
import { readClaim } from '../../../src/robustness/claims/readClaim.ts';
import { shouldersNeeded } from '../../../src/robustness/claims/shouldersNeeded.ts';
import { trialSampleSize } from '../../../src/robustness/claims/trialSampleSize.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';
import { published } from '../../published/published.ts';

interface Reference {
  readonly limits: readonly Record<
    'events' | 'total' | 'lower' | 'upper' | 'oneSidedUpper' | 'jeffreysLower' | 'jeffreysUpper',
    number
  >[];
  readonly fisher: readonly { readonly counts: readonly number[]; readonly p: number }[];
  readonly lower: readonly { readonly counts: readonly number[]; readonly probability: number }[];
  readonly power: readonly {
    readonly rates: readonly [number, number];
    readonly power: number;
    readonly bothArmsVariance: number;
    readonly eachArmVariance: number;
  }[];
  readonly needed: readonly Record<'events' | 'limit' | 'twoSided' | 'oneSided', number>[];
}

const reference = JSON.parse(
  readFileSync(new URL('../../reference/claims.json', import.meta.url), 'utf8'),
) as Reference;

const arms = (counts: readonly number[]) =>
  [
    { events: counts[0]!, total: counts[1]! },
    { events: counts[2]!, total: counts[3]! },
  ] as const;

const count = fc
  .integer({ min: 1, max: 400 })
  .chain((total) => fc.record({ events: fc.integer({ min: 0, max: total }), total: fc.constant(total) }));

describe('limits of one series', () => {
  it.each(reference.limits)('$events of $total: base R binom.test and qbeta', (row) => {
    const checked = checkClaim({ events: row.events, total: row.total });
    const label = `${row.events}/${row.total}`;
    expectClose(checked.exact.lower, row.lower, 'otherLibrary', { label });
    expectClose(checked.exact.upper, row.upper, 'otherLibrary', { label });
    expectClose(checked.oneSided.upper, row.oneSidedUpper, 'otherLibrary', { label });
    // At no events and at nothing but events the equal-tailed limit at the end is set to the end.
    if (row.events > 0) expectClose(checked.bayesian.lower, row.jeffreysLower, 'otherLibrary', { label });
    if (row.events < row.total)
      expectClose(checked.bayesian.upper, row.jeffreysUpper, 'otherLibrary', { label });
  });

  it('published counts at their printed digits', () => {
    // 0/23: Gombera 2015, Am J Sports Med (no deformity in 23); 12/15,085: Overmann 2019 (humeral fracture); 44 and 4
    // of 1,083: Brady 2015, Arthroscopy (revision for any cause, for the biceps). Limits recomputed, from memory.
    expectPrinted(100 * checkClaim({ events: 0, total: 23 }).exact.upper, '14.8');
    const fracture = checkClaim({ events: 12, total: 15_085 });
    expectPrinted(100 * fracture.rate, '0.0795');
    expectPrinted(100 * fracture.exact.lower, '0.041');
    expectPrinted(100 * fracture.exact.upper, '0.139');
    const any = checkClaim({ events: 44, total: 1083 });
    expectPrinted(100 * any.exact.lower, '2.97');
    expectPrinted(100 * any.exact.upper, '5.42');
    const biceps = checkClaim({ events: 4, total: 1083 });
    expectPrinted(100 * biceps.exact.lower, '0.101');
    expectPrinted(100 * biceps.exact.upper, '0.943');
  });

  it('no events: one-sided and two-sided limits against the rule-of-three file', () => {
    const values = published('rule-of-three').recomputed.flatMap((group) => group.values);
    let compared = 0;
    for (const { quantity, method, value } of values) {
      const total = Number(/0\/(\d+)/.exec(quantity)?.[1]);
      if (!(total > 0) || typeof value !== 'number' || method === '3/n') continue;
      const { exact, oneSided } = checkClaim({ events: 0, total });
      if (method.includes('0.025')) expectClose(exact.upper, value, 'specialFunction');
      else if (method.includes('0.05')) expectClose(oneSided.upper, value, 'specialFunction');
      else continue;
      compared += 1;
    }
    expect(compared).toBeGreaterThanOrEqual(14);
  });

  it('duality: the tail at each exact limit is (1 − level) / 2', () => {
    fc.assert(
      fc.property(count, fc.constantFrom(0.8, 0.9, 0.95, 0.99), ({ events, total }, level) => {
        const { exact } = checkClaim({ events, total }, { level });
        const tail = (1 - level) / 2;
        if (events < total)
          expectClose(betaCumulative(1 - exact.upper, total - events, events + 1), tail, 'iterative');
        if (events > 0)
          expectClose(betaCumulative(exact.lower, events, total - events + 1), tail, 'iterative');
      }),
    );
  });
});

describe('shoulders needed', () => {
  it.each(reference.needed)('$events events, under $limit: base R search', (row) => {
    expect(shouldersNeeded(row.events, row.limit)).toBe(row.twoSided);
    expect(shouldersNeeded(row.events, row.limit, { oneSided: true })).toBe(row.oneSided);
  });

  it('is the first size whose exact upper limit reaches the limit', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 20 }),
        fc.double({ min: 0.005, max: 0.9, noNaN: true }),
        (events, limit) => {
          const total = shouldersNeeded(events, limit);
          const upper = (size: number) => checkClaim({ events, total: size }).exact.upper;
          expect(upper(total)).toBeLessThanOrEqual(limit * (1 + 1e-9));
          if (total > Math.max(1, events)) expect(upper(total - 1)).toBeGreaterThan(limit * (1 - 1e-9));
        },
      ),
      { numRuns: runs(60) },
    );
  });

  it('refuses limits and counts that cannot be', () => {
    expect(() => shouldersNeeded(0, 0)).toThrow('limit must be from 0.000001 to below 1, received 0');
    expect(() => shouldersNeeded(-1, 0.1)).toThrow('events must be a whole number of at least 0');
    expect(shouldersNeeded(0, 1e-6)).toBe(3_688_878);
  });
});

describe('two arms', () => {
  it.each(reference.fisher)('$counts: base R fisher.test', ({ counts, p }) => {
    expectClose(fisherExact(...arms(counts)), p, 'otherLibrary');
  });

  it.each(reference.lower)(
    '$counts: probability of the lower rate, base R integrate',
    ({ counts, probability }) => {
      expectClose(probabilityLower(...arms(counts)), probability, 'otherLibrary');
    },
  );

  it('the probabilities of lower and of higher add up to one', () => {
    fc.assert(
      fc.property(count, count, (one, other) => {
        expectClose(probabilityLower(one, other) + probabilityLower(other, one), 1, 'iterative');
      }),
    );
  });

  it('McCrum 2019: 8/530 against 6/996 gives p 0.092 (recomputed; printed there as 0.001)', () => {
    expectPrinted(fisherExact({ events: 8, total: 530 }, { events: 6, total: 996 }), '0.092');
  });

  it('says when arms are too lopsided, in either order', () => {
    const small = { events: 0, total: 12 };
    const large = { events: 44, total: 1083 };
    expect(armBalance(small, large, 0.95)).toEqual(armBalance(large, small, 0.95));
    expect(armBalance(small, large, 0.95).lopsided).toBe(true);
    const even = armBalance({ events: 4, total: 42 }, { events: 15, total: 45 }, 0.95);
    expect(even.lopsided).toBe(false);
    expectClose(even.asGoodAsEach, 2 / (1 / 42 + 1 / 45), 'identity');
  });
});

describe('the next study', () => {
  it('trials of the rates at hand: both arms, 0.05 two-sided, power 0.8', () => {
    // Rates of all trials pooled: 109/401 and 41/410 (Hartland 2022, Am J Sports Med), printed there as 27 % and 10 %.
    expect(trialSampleSize(109 / 401, 41 / 410).bothArms).toBe(154);
    expect(trialSampleSize(0.1, 0.05).bothArms).toBe(864);
    expect(trialSampleSize(0.02, 0.01).bothArms).toBe(4632);
  });

  it.each(reference.power)(
    '$rates at power $power: base R power.prop.test, and the formula by hand',
    (row) => {
      const { power } = row;
      expect(trialSampleSize(...row.rates, { power, variance: 'both-arms' }).eachArm).toBe(
        row.bothArmsVariance,
      );
      expect(trialSampleSize(...row.rates, { power }).eachArm).toBe(row.eachArmVariance);
    },
  );

  it('lacks what is needed less what is held, never below none', () => {
    const size = informationSize(0.1, 0.05, 410);
    expect(size.needed).toBe(864);
    expect(size.lacking).toBe(454);
    expect(informationSize(0.1, 0.05, 5000).lacking).toBe(0);
    expect(informationSize(0.1, 0.05, 0, { diversity: 0.5 }).needed).toBe(1728);
    // A baseline already below the difference: the rate can only rise by it.
    expectClose(informationSize(0.01, 0.05, 0).trial.rates[1], 0.06, 'identity');
  });

  it('refuses what has no answer', () => {
    expect(() => trialSampleSize(0.1, 0.1)).toThrow('the rates must differ');
    expect(() => trialSampleSize(0, 0.1)).toThrow('the first rate must be above 0');
    expect(() => trialSampleSize(0.2, 0.1, { power: 1 })).toThrow('power must be above');
    expect(() => informationSize(0.1, 0.05, 1.5)).toThrow('held must be a whole number');
    expect(() => informationSize(0.1, 0.05, 1, { diversity: 1 })).toThrow('diversity must be from 0');
  });
});

describe('against the pool', () => {
  const pool = [
    { study: 'a', label: 'Norholt 2014', events: 3, total: 48 },
    { study: 'b', label: 'Saltholm 2012', events: 6, total: 82 },
    { study: 'c', label: 'Elmsdorf 2013', events: 0, total: 23 },
    { study: 'd', label: 'Lindvik 2020', events: 5, total: 61 },
  ];

  it('probabilities of at most and at least differ from one by the probability of exactly so many', () => {
    let before = 0;
    let sum = 0;
    for (let events = 0; events <= 15; events++) {
      const placed = claimAgainstPool({ events, total: 15 }, pool);
      if (placed.status !== 'computed') throw new Error(placed.reason);
      expect(placed.atMost).toBeGreaterThanOrEqual(before);
      expectClose(placed.atLeast, 1 - before, 'identity', { ofSize: 1 });
      sum += placed.atMost - before;
      before = placed.atMost;
    }
    expectClose(sum, 1, 'identity');
  });

  it('equals brute-force grids of the same model in base R', () => {
    const file = new URL('../../reference/claimsPredictive.json', import.meta.url);
    const grid = JSON.parse(readFileSync(file, 'utf8')) as {
      readonly events: readonly number[];
      readonly total: readonly number[];
      readonly series: readonly (readonly [number, number])[];
      readonly atMost: readonly number[];
    };
    const counts = grid.events.map((events, at) => ({
      study: `s${at}`,
      label: `S ${at}`,
      events,
      total: grid.total[at]!,
    }));
    for (const [at, [events, total]] of grid.series.entries()) {
      const placed = claimAgainstPool({ events, total }, counts);
      if (placed.status !== 'computed') throw new Error(placed.reason);
      expectClose(placed.atMost, grid.atMost[at]!, 'otherLibrary', { label: `${events} of ${total}` });
    }
  });

  it('calls a series the pool would not expect by its name, and one it would', () => {
    const place = (events: number, total: number) => checkClaim({ events, total }, { pool }).pool;
    expect(place(3, 50)).toMatchObject({ place: 'as expected', arms: 4, studies: 4 });
    expect(place(45, 50)).toMatchObject({ place: 'higher than expected' });
    const many = claimAgainstPool({ events: 0, total: 100_000 }, pool);
    expect(many).toMatchObject({ place: 'lower than expected' });
  });

  it('an empty pool expects nothing and says why', () => {
    const checked = checkClaim({ events: 0, total: 40 }, { pool: [] });
    expect(checked.pool?.status).toBe('not computed');
    expect(checked.further.join(' ')).toContain('cannot say what to expect');
  });
});

describe('words', () => {
  it('no event in 40 is compatible with up to 9 in 100', () => {
    expect(checkClaim({ events: 0, total: 40 }).sentence).toBe(
      'No event in 40 is compatible with up to 9 in 100.',
    );
  });

  it('reads sentences', () => {
    expect(readClaim('0 of 40')).toEqual({ events: 0, total: 40 });
    expect(readClaim('Only 12 out of 15,085 broke: under 1 in 1,000')).toEqual({
      events: 12,
      total: 15_085,
      limit: 0.001,
    });
    expect(readClaim('4/42 against 15 of the 45')).toEqual({
      events: 4,
      total: 42,
      comparator: { events: 15, total: 45 },
    });
    expect(readClaim('0/40, less than 2.5 per cent')).toEqual({ events: 0, total: 40, limit: 0.025 });
    for (const bad of [
      '',
      'none of forty',
      '50 of 40',
      '1 of 2, 1 of 3, 1 of 4',
      '0 of 0',
      '1/2 under 300 %',
    ])
      expect(() => readClaim(bad), bad).toThrow(RangeError);
  });

  it('rounded outwards: the range in people holds the interval, whatever the count', () => {
    fc.assert(
      fc.property(count, ({ events, total }) => {
        const { exact, sentence } = checkClaim({ events, total });
        const range = peopleRange(exact);
        expect(range.lower / range.base).toBeLessThanOrEqual(exact.lower + 1e-9);
        expect(range.upper / range.base).toBeGreaterThanOrEqual(exact.upper - 1e-9);
        expect(sentence).not.toMatch(/NaN|undefined|Infinity/);
      }),
    );
  });

  it('awkward series have an answer', () => {
    expect(checkClaim({ events: 1, total: 1 }).sentence).toContain('as few as 2 in 100');
    expect(checkClaim({ events: 0, total: 1 }).sentence).toContain('up to 98 in 100');
    const both = checkClaim({ events: 0, total: 10, comparator: { events: 0, total: 12 }, limit: 0.5 });
    expect(both.comparison?.fisherP).toBe(1);
    expect(both.limit?.verdict).toBe('supported');
    const low = checkClaim({ events: 0, total: 1_000_000, limit: 1e-6 });
    expect(low.limit?.verdict).toBe('cannot tell');
    expect(() => checkClaim({ events: 2, total: 1 })).toThrow(
      'events must be a whole number from 0 to the total 1',
    );
    expect(() => checkClaim({ events: 0, total: 1, limit: 1 })).toThrow('limit must be from');
    expect(() => checkClaim({ events: 0, total: 1 }, { levle: 0.9 } as never)).toThrow('unknown option');
    const levels = checkClaim({ events: 3, total: 9 }, { level: 0.4 });
    expect(levels.oneSided.upper).toBe(levels.exact.upper);
  });
});
