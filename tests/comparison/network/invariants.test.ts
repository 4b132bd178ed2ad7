import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { comparisonAdjusted } from '../../../src/comparison/network/comparisonAdjusted.ts';
import { decomposeInconsistency } from '../../../src/comparison/network/decomposeInconsistency.ts';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { effectBetween, leagueTable } from '../../../src/comparison/network/leagueTable.ts';
import { loopInconsistency } from '../../../src/comparison/network/loopInconsistency.ts';
import { networkIntervals } from '../../../src/comparison/network/networkOptions.ts';
import type { NetworkStudy } from '../../../src/comparison/network/networkStudy.ts';
import { networkVarianceEstimators } from '../../../src/comparison/network/networkVariance.ts';
import { rankTreatments } from '../../../src/comparison/network/rankTreatments.ts';
import { solveNetwork } from '../../../src/comparison/network/solveNetwork.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import { studyContributions } from '../../../src/comparison/network/studyContributions.ts';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';
import { randomNetwork } from './examples.ts';

const seeds = fc.integer({ min: 1, max: 1_000_000 });
const few = { numRuns: runs(15), seed: 7 };
const relabel = (study: NetworkStudy, name: (treatment: string) => string): NetworkStudy => ({
  ...study,
  treatments: study.treatments.map(name),
});
/** The same study told with another arm as its baseline. */
function rebased(study: NetworkStudy): NetworkStudy {
  const size = study.values.length;
  const last = size - 1;
  const { values, covariance } = study;
  const order = [size, ...Array.from({ length: size }, (_, i) => i)];
  // Contrasts of arms 0..last-1 (old numbering) against the last arm.
  const old = Array.from({ length: size }, (_, i) => i);
  const weights = old.map((arm) => {
    const row = new Array<number>(size).fill(0);
    row[last]! -= 1;
    if (arm > 0) row[arm - 1]! += 1;
    return row;
  });
  const dot = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, x, i) => sum + x * b[i]!, 0);
  return {
    ...study,
    treatments: order.map((arm) => study.treatments[arm]!),
    values: weights.map((row) => dot(row, values)),
    covariance: weights.map((row) =>
      weights.map((other) =>
        dot(
          row,
          covariance.map((c) => dot(c, other)),
        ),
      ),
    ),
  };
}

