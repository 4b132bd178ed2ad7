import { describe, expect, it } from 'vitest';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../../src/comparison/network/networkFromCounts.ts';
import { penalisedNetwork } from '../../../src/comparison/network/penalisedNetwork.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import { comparePairs, pairMeasures } from '../../../src/comparison/pairs/comparePairs.ts';
import { contrastSingleArms } from '../../../src/comparison/pairs/singleArmContrast.ts';
import { siteLayers } from '../../../src/comparison/pairs/siteLayers.ts';
import { subgroupDifferences } from '../../../src/comparison/pairs/subgroupDifferences.ts';
import { oddsRatio } from '../../../src/effects/twoRates.ts';
import { pooledSites } from '../../../src/extraction/site.ts';
import { notAComparison, poolBySite } from '../../../src/pooling/poolBySite.ts';
import { expectAllClose, expectAllPrinted, expectClose, expectPrinted } from '../../helpers/close.ts';
import {
  numberIn,
  printedValue,
  published,
  recomputedList,
  recomputedNumber,
} from '../../published/published.ts';
import { armsOf } from '../network/examples.ts';

// Borenstein et al. 2009, chapter 19 (from memory).
describe('two subgroups of five studies', () => {
  const example = published('textbook-subgroups');
  const groups = ['A', 'B'].map((name) => ({
    name,
    estimates: example.rows
      .filter(({ subgroup }) => subgroup === name)
      .map((row) => ({
        study: String(row.study),
        label: String(row.study),
        value: numberIn(row, 'effect'),
        variance: numberIn(row, 'variance'),
        scale: 'plain' as const,
        addedToEachCell: 0,
        rows: [],
      })),
  }));
  const { commonEffect, separateVariances, commonVariance } = subgroupDifferences(groups);

  it('means, Q between and the shared variance as printed', () => {
    for (const [i, name] of ['A', 'B'].entries()) {
      expectPrinted(
        commonEffect.groups[i]!.value,
        printedValue(example, `pooled effect, subgroup ${name}`).printed as string,
      );
      expectPrinted(
        commonEffect.groups[i]!.standardError,
        printedValue(example, `standard error, subgroup ${name}`).printed as string,
      );
    }
    expectPrinted(commonEffect.q, printedValue(example, 'Q between subgroups').printed as string);
    expectPrinted(Math.sqrt(commonEffect.q), printedValue(example, 'z of the difference').printed as string);
    expectPrinted(
      commonVariance.groups[0]!.betweenStudyVariance,
      printedValue(example, 'between-study variance pooled over subgroups').printed as string,
    );
    expectAllPrinted([commonEffect.q], [printedValue(example, 'Q between subgroups').printed as string]);
  });

  it('separate and common variance as recomputed at 40 digits', () => {
    for (const [test, method] of [
      [separateVariances, 'random effects, separate variances'],
      [commonVariance, 'random effects, pooled variance'],
    ] as const) {
      expectClose(test.q, recomputedNumber(example, 'Q between subgroups', method), 'specialFunctionTail');
      expectClose(test.pValue, recomputedNumber(example, 'p of Q between', method), 'specialFunctionTail');
      for (const [i, name] of ['A', 'B'].entries())
        expectAllClose(
          [test.groups[i]!.value, test.groups[i]!.standardError],
          recomputedList(example, `pooled effect and standard error, subgroup ${name}`, method),
          'specialFunctionTail',
        );
    }
  });

  it('an empty subgroup is named and a single one is not tested', () => {
    const one = subgroupDifferences([groups[0]!, { name: 'C', estimates: [] }]);
    expect(one.empty).toEqual(['C']);
    expect(one.separateVariances.pValue).toBeUndefined();
    expect(subgroupDifferences([]).commonEffect).toEqual({
      groups: [],
      q: 0,
      degreesOfFreedom: 0,
      pValue: undefined,
    });
  });
});

const arms = armsOf([
  ['s', 'suprapectoral', 4, 60],
  ['s', 'tenotomy', 12, 58],
  ['t', 'suprapectoral', 6, 80],
  ['t', 'subpectoral', 3, 79],
  ['t', 'tenotomy', 20, 81],
  ['u', 'subpectoral', 0, 40],
  ['u', 'tenotomy', 9, 41],
  ['v', 'top-of-groove', 5, 70],
]);

