import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rateScales } from '../../../src/effects/analysisScale.ts';
import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';
import type { Review } from '../../../src/extraction/review.ts';
import { selectEvents } from '../../../src/extraction/selectEvents.ts';
import { seededUniform } from '../../../src/numerics/seededUniform.ts';
import { meanIntervals, varianceEstimators } from '../../../src/pooling/poolOptions.ts';
import { poolRates } from '../../../src/pooling/poolRates.ts';
import { canGoTogether, fastRatePool } from '../../../src/robustness/choices/fastRatePool.ts';
import { lowQualityStudies } from '../../../src/robustness/choices/lowQualityStudies.ts';
import { rankChoices } from '../../../src/robustness/choices/rankChoices.ts';
import { rateDifference } from '../../../src/robustness/choices/rateDifference.ts';
import { type ChoicesRun, runChoices } from '../../../src/robustness/choices/runChoices.ts';
import { conclusionsOf, shareOfConclusions } from '../../../src/robustness/choices/shareOfConclusions.ts';
import { expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';
import { expectNear } from '../../pooling/estimates.ts';
import { smallReviewRead } from './smallReviewRead.ts';

const { review: demo } = await readReviewFolder('data-extraction/demo');
const review: Review = demo!;
const run = runChoices(review, 'groove-pain', { site: 'subpectoral' });
const difference = runChoices(review, 'groove-pain', { site: 'subpectoral', minus: 'top-of-groove' });

/** The same analysis the long way round: select, pool, read the headline. */
function byPoolRates(of: ChoicesRun, index: number): readonly [number, number, number] | undefined {
  const [m, d, w, n, o, s, z, e, i] = of.analyses[index]!.choices as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const { grid } = of;
  const inclusion = grid.inclusion[n]!;
  const low = inclusion.withoutLowQuality ? lowQualityStudies(review, of.outcome.id) : new Set<string>();
  const { arms } = selectEvents(
    { ...review, studies: review.studies.filter(({ study }) => !low.has(study)) },
    of.outcome.id,
    {
      siteRule: { midGroove: grid.midGroove[m]! },
      definitions: grid.definition[d]!.definitions,
      assessors: grid.definition[d]!.assessors,
      windowMonths: grid.window[w]!.windowMonths,
      designs: inclusion.designs,
      overlapRule: grid.overlap[o]!,
    },
  );
  const estimator = grid.estimator[e]!;
  const pool = (site: string) =>
    poolRates(
      arms.filter((arm) => arm.site === site),
      {
        scale: grid.scale[s]!,
        zeroEvents: grid.zeroEvents[z]!,
        interval: grid.interval[i]!,
        level: of.level,
        ...(estimator === 'common-effect' ? { model: estimator } : { betweenStudyVariance: estimator }),
      },
    ).headline;
  const one = pool(of.target.site);
  if (one === undefined) return undefined;
  if (of.target.minus === undefined) return [one.rate, one.interval.lower, one.interval.upper];
  const other = pool(of.target.minus);
  if (other === undefined) return undefined;
  const { value, lower, upper } = rateDifference(one, other);
  return [value, lower, upper];
}

describe('every analysis', () => {
  it('is what the long way gives, on a random sample of both grids', () => {
    const next = seededUniform(7);
    for (const of of [run, difference]) {
      for (let draw = 0; draw < 40; draw++) {
        const index = Math.floor(next() * of.analyses.length);
        const { value, lower, upper } = of.analyses[index]!;
        const expected = byPoolRates(of, index);
        if (expected === undefined) {
          expect(value).toBeUndefined();
          continue;
        }
        for (const [at, got] of [value, lower, upper].entries())
          expectClose(got, expected[at]!, 'specialFunction', { label: `analysis ${index}`, ofSize: 0.01 });
      }
    }
  });

  it('the first is the protocol as it stands', () => {
    expect(run.analyses[0]!.choices).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0]);
    const { analysis } = review.protocol;
    const pool = poolRates(
      selectEvents(review, 'groove-pain').arms.filter(({ site }) => site === 'subpectoral'),
      { scale: analysis.rateScale, zeroEvents: analysis.zeroEvents, interval: analysis.interval },
    );
    expectClose(run.analyses[0]!.value, pool.headline!.rate, 'specialFunction');
  });

  it('runs the whole product, and counts what it does not run', () => {
    const whole = run.dimensions.reduce((product, { options }) => product * options.length, 1);
    const left = run.notRun.reduce((sum, { combinations }) => sum + combinations, 0);
    expect(run.analyses.length + left).toBe(whole);
    expect(run.analyses.length).toBeGreaterThan(5000);
    expect(new Set(run.analyses.map(({ choices }) => choices.join(' '))).size).toBe(run.analyses.length);
  });

  it('rows in another order give the same answers', () => {
    const turned = runChoices(
      { ...review, events: [...review.events].reverse(), judgements: [...review.judgements].reverse() },
      'groove-pain',
      { site: 'subpectoral' },
    );
    expect(turned.analyses).toEqual(run.analyses);
    // Arms in another order are pooled in another order: the same to rounding.
    const arms = runChoices(
      { ...review, arms: [...review.arms].reverse(), studies: [...review.studies].reverse() },
      'groove-pain',
      { site: 'subpectoral' },
    );
    for (const [index, { value, upper }] of run.analyses.entries()) {
      if (index % 50 !== 0) continue;
      expectClose(arms.analyses[index]!.value, value!, 'iterative');
      expectClose(arms.analyses[index]!.upper, upper!, 'iterative');
    }
  });

  it('a grid declared in another order holds the same analyses', () => {
    const scale = ['arcsine', 'log', 'logit'] as const;
    const turned = runChoices(review, 'groove-pain', { site: 'subpectoral' }, { grid: { scale } });
    const answers = (of: ChoicesRun) => of.analyses.map(({ value }) => value!).sort((a, b) => a - b);
    expect(answers(turned)).toEqual(answers(run));
  });
});