describe.each(networkVarianceEstimators)('with %s', (betweenStudyVariance) => {
  it("does not depend on what treatments are called, their order, the studies' order or their baselines", () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed);
        const name = (treatment: string): string => `z${'EDCBA'['ABCDE'.indexOf(treatment)]}`;
        const before = fitNetwork(studies, { betweenStudyVariance });
        const after = fitNetwork(
          [...studies].reverse().map((study) => relabel(rebased(study), name)),
          { betweenStudyVariance, order: ['zC', 'zA'] },
        );
        for (const { treatment, comparator, network } of before.parts[0]!.comparisons) {
          const other = effectBetween(after.parts, name(treatment), name(comparator))!;
          expectClose(other.value, network.value, 'iterative', { ofSize: 1 });
          expectClose(other.standardError, network.standardError, 'iterative');
        }
      }),
      few,
    );
  });

  it('for two treatments is the pairwise pool, with every interval', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed, 2, 9).map((study, i) => (i % 3 === 0 ? rebased(study) : study));
        const estimates = studies.map(({ study, label, values, covariance, treatments }) => ({
          study,
          label,
          value: treatments[0] === 'B' ? values[0]! : -values[0]!,
          variance: covariance[0]![0]!,
          scale: 'plain' as const,
          addedToEachCell: 0,
          rows: [],
        }));
        for (const interval of networkIntervals) {
          const pool = poolEstimates(estimates, {
            betweenStudyVariance,
            interval,
            prediction: interval === 'hartung-knapp' ? 'hartung-knapp' : 't-k-minus-2',
          });
          const part = fitNetwork(studies, { betweenStudyVariance, interval }).parts[0]!;
          const [only] = part.comparisons;
          expectClose(only!.network.value, pool.mean!.value, 'iterative', { ofSize: 1 });
          expectClose(only!.network.standardError, pool.mean!.standardError, 'iterative');
          expectAllClose(
            [only!.network.interval.lower, only!.network.interval.upper],
            [pool.mean!.interval.lower, pool.mean!.interval.upper],
            'iterative',
            { ofSize: 1 },
          );
          // The pool has no prediction interval with the truncated standard error to set beside this one.
          if (interval !== 'truncated-hartung-knapp')
            expectAllClose(
              [only!.prediction!.lower, only!.prediction!.upper],
              [pool.prediction!.lower, pool.prediction!.upper],
              'iterative',
              { ofSize: 1 },
            );
          expectClose(part.heterogeneity.q, pool.heterogeneity!.q, 'iterative');
          expectClose(
            part.heterogeneity.betweenStudyVariance,
            pool.heterogeneity!.betweenStudyVariance,
            'iterative',
            { ofSize: 0.01 },
          );
          const limits = pool.heterogeneity!.betweenStudyVarianceInterval;
          if (limits !== undefined)
            expectAllClose(
              [
                part.heterogeneity.betweenStudyVarianceInterval!.lower,
                part.heterogeneity.betweenStudyVarianceInterval!.upper,
              ],
              [limits.lower, limits.upper],
              'iterative',
              { ofSize: 0.01 },
            );
          expectAllClose(
            studyContributions(part)[0]!.shares,
            pool.estimates.map(({ weight }) => weight),
            'iterative',
          );
        }
      }),
      few,
    );
  });

  it('puts its answer back: slope nought at a likelihood peak, Q at its degrees of freedom, Q-profile at its quantiles', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const part = fitNetwork(randomNetwork(seed), { betweenStudyVariance }).parts[0]!;
        const {
          betweenStudyVariance: variance,
          betweenStudyVarianceInterval: limits,
          degreesOfFreedom,
        } = part.heterogeneity;
        const at = solveNetwork(part.system, variance!);
        if (variance! > 0) {
          if (betweenStudyVariance === 'maximum-likelihood') expect(Math.abs(at.slope)).toBeLessThan(1e-8);
          if (betweenStudyVariance === 'restricted-maximum-likelihood')
            expect(Math.abs(at.restrictedSlope)).toBeLessThan(1e-8);
          if (betweenStudyVariance === 'paule-mandel') expectClose(at.q, degreesOfFreedom, 'iterative');
        }
        if (limits !== undefined) {
          expectClose(
            solveNetwork(part.system, limits.upper).q,
            chiSquareQuantile(0.025, degreesOfFreedom),
            'iterative',
          );
          if (limits.lower > 0)
            expectClose(
              solveNetwork(part.system, limits.lower).q,
              chiSquareQuantile(0.975, degreesOfFreedom),
              'iterative',
            );
        }
        const step = 1e-5;
        const slope =
          (solveNetwork(part.system, 0.3 + step).restrictedLogLikelihood -
            solveNetwork(part.system, 0.3 - step).restrictedLogLikelihood) /
          (2 * step);
        expectClose(solveNetwork(part.system, 0.3).restrictedSlope, slope, 'otherLibrary', { ofSize: 1 });
      }),
      few,
    );
  });
});

