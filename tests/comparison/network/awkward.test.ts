import { describe, expect, it } from 'vitest';
import { decomposeInconsistency } from '../../../src/comparison/network/decomposeInconsistency.ts';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { effectBetween } from '../../../src/comparison/network/leagueTable.ts';
import { loopInconsistency } from '../../../src/comparison/network/loopInconsistency.ts';
import { networkStudyFromArms } from '../../../src/comparison/network/networkFromArms.ts';
import { networkFromContrasts } from '../../../src/comparison/network/networkFromContrasts.ts';
import { networkFromCounts } from '../../../src/comparison/network/networkFromCounts.ts';
import type { NetworkStudy } from '../../../src/comparison/network/networkStudy.ts';
import { posteriorNetwork } from '../../../src/comparison/network/posteriorNetwork.ts';
import { rankTreatments } from '../../../src/comparison/network/rankTreatments.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import { expectClose } from '../../helpers/close.ts';
import { armsOf, nodeIsSite, randomNetwork } from './examples.ts';

const two = (
  study: string,
  treatment: string,
  comparator: string,
  value: number,
  variance = 0.1,
): NetworkStudy => ({
  study,
  label: `Study ${study}`,
  scale: 'plain',
  treatments: [comparator, treatment],
  values: [value],
  covariance: [[variance]],
  addedToEachCell: 0,
  rows: [],
});
const codes = (studies: readonly NetworkStudy[], options = {}): readonly string[] =>
  fitNetwork(studies, options).cautions.map(({ code }) => code);

describe('networks that cannot answer everything', () => {
  it('nothing at all', () => {
    const network = fitNetwork([]);
    expect(network.parts).toEqual([]);
    expect(network.cautions.map(({ code }) => code)).toEqual(['nothing-to-compare']);
  });

  it('two parts that no study links: each by itself, nothing between', () => {
    const network = fitNetwork([
      two('a', 'A', 'B', 1),
      two('b', 'B', 'C', 1),
      two('c', 'D', 'E', 2),
      two('d', 'D', 'E', 4),
    ]);
    expect(network.parts.map(({ treatments }) => treatments)).toEqual([
      ['A', 'B', 'C'],
      ['D', 'E'],
    ]);
    expect(effectBetween(network.parts, 'A', 'D')).toBeUndefined();
    expectClose(effectBetween(network.parts, 'E', 'D')?.value, -3, 'identity');
    const caution = network.cautions.find(({ code }) => code === 'disconnected');
    expect(caution?.message).toBe(
      'No chain of studies links all treatments: A, B, C | D, E. Each part is analysed by itself, and nothing can be said between them.',
    );
  });

  it('a single study for every comparison, as a chain and as a loop', () => {
    const chain = [two('a', 'A', 'B', 1), two('b', 'B', 'C', 1)];
    expect(codes(chain)).toEqual(['variance-not-estimable', 'no-closed-loop']);
    const part = fitNetwork(chain).parts[0]!;
    expect(part.heterogeneity.betweenStudyVariance).toBeUndefined();
    expect(part.heterogeneity.pValue).toBeUndefined();
    expect(part.comparisons.every(({ prediction }) => prediction === undefined)).toBe(true);
    expect(codes([...chain, two('c', 'A', 'C', 0)])).toEqual(['one-study-per-comparison']);
  });

  it('one study of three arms has no conflict with itself', () => {
    const study = networkStudyFromArms(
      { study: 's', label: 'S', scale: 'plain' },
      ['a', 'b', 'c'].map((treatment, i) => ({ treatment, value: i, variance: 1 })),
    );
    const network = fitNetwork([study, { ...study, study: 't', values: [2, 5] }]);
    const part = network.parts[0]!;
    expect(loopInconsistency(part)).toEqual([]);
    expect(splitNodes(part, network.options)).toEqual([]);
    expect(decomposeInconsistency(part).between.degreesOfFreedom).toBe(0);
  });

  it('hartung-knapp without scatter falls back and says so', () => {
    expect(codes([two('a', 'A', 'B', 1), two('b', 'A', 'B', 1)], { interval: 'hartung-knapp' })).toContain(
      'interval-method-replaced',
    );
  });

  it('one design only', () => {
    const arms = armsOf([
      ['s', 'a', 3, 50],
      ['s', 'b', 5, 55],
      ['t', 'a', 4, 40],
      ['t', 'b', 6, 40],
    ]);
    const { studies } = networkFromCounts(arms, { node: nodeIsSite });
    expect(fitNetwork(studies).cautions.find(({ code }) => code === 'one-design-only')?.message).toBe(
      'Every study in the network is a prospective cohort.',
    );
  });

  it('a posterior that the data and the prior leave improper is refused', () => {
    expect(
      posteriorNetwork(fitNetwork([two('a', 'A', 'B', 1)]).parts[0]!, { deviationPrior: { kind: 'flat' } }),
    ).toBeUndefined();
    expect(() => posteriorNetwork(fitNetwork([two('a', 'A', 'B', 1)]).parts[0]!)).toThrow(
      'deviationPrior must be given',
    );
  });
});

