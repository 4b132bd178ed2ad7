import { cholesky } from '../../numerics/cholesky.ts';
import { normalCumulative } from '../../numerics/distributions.ts';
import { seededUniform } from '../../numerics/seededUniform.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import type { NetworkPart } from './networkResult.ts';
import { varianceOfDifference } from './solveNetwork.ts';

export const rankDirections = ['lower', 'higher'] as const;

export interface RankOptions {
  /** Which end of the scale is good for the patient; there is no default. */
  readonly better: (typeof rankDirections)[number];
  /** Default 10,000. */
  readonly draws?: number;
  /** Default 1. */
  readonly seed?: number;
}

export interface TreatmentRank {
  readonly treatment: string;
  /** Mean one-sided certainty of being better than another treatment, 0 to 1; over all treatments they average ½. */
  readonly pScore: number;
  /** Probability of each rank, the first being best. */
  readonly probabilities: readonly number[];
  /** Expected rank: 1 + Σ probability that another is better. */
  readonly meanRank: number;
  /** Ranks from the 2.5th to the 97.5th percentile. */
  readonly range: readonly [best: number, worst: number];
}

export interface Ranking {
  readonly better: RankOptions['better'];
  readonly draws: number;
  readonly seed: number;
  /** Best P-score first. */
  readonly treatments: readonly TreatmentRank[];
  /** Largest standard error that sampling can leave on a rank probability. */
  readonly simulationError: number;
  readonly notCertainty: string;
}

/** What must stand beside any ranking. */
export const ranksAreNotCertainty =
  'A rank is not certainty and not a size: the first rank may go to a treatment that is no better by any amount that matters, or that few patients were given. Read the differences with their intervals first.';

/**
 * How often would each treatment come first, second, last, given what is not known about the effects?
 *
 * P-score: `P_i = mean over j of Φ((d_j - d_i) / se(d_i - d_j))` where lower is better; exact, no sampling. Rank
 * probabilities: effects drawn from their multivariate normal distribution (mean d, covariance of the network) with a
 * seeded generator, each draw ranked.
 *
 * @throws RangeError for an unknown option, or draws outside 100 to 1,000,000
 * @see Rücker G, Schwarzer G. BMC Med Res Methodol 2015;15:58 (P-scores). Salanti G, Ades AE, Ioannidis JPA. J Clin
 *   Epidemiol 2011;64:163-171 (rank probabilities). Mbuagbaw L et al. Syst Rev 2017;6:79 (their pitfalls).
 * @example
 * rankTreatments(network.parts[0]!, { better: 'lower' }).treatments[0]?.pScore
 */
export function rankTreatments(part: NetworkPart, options: RankOptions): Ranking {
  checkOptionNames(options, ['better', 'draws', 'seed']);
  const better = checkChoice('better', options.better, rankDirections);
  const draws = options.draws ?? 10_000;
  const seed = options.seed ?? 1;
  if (!(Number.isInteger(draws) && draws >= 100 && draws <= 1_000_000))
    throw new RangeError(`draws must be a whole number from 100 to 1000000, received ${draws}`);
  const { treatments } = part.system;
  const { effects, covariance } = part.solution;
  const scores = pScores(effects, covariance, better);
  const counts = countRanks(effects, covariance, better, draws, seededUniform(seed));
  const rows = treatments.map((treatment, i): TreatmentRank => {
    const probabilities = counts[i]!.map((times) => times / draws);
    return {
      treatment,
      pScore: scores[i]!,
      probabilities,
      meanRank: 1 + (treatments.length - 1) * (1 - scores[i]!),
      range: [percentileRank(probabilities, 0.025), percentileRank(probabilities, 0.975)],
    };
  });
  return {
    better,
    draws,
    seed,
    treatments: rows.sort((a, b) => b.pScore - a.pScore),
    simulationError: 0.5 / Math.sqrt(draws),
    notCertainty: ranksAreNotCertainty,
  };
}

/** Mean one-sided certainty of each treatment being better than another. */
export function pScores(
  effects: Float64Array,
  covariance: Float64Array,
  better: RankOptions['better'],
): readonly number[] {
  const count = effects.length;
  const sign = better === 'lower' ? 1 : -1;
  return Array.from(effects, (effect, i) => {
    let sum = 0;
    for (let j = 0; j < count; j++) {
      if (i === j) continue;
      const standardError = Math.sqrt(varianceOfDifference(covariance, count, i, j));
      sum += normalCumulative((sign * (effects[j]! - effect)) / standardError);
    }
    return sum / (count - 1);
  });
}

function countRanks(
  effects: Float64Array,
  covariance: Float64Array,
  better: RankOptions['better'],
  draws: number,
  uniform: () => number,
): readonly number[][] {
  const count = effects.length;
  const size = count - 1;
  const free = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) free[i * size + j] = covariance[(i + 1) * count + j + 1]!;
  const { lower } = cholesky(free, size)!;
  const sign = better === 'lower' ? 1 : -1;
  const counts = Array.from({ length: count }, () => new Array<number>(count).fill(0));
  const normal = new Float64Array(size);
  const drawn = new Float64Array(count);
  const order = Array.from({ length: count }, (_, i) => i);
  let spare: number | undefined;
  // Marsaglia's polar method, two normals at a time.
  const next = (): number => {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const square = u * u + v * v;
      if (square >= 1 || square === 0) continue;
      const factor = Math.sqrt((-2 * Math.log(square)) / square);
      spare = v * factor;
      return u * factor;
    }
  };
  for (let draw = 0; draw < draws; draw++) {
    for (let i = 0; i < size; i++) normal[i] = next();
    drawn[0] = 0;
    for (let i = 0; i < size; i++) {
      let value = effects[i + 1]!;
      for (let k = 0; k <= i; k++) value += lower[i * size + k]! * normal[k]!;
      drawn[i + 1] = sign * value;
    }
    // Insertion sort: few treatments, and the order of the last draw is a good start.
    for (let i = 1; i < count; i++) {
      const moving = order[i]!;
      let at = i;
      for (; at > 0 && drawn[order[at - 1]!]! > drawn[moving]!; at--) order[at] = order[at - 1]!;
      order[at] = moving;
    }
    for (let rank = 0; rank < count; rank++) counts[order[rank]!]![rank]! += 1;
  }
  return counts;
}

function percentileRank(probabilities: readonly number[], share: number): number {
  let sum = 0;
  for (const [at, probability] of probabilities.entries()) {
    sum += probability;
    if (sum >= share) return at + 1;
  }
  return probabilities.length;
}