describe('the fast pool', () => {
  const counts = fc.array(
    fc
      .integer({ min: 1, max: 200 })
      .chain((total) => fc.record({ events: fc.integer({ min: 0, max: total }), total: fc.constant(total) })),
    { minLength: 0, maxLength: 7 },
  );

  it('equals poolRates to 1e-12 for every scale, estimator and interval', () => {
    fc.assert(
      fc.property(
        counts,
        fc.constantFrom(...rateScales),
        fc.constantFrom('common-effect' as const, ...varianceEstimators),
        fc.constantFrom(...meanIntervals),
        fc.constantFrom('leave-out' as const, { addToEachCell: 0.5 }),
        fc.constantFrom(0.9, 0.95),
        (rows, scale, estimator, interval, zeroEvents, level) => {
          if (!canGoTogether(estimator, interval)) return;
          const arms = rows.map((row, index) => ({
            ...row,
            study: `s${index}`,
            label: `S ${index}`,
            arm: 'a',
            year: 2000,
            site: 'tenotomy' as const,
            followUpMonths: 24,
            definition: 'd',
            assessor: 'e',
            design: 'case series',
            row: { file: 'events.csv', line: index + 2, locator: 'p' },
          }));
          const { headline } = poolRates(arms, {
            scale,
            zeroEvents,
            interval,
            level,
            ...(estimator === 'common-effect' ? { model: estimator } : { betweenStudyVariance: estimator }),
          });
          const fast = fastRatePool(rows, level).rate(scale, zeroEvents, estimator, interval);
          expect(fast === undefined).toBe(headline === undefined);
          if (fast === undefined || headline === undefined) return;
          expectClose(fast.rate, headline.rate, 'specialFunction');
          // A lower limit may be next to nought: held to the size of a rate then.
          expectNear(fast.interval.lower, headline.interval.lower, 'specialFunction', 1e-3);
          expectClose(fast.interval.upper, headline.interval.upper, 'specialFunction');
        },
      ),
      { numRuns: runs(300) },
    );
  });

  it('a difference has the limits of the published square-and-add method', () => {
    // Newcombe RG, Stat Med 1998;17:873-890, Table II example (a): 56/70 against 48/80, method 10: 0.0524 to 0.3339.
    // Limits of each rate by Wilson, from the single-proportion formula; values from memory.
    const wilson = (events: number, total: number) => {
      const z = 1.959963984540054;
      const centre = (2 * events + z * z) / (2 * (total + z * z));
      const reach = (z * Math.sqrt(z * z + (4 * events * (total - events)) / total)) / (2 * (total + z * z));
      return {
        rate: events / total,
        interval: { lower: centre - reach, upper: centre + reach, level: 0.95 },
      };
    };
    const { value, lower, upper } = rateDifference(wilson(56, 70), wilson(48, 80));
    expectClose(value, 0.2, 'identity', { ofSize: 1 });
    expect([lower.toFixed(4), upper.toFixed(4)]).toEqual(['0.0524', '0.3339']);
  });
});