describe('pairs of sites', () => {
  it('all six, in order, each from the studies with both arms', () => {
    const { pairs } = comparePairs(arms);
    expect(
      pairs.map(({ treatment, comparator, studies }) => [treatment, comparator, studies.length]),
    ).toEqual([
      ['top-of-groove', 'suprapectoral', 0],
      ['top-of-groove', 'subpectoral', 0],
      ['top-of-groove', 'tenotomy', 0],
      ['suprapectoral', 'subpectoral', 1],
      ['suprapectoral', 'tenotomy', 2],
      ['subpectoral', 'tenotomy', 2],
    ]);
    expect(pairs[0]?.pool.mean).toBeUndefined();
    expect(pairs[0]?.absolute).toEqual([]);
    expect(pairs[5]?.pool.leftOut).toHaveLength(1);
  });

  it.each(pairMeasures)('%s: absolute effects at each baseline put the relative effect back', (measure) => {
    const { pairs } = comparePairs(arms, {
      measure,
      baselines: [{ risk: 0.3, source: "a surgeon of one's own" }],
    });
    const pair = pairs[4]!;
    expect(pair.absolute).toHaveLength(3);
    for (const { baselineRisk, risk, relative } of pair.absolute) {
      const back =
        measure === 'risk-difference'
          ? risk.value - baselineRisk
          : measure === 'risk-ratio'
            ? risk.value / baselineRisk
            : risk.value / (1 - risk.value) / (baselineRisk / (1 - baselineRisk));
      expectClose(back, relative.value, 'specialFunction');
      expectClose(relative.value, pair.pool.natural!.value, 'identity');
    }
    expect(pair.absolute[2]?.baselineSource).toBe("a surgeon of one's own");
  });

  it('a single study gives its own odds ratio', () => {
    const estimate = oddsRatio({
      study: 't',
      label: 'T',
      treated: { events: 6, total: 80 },
      comparator: { events: 3, total: 79 },
    });
    const pair = comparePairs(arms).pairs[3]!;
    expectClose(pair.pool.mean?.value, 'value' in estimate ? estimate.value : Number.NaN, 'identity');
  });

  it('a comparator without events has no baseline to say an effect at', () => {
    const { pairs } = comparePairs(
      armsOf([
        ['s', 'subpectoral', 3, 30],
        ['s', 'tenotomy', 0, 30],
      ]),
      { zeroEvents: { addToEachCell: 0.5 } },
    );
    expect(pairs[5]?.absolute).toEqual([]);
    expect(
      pairs[5]?.baselinesLeftOut.every((text) =>
        text.endsWith('no events, so the effect cannot be said there'),
      ),
    ).toBe(true);
    expect(pairs[5]?.baselinesLeftOut).toHaveLength(2);
  });

  it('refuses a baseline that is no risk', () => {
    expect(() => comparePairs(arms, { baselines: [{ risk: 1.2, source: 'x' }] })).toThrow(
      'baseline risk (x) must lie between 0 and 1, received 1.2',
    );
  });
});

describe('single arms', () => {
  const contrast = contrastSingleArms(poolBySite(arms, { zeroEvents: { addToEachCell: 0.5 } }));
  it('say on the result that they are no comparison', () => {
    expect(contrast.notAComparison).toBe(notAComparison);
    expect(contrast.differences).toHaveLength(6);
  });

  it("differences are rate less rate, with limits that are the pool's own when the other pool is certain", () => {
    const [, , third] = contrast.differences;
    const [top, , , tenotomy] = contrast.pools.sites.map(({ pool }) => pool.headline!);
    expectClose(third!.rateDifference!.value, top!.rate - tenotomy!.rate, 'identity');
    const { lower, upper } = third!.rateDifference!.interval;
    expectClose(
      (third!.rateDifference!.value - lower) ** 2,
      (top!.rate - top!.interval.lower) ** 2 + (tenotomy!.interval.upper - tenotomy!.rate) ** 2,
      'specialFunction',
    );
    expectClose(
      (upper - third!.rateDifference!.value) ** 2,
      (top!.interval.upper - top!.rate) ** 2 + (tenotomy!.rate - tenotomy!.interval.lower) ** 2,
      'specialFunction',
    );
  });
});