describe('identities', () => {
  it('the league is antisymmetric and adds up along any way', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const { treatments, cells } = leagueTable(fitNetwork(randomNetwork(seed)).parts[0]!);
        for (const i of treatments.keys())
          for (const j of treatments.keys()) {
            if (i === j) continue;
            expect(cells[i]![j]!.value).toBe(-cells[j]![i]!.value + 0);
            expect(cells[i]![j]!.interval.lower).toBe(-cells[j]![i]!.interval.upper);
            for (const k of treatments.keys())
              if (k !== i && k !== j)
                expectClose(cells[i]![j]!.value + cells[j]![k]!.value, cells[i]![k]!.value, 'identity', {
                  ofSize: 10,
                });
          }
      }),
      few,
    );
  });

  it('P-scores average one half, rank probabilities sum to one both ways, the other direction turns them over', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const part = fitNetwork(randomNetwork(seed)).parts[0]!;
        const ranking = rankTreatments(part, { better: 'lower', draws: 400, seed });
        const turned = rankTreatments(part, { better: 'higher', draws: 400, seed });
        const count = part.treatments.length;
        expectClose(ranking.treatments.reduce((sum, { pScore }) => sum + pScore, 0) / count, 0.5, 'identity');
        for (const { treatment, pScore, probabilities } of ranking.treatments) {
          expectClose(
            probabilities.reduce((a, b) => a + b, 0),
            1,
            'identity',
          );
          const other = turned.treatments.find((each) => each.treatment === treatment)!;
          expectClose(other.pScore, 1 - pScore, 'specialFunction', { ofSize: 1 });
        }
        for (let rank = 0; rank < count; rank++)
          expectClose(
            ranking.treatments.reduce((sum, { probabilities }) => sum + probabilities[rank]!, 0),
            1,
            'identity',
          );
      }),
      few,
    );
  });

  it('rank probabilities agree with the orthant formula for three equal treatments', () => {
    // Three arms of equal variance and equal effect: each rank has probability one third, by symmetry.
    const study = (id: string): NetworkStudy => ({
      study: id,
      label: id,
      scale: 'plain',
      treatments: ['A', 'B', 'C'],
      values: [0, 0],
      covariance: [
        [2, 1],
        [1, 2],
      ],
      addedToEachCell: 0,
      rows: [],
    });
    const { treatments, simulationError } = rankTreatments(fitNetwork([study('a'), study('b')]).parts[0]!, {
      better: 'lower',
      draws: 40_000,
    });
    for (const { probabilities, meanRank } of treatments) {
      expectClose(meanRank, 2, 'identity');
      for (const p of probabilities) expect(Math.abs(p - 1 / 3)).toBeLessThan(4 * simulationError);
    }
  });

  it('contributions sum to one, and direct shares lie between 0 and 1', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const part = fitNetwork(randomNetwork(seed)).parts[0]!;
        for (const { shares } of studyContributions(part)) {
          expectClose(
            shares.reduce((a, b) => a + b, 0),
            1,
            'iterative',
          );
          expect(Math.min(...shares)).toBeGreaterThanOrEqual(-1e-12);
        }
        for (const { directShare, direct, indirect, network } of part.comparisons) {
          expect(directShare).toBeGreaterThanOrEqual(0);
          expect(directShare).toBeLessThanOrEqual(1);
          if (direct && indirect) {
            const [a, b] = [1 / direct.standardError ** 2, 1 / indirect.standardError ** 2];
            expectClose((a * direct.value + b * indirect.value) / (a + b), network.value, 'iterative', {
              ofSize: 1,
            });
          }
        }
      }),
      few,
    );
  });

  it('Q falls apart into designs, and adjusted contrasts centre on nought', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const part = fitNetwork(randomNetwork(seed)).parts[0]!;
        const { total, within, between } = decomposeInconsistency(part);
        expectClose(within.q + between.q, total.q, 'iterative');
        expect(within.degreesOfFreedom + between.degreesOfFreedom).toBe(total.degreesOfFreedom);
        const adjusted = comparisonAdjusted(part);
        if (adjusted.length > 0)
          expectClose(poolEstimates(adjusted, { model: 'common-effect' }).mean!.value, 0, 'identity', {
            ofSize: 1,
          });
      }),
      few,
    );
  });

  it('at one less the p value as level, an interval ends at no difference', () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(...networkIntervals), (seed, interval) => {
        const studies = randomNetwork(seed);
        for (const { treatment, comparator, network } of fitNetwork(studies, { interval }).parts[0]!
          .comparisons) {
          expect(network.pValue).toBeGreaterThanOrEqual(0);
          // Nearer to 1 the level says nothing, nearer to 0 it cannot be written.
          if (!(network.pValue > 1e-6 && network.pValue < 0.999)) continue;
          const again = fitNetwork(studies, { interval, level: 1 - network.pValue });
          const limits = effectBetween(again.parts, treatment, comparator)!.interval;
          const end = network.value > 0 ? limits.lower : limits.upper;
          expectClose(network.value - end, network.value, 'specialFunctionTail');
        }
      }),
      few,
    );
  });

  it('at the variance of the unsplit network a split of two-arm studies is what the network says of the pair', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed, 4, 14).filter(({ treatments }) => treatments.length === 2);
        const network = fitNetwork(studies);
        const [part] = network.parts;
        for (const split of splitNodes(part!, network.options, { variance: 'unsplit' })) {
          const pair = part!.comparisons.find(
            ({ treatment, comparator }) => treatment === split.treatment && comparator === split.comparator,
          )!;
          expect(split.betweenStudyVariance).toBe(part!.solution.betweenStudyVariance);
          for (const kind of ['direct', 'indirect'] as const) {
            expectClose(split[kind].value, pair[kind]!.value, 'iterative', { ofSize: 1 });
            expectClose(split[kind].standardError, pair[kind]!.standardError, 'iterative');
          }
        }
      }),
      few,
    );
  });

  it('with two-arm studies a split is the pool of the pair and the network without it', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed, 4, 14).filter(({ treatments }) => treatments.length === 2);
        const network = fitNetwork(studies, { model: 'common-effect' });
        for (const split of splitNodes(network.parts[0]!, network.options)) {
          const both = (study: NetworkStudy): boolean =>
            study.treatments.includes(split.treatment) && study.treatments.includes(split.comparator);
          const direct = fitNetwork(studies.filter(both), { model: 'common-effect' });
          const without = fitNetwork(
            studies.filter((study) => !both(study)),
            { model: 'common-effect' },
          );
          for (const [ours, refit] of [
            [split.direct, direct],
            [split.indirect, without],
          ] as const) {
            const effect = effectBetween(refit.parts, split.treatment, split.comparator)!;
            expectClose(ours.value, effect.value, 'iterative', { ofSize: 1 });
            expectClose(ours.standardError, effect.standardError, 'iterative');
          }
        }
      }),
      few,
    );
  });
});