describe('shares', () => {
  it.each([
    ['a rate, against the protocol', run, {}],
    ['a rate, against a limit', run, { limit: 0.05 }],
    ['a difference', difference, {}],
    ['a difference that matters less', difference, { materialDifference: 0.01 }],
  ] as const)('%s: add up to one, and each is its count over all', (_, of, options) => {
    const shares = shareOfConclusions(of, options);
    expectClose(
      shares.reduce((sum, { share }) => sum + share, 0),
      1,
      'identity',
    );
    expectClose(
      shares.reduce((sum, { shareOfDistinct }) => sum + shareOfDistinct, 0),
      1,
      'identity',
    );
    expect(shares.reduce((sum, { analyses }) => sum + analyses, 0)).toBe(of.analyses.length);
    for (const { analyses, share } of shares) expectClose(share, analyses / of.analyses.length, 'identity');
    expect(shares.filter(({ protocol }) => protocol)).toHaveLength(1);
  });

  it('against a limit: counted by hand', () => {
    const limit = 0.05;
    const [below, unsure, above] = shareOfConclusions(run, { limit });
    const answers = run.analyses;
    expect(below!.analyses).toBe(answers.filter(({ upper }) => upper! < limit).length);
    expect(above!.analyses).toBe(answers.filter(({ lower }) => lower! > limit).length);
    expect(unsure!.analyses).toBe(answers.length - below!.analyses - above!.analyses);
  });

  it('refuses limits that cannot be', () => {
    expect(() => conclusionsOf(run, { limit: 1 })).toThrow('limit must be above 0 and below 1, received 1');
    expect(() => conclusionsOf(difference, { limit: 0.1 })).toThrow('limit is for the rate at one site');
    expect(() => conclusionsOf(run, { materialDifference: 0 })).toThrow('materialDifference must be above 0');
  });
});

describe('ranking', () => {
  // A protocol whose own way is one of those varied, so that the grid has one option where the test asks for one.
  const onLogits: Review = {
    ...review,
    protocol: {
      ...review.protocol,
      analysis: {
        ...review.protocol.analysis,
        interval: 'wald',
        rateScale: 'logit',
        zeroEvents: { addToEachCell: 0.5 },
      },
    },
  };

  it('is the brute-force range of analyses that differ in one choice alone', () => {
    const of = runChoices(
      onLogits,
      'groove-pain',
      { site: 'tenotomy' },
      {
        grid: {
          scale: ['logit', 'arcsine'],
          interval: ['wald'],
          window: [{ name: 'any time', windowMonths: null }],
        },
      },
    );
    const rows = rankChoices(of);
    for (const row of rows) {
      const at = of.dimensions.findIndex(({ id }) => id === row.dimension);
      const groups = new Map<string, number[]>();
      for (const { choices, value } of of.analyses) {
        const key = choices.map((choice, index) => (index === at ? '*' : choice)).join(' ');
        groups.set(key, [...(groups.get(key) ?? []), value!]);
      }
      const ranges = [...groups.values()]
        .filter((values) => values.length > 1)
        .map((values) => Math.max(...values) - Math.min(...values));
      expectClose(
        row.averageRange,
        ranges.reduce((sum, each) => sum + each, 0) / ranges.length,
        'iterative',
        {
          ofSize: 1e-3,
        },
      );
      expectClose(row.largestRange, Math.max(...ranges), 'identity', { ofSize: 1e-3 });
    }
    expect(rows.map(({ averageRange }) => averageRange)).toEqual(
      rows.map(({ averageRange }) => averageRange).sort((a, b) => b - a),
    );
    // One option leaves nothing to choose.
    expect(rows.some(({ dimension }) => dimension === 'interval')).toBe(false);
  });

  it('an interval moves no estimate, but may move a conclusion', () => {
    const row = rankChoices(difference).find(({ dimension }) => dimension === 'interval')!;
    expect(row.averageRange).toBe(0);
    expect(row.changesConclusion).toBeGreaterThan(0);
  });

  it('shares of variance by hand: averages of each option around the whole, over the spread of all', () => {
    const of = runChoices(
      onLogits,
      'groove-pain',
      { site: 'top-of-groove' },
      { grid: { scale: ['logit'], zeroEvents: [{ addToEachCell: 0.5 }], interval: ['wald'] } },
    );
    const values = of.analyses.map(({ value }) => value!);
    const average = (list: readonly number[]) => list.reduce((sum, each) => sum + each, 0) / list.length;
    const spread = average(values.map((value) => (value - average(values)) ** 2));
    for (const { dimension, varianceShare } of rankChoices(of)) {
      const at = of.dimensions.findIndex(({ id }) => id === dimension);
      const between = average(
        of.analyses.map(({ choices }) => {
          const same = of.analyses.filter((other) => other.choices[at] === choices[at]);
          return (average(same.map(({ value }) => value!)) - average(values)) ** 2;
        }),
      );
      expectClose(varianceShare, between / spread, 'iterative', { ofSize: 1e-3 });
    }
  });

  it('shares of variance lie between none and all', () => {
    for (const { varianceShare } of rankChoices(difference)) {
      expect(varianceShare).toBeGreaterThanOrEqual(0);
      expect(varianceShare).toBeLessThanOrEqual(1);
    }
  });
});