describe('the layers of a pair', () => {
  const layersOf = (trialRows: Parameters<typeof armsOf>[0], cohortRows: Parameters<typeof armsOf>[0]) => {
    const trials = armsOf(trialRows).map((arm) => ({ ...arm, design: 'randomised trial' }));
    const all = [...trials, ...armsOf(cohortRows)];
    const { studies } = networkFromCounts(all);
    const network = fitNetwork(studies, { order: pooledSites });
    const layers = siteLayers({
      trials: comparePairs(trials),
      comparative: comparePairs(all),
      network,
      splits: network.parts.flatMap((part) => splitNodes(part, network.options)),
      singleArms: contrastSingleArms(poolBySite(all)),
    });
    return layers[5]!;
  };
  const strong = (study: string) =>
    [
      [study, 'subpectoral', 10, 200],
      [study, 'tenotomy', 50, 200],
    ] as const;

  type Pair = ReturnType<typeof layersOf>;
  /** Side of no difference each layer's whole interval lies on; `-` where it crosses, nothing where there is none. */
  const sidesOf = ({ layers }: Pair) =>
    layers.map(({ layer, studies, oddsRatio }) => {
      if (oddsRatio === undefined) return [layer, studies];
      const { lower, upper } = oddsRatio.interval;
      return [layer, studies, upper < 1 ? 'fewer' : lower > 1 ? 'more' : '-'];
    });

  it('two agreeing trials: their own pool and the network lie on one side', () => {
    expect(sidesOf(layersOf([...strong('a'), ...strong('b')], []))).toEqual([
      ['trials', 2, 'fewer'],
      ['comparative', 2, 'fewer'],
      ['network', 2, 'fewer'],
      ['single-arm', 2, 'fewer'],
    ]);
  });
  it('one trial, or cohorts alone: how many studies of which kind each layer rests on', () => {
    expect(sidesOf(layersOf([...strong('a')], []))[0]).toEqual(['trials', 1, 'fewer']);
    expect(sidesOf(layersOf([], [...strong('a'), ...strong('b')])).slice(0, 2)).toEqual([
      ['trials', 0],
      ['comparative', 2, 'fewer'],
    ]);
  });
  it('layers that contradict each other stand side by side; one that crosses no difference says so', () => {
    const reversed = (study: string) =>
      [
        [study, 'subpectoral', 900, 2000],
        [study, 'tenotomy', 200, 2000],
      ] as const;
    const contradiction = layersOf(
      [...strong('a'), ...strong('b')],
      ['c', 'd', 'e', 'f', 'g', 'h', 'i', 'j'].flatMap(reversed),
    );
    expect(sidesOf(contradiction).slice(0, 2)).toEqual([
      ['trials', 2, 'fewer'],
      ['comparative', 10, 'more'],
    ]);
    const silent = layersOf(
      [
        ['a', 'subpectoral', 10, 100],
        ['a', 'tenotomy', 11, 100],
      ],
      [],
    );
    expect(sidesOf(silent).every(([, , side]) => side === '-')).toBe(true);
  });
  it('keeps the network of counts a layer of its own, which shows what no ratio can', () => {
    // Every study has an arm without events, so no ratio exists; the counts all lean one way.
    const sparse = armsOf(
      Array.from({ length: 8 }, (_, i) => [
        [`s${i}`, 'subpectoral', 0, 60] as const,
        [`s${i}`, 'tenotomy', 3, 60] as const,
      ]).flat(),
    );
    const { studies, leftOut } = networkFromCounts(sparse);
    const pair = siteLayers({
      trials: comparePairs([]),
      comparative: comparePairs(sparse),
      network: fitNetwork(studies, { leftOut }),
      splits: [],
      penalised: penalisedNetwork(sparse),
      singleArms: contrastSingleArms(poolBySite(sparse)),
    })[5]!;
    expect(sidesOf(pair).slice(0, 4)).toEqual([
      ['trials', 0],
      ['comparative', 0],
      ['network', 0],
      ['penalised', 8, 'fewer'],
    ]);
  });
  it('single arms are called misleading when nothing bears them out, and not when something does', () => {
    const alone = layersOf(
      [],
      [
        ['a', 'subpectoral', 5, 500],
        ['b', 'tenotomy', 200, 500],
      ],
    );
    expect(sidesOf(alone)).toEqual([
      ['trials', 0],
      ['comparative', 0],
      ['network', 0],
      ['single-arm', 2, 'fewer'],
    ]);
    expect(alone.singleArmsMislead).toBe(true);
    expect(layersOf([...strong('a'), ...strong('b')], []).singleArmsMislead).toBe(false);
  });
});