describe('studies changed in ways that must not matter', () => {
  it('one study as two halves of its information, under a common effect', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed);
        const [first, ...rest] = studies as [NetworkStudy, ...NetworkStudy[]];
        const half = (study: string): NetworkStudy => ({
          ...first,
          study,
          covariance: first.covariance.map((row) => row.map((cell) => 2 * cell)),
        });
        const one = fitNetwork(studies, { model: 'common-effect' }).parts[0]!;
        const two = fitNetwork([half('h1'), half('h2'), ...rest], { model: 'common-effect' }).parts[0]!;
        for (const [i, { network }] of one.comparisons.entries()) {
          expectClose(two.comparisons[i]!.network.value, network.value, 'iterative', { ofSize: 1 });
          expectClose(two.comparisons[i]!.network.standardError, network.standardError, 'iterative');
        }
      }),
      few,
    );
  });

  it('a study that knows nothing (a huge variance), for the common effect and the likelihoods', () => {
    // Moment estimators count it as a study all the same; only the weights forget it.
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed);
        const empty: NetworkStudy = {
          ...studies[0]!,
          study: 'empty',
          values: studies[0]!.values.map(() => 3),
          covariance: studies[0]!.covariance.map((row, i) => row.map((_, j) => (i === j ? 1e10 : 0))),
        };
        for (const options of [
          { model: 'common-effect' },
          { betweenStudyVariance: 'restricted-maximum-likelihood' },
          { betweenStudyVariance: 'maximum-likelihood' },
        ] as const) {
          const [without, withIt] = [
            fitNetwork(studies, options),
            fitNetwork([...studies, empty], options),
          ].map((each) => each.parts[0]!);
          for (const [i, { network }] of without!.comparisons.entries()) {
            expectClose(withIt!.comparisons[i]!.network.value, network.value, 'otherLibrary', { ofSize: 1 });
            expectClose(withIt!.comparisons[i]!.network.standardError, network.standardError, 'otherLibrary');
          }
        }
      }),
      few,
    );
  });

  it('a star has nothing to be inconsistent with', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const studies = randomNetwork(seed, 5, 12).flatMap((study) => {
          const own = study.treatments.filter((treatment) => treatment !== 'A');
          return [
            {
              ...study,
              treatments: ['A', own[0]!],
              values: study.values.slice(0, 1),
              covariance: [[study.covariance[0]![0]!]],
            },
          ];
        });
        const network = fitNetwork(studies);
        for (const part of network.parts) {
          const { between, betweenRandomEffects } = decomposeInconsistency(part);
          expect(between).toEqual({ q: 0, degreesOfFreedom: 0, pValue: undefined });
          expect(betweenRandomEffects.pValue).toBeUndefined();
          expect(loopInconsistency(part)).toEqual([]);
          expect(splitNodes(part, network.options)).toEqual([]);
          for (const { direct, directShare, network: effect } of part.comparisons)
            if (direct) {
              expectClose(directShare, 1, 'iterative');
              expectClose(direct.value, effect.value, 'iterative', { ofSize: 1 });
            }
        }
      }),
      few,
    );
  });
});