describe('low quality', () => {
  it('is an overall judgement of high, serious or critical, or a MINORS sum below half', () => {
    const judged = (
      study: string,
      tool: 'MINORS' | 'RoB 2' | 'ROBINS-I',
      item: string,
      judgement: string,
    ) => ({
      ...review.judgements[0]!,
      study,
      tool,
      item,
      judgement,
      outcome: 'not reported' as const,
    });
    const judgements = [
      judged('high', 'RoB 2', 'overall', 'high'),
      judged('a domain only', 'RoB 2', 'missing outcome data', 'high'),
      judged('critical', 'ROBINS-I', 'overall', 'critical'),
      judged('moderate', 'ROBINS-I', 'overall', 'moderate'),
      judged('half', 'MINORS', 'clear aim', '2'),
      judged('half', 'MINORS', 'consecutive patients', '0'),
      judged('below half', 'MINORS', 'clear aim', '1'),
      judged('below half', 'MINORS', 'consecutive patients', '0'),
      { ...judged('of another outcome', 'RoB 2', 'overall', 'high'), outcome: 'revision' },
    ];
    expect([...lowQualityStudies({ judgements }, 'groove-pain')].sort()).toEqual([
      'below half',
      'critical',
      'high',
    ]);
  });
});

describe('awkward reviews', () => {
  it('a small review with a site nobody reports has analyses and no answers', () => {
    const empty = runChoices(smallReviewRead(), 'revision', { site: 'top-of-groove', minus: 'tenotomy' });
    expect(empty.analyses.length).toBeGreaterThan(0);
    for (const { value, lower } of empty.analyses) if (value === undefined) expect(lower).toBeUndefined();
    expect(JSON.stringify([shareOfConclusions(empty), rankChoices(empty)])).not.toMatch(/null|NaN/);
  });

  it('a review without any row of the outcome', () => {
    const none = runChoices({ ...review, events: [] }, 'groove-pain', { site: 'tenotomy' });
    expect(none.analyses.every(({ value }) => value === undefined)).toBe(true);
    expect(shareOfConclusions(none).at(-1)?.share).toBe(1);
    for (const row of rankChoices(none)) expect(row.averageRange).toBe(0);
  });

  it('misuse throws and says what is allowed', () => {
    expect(() => runChoices(review, 'grove', { site: 'tenotomy' })).toThrow('unknown outcome');
    expect(() => runChoices(review, 'groove-pain', { site: 'groin' as never })).toThrow(
      'site must be one of',
    );
    expect(() => runChoices(review, 'groove-pain', { site: 'tenotomy', minus: 'tenotomy' })).toThrow(
      'minus must be another site',
    );
    expect(() =>
      runChoices(review, 'groove-pain', { site: 'tenotomy' }, { grid: { scales: ['logit'] } as never }),
    ).toThrow('unknown dimension "scales"');
    expect(() => runChoices(review, 'groove-pain', { site: 'tenotomy' }, { grid: { scale: [] } })).toThrow(
      'scale must list at least one option',
    );
  });
});