describe('counts', () => {
  const node = nodeIsSite;
  it('all double-zero leaves nothing, each study listed', () => {
    const { studies, leftOut } = networkFromCounts(
      armsOf([
        ['s', 'a', 0, 50],
        ['s', 'b', 0, 55],
        ['t', 'a', 0, 5],
        ['t', 'c', 0, 5],
      ]),
      { node, zeroEvents: { addToEachCell: 0.5 } },
    );
    expect(studies).toEqual([]);
    expect(leftOut.map(({ study }) => study)).toEqual(['s', 't']);
  });

  it('a zero arm is dropped or corrected, as asked, and never silently', () => {
    const arms = armsOf([
      ['s', 'a', 0, 50],
      ['s', 'b', 5, 55],
      ['s', 'c', 7, 52],
    ]);
    const dropped = networkFromCounts(arms, { node });
    expect(dropped.studies[0]?.treatments).toEqual(['b', 'c']);
    expect(dropped.leftOut[0]?.reason).toBe(
      'no events in the arm at a, so it has no finite value or no sampling variance',
    );
    const corrected = networkFromCounts(arms, { node, zeroEvents: { addToEachCell: 0.5 } });
    expect(corrected.studies[0]?.treatments).toEqual(['a', 'b', 'c']);
    expect(corrected.studies[0]?.addedToEachCell).toBe(0.5);
    expectClose(corrected.studies[0]?.values[0], Math.log(5.5 / 50.5 / (0.5 / 50.5)), 'identity');
    expect(fitNetwork(corrected.studies).cautions.map(({ code }) => code)).toContain('correction-added');
  });

  it('arms of one study at one node are counted together, and other arms stay out', () => {
    const { studies } = networkFromCounts(
      armsOf([
        ['s', 'suprapectoral', 2, 20],
        ['s', 'suprapectoral', 3, 30],
        ['s', 'tenotomy', 9, 40],
        ['s', 'soft-tissue', 1, 9],
      ]),
    );
    expect(studies[0]?.counts).toEqual([
      { events: 5, total: 50 },
      { events: 9, total: 40 },
    ]);
  });

  it('sites can be split or merged by the node function', () => {
    const arms = armsOf([
      ['s', 'suprapectoral', 2, 20],
      ['s', 'subpectoral', 3, 30],
      ['s', 'tenotomy', 9, 40],
    ]);
    const merged = networkFromCounts(arms, {
      node: ({ site }) => (site === 'tenotomy' ? 'release' : 'fixation'),
    });
    expect(merged.studies[0]?.treatments).toEqual(['fixation', 'release']);
    expect(merged.studies[0]?.counts?.[0]).toEqual({ events: 5, total: 50 });
  });
});

describe('misuse', () => {
  const good = two('a', 'A', 'B', 1);
  it.each([
    [() => fitNetwork([good], { colour: 1 } as never), 'unknown option "colour"'],
    [
      () => fitNetwork([good], { betweenStudyVariance: 'guess' as never }),
      'betweenStudyVariance must be one of',
    ],
    [
      () => fitNetwork([good, { ...good, label: 'again' }]),
      'studies of a network must differ: a stands in it twice',
    ],
    [
      () => fitNetwork([good, { ...two('b', 'A', 'B', 1), scale: 'log-odds-ratio' }]),
      'must share a scale: expected plain, received log-odds-ratio for Study b',
    ],
    [
      () => fitNetwork([{ ...good, treatments: ['A', 'A'] }]),
      'treatments of Study a must differ, received A, A',
    ],
    [() => fitNetwork([{ ...good, values: [Number.NaN] }]), 'received NaN'],
    [
      () => fitNetwork([good, two('b', 'B', 'C', 1, 1e13)]),
      'must lie within a factor of 1000000000000 of each other, received 0.1 and 10000000000000',
    ],
    [
      () => networkFromCounts(armsOf([['s', 'tenotomy', 9, 5]])),
      'events of Study s must be a whole number from 0 to 5, received 9',
    ],
    [() => fitNetwork([{ ...good, covariance: [[0]] }]), 'covariance of Study a must be positive definite'],
    [
      () =>
        networkStudyFromArms({ study: 's', label: 'S', scale: 'plain' }, [
          { treatment: 'a', value: 1, variance: 0 },
          { treatment: 'b', value: 1, variance: 1 },
        ]),
      'variance of S (a) must be above 0, received 0',
    ],
    [
      () =>
        networkFromContrasts(
          [
            { study: 's', label: 'S', treatment: 'a', comparator: 'b', value: 1, standardError: 1 },
            { study: 's', label: 'S', treatment: 'a', comparator: 'c', value: 1, standardError: 1 },
          ],
          'plain',
        ),
      'S has 3 arms, so it must report each of its 3 pairs once, received 2',
    ],
    [
      () => rankTreatments(fitNetwork([good]).parts[0]!, { better: 'up' as never }),
      'better must be one of lower, higher',
    ],
    [
      () => rankTreatments(fitNetwork([good]).parts[0]!, { better: 'lower', draws: 3 }),
      'draws must be a whole number from 100 to 1000000, received 3',
    ],
  ])('%#', (misuse, message) => {
    expect(misuse).toThrow(message);
  });
});

it('no number of any result is NaN or infinite, over random networks', () => {
  for (let seed = 1; seed <= 25; seed++) {
    const network = fitNetwork(randomNetwork(seed, 2 + (seed % 5), 8));
    const part = network.parts[0]!;
    const all = [
      network.cautions,
      part.comparisons,
      part.heterogeneity,
      splitNodes(part, network.options),
      loopInconsistency(part),
      decomposeInconsistency(part),
      rankTreatments(part, { better: 'lower', draws: 100 }),
    ];
    const walk = (value: unknown): void => {
      if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
      else if (value !== null && typeof value === 'object')
        for (const each of Object.values(value)) walk(each);
    };
    walk(all);
  }
});
