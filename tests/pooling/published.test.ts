// Published meta-analyses recomputed and held to their printed digits; data and citations in data/.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { testBasedHSquaredInterval } from '../../src/pooling/heterogeneity.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { agreeAsPrinted, estimatesOf } from './agree.ts';

interface Published {
  readonly id: string;
  readonly title: string;
  readonly citation: string;
  readonly measure: 'log-odds-ratio' | 'log-risk-ratio' | 'standardised-mean-difference' | 'plain';
  readonly counts?: [number, number, number, number][];
  readonly groups?: [number, number, number, number, number, number][];
  readonly effects?: [number, number][];
  readonly effectVariances?: [number, number][];
  readonly ratioIntervals?: [number, number, number][];
  readonly published: { of: string; printed: string[]; seen: string; slack?: number; why?: string }[];
}

const read = (file: string): unknown => JSON.parse(readFileSync(new URL(file, import.meta.url), 'utf8'));
const pools = read('./data/publishedPools.json') as Published[];

/** Values and variances from what was printed, formulas written out. */
function estimatesFrom(pool: Published): [value: number, variance: number][] {
  if (pool.counts) {
    return pool.counts.map(([a, n1, c, n0]) =>
      pool.measure === 'log-odds-ratio'
        ? [Math.log((a * (n0 - c)) / (c * (n1 - a))), 1 / a + 1 / (n1 - a) + 1 / c + 1 / (n0 - c)]
        : [Math.log(a / n1 / (c / n0)), 1 / a - 1 / n1 + 1 / c - 1 / n0],
    );
  }
  if (pool.groups) {
    return pool.groups.map(([m1, s1, n1, m0, s0, n0]) => {
      const df = n1 + n0 - 2;
      const d = (m1 - m0) / Math.sqrt(((n1 - 1) * s1 ** 2 + (n0 - 1) * s0 ** 2) / df);
      const j = 1 - 3 / (4 * df - 1);
      return [j * d, j ** 2 * (1 / n1 + 1 / n0 + d ** 2 / (2 * (n1 + n0)))];
    });
  }
  if (pool.effects) return pool.effects.map(([value, error]) => [value, error ** 2]);
  if (pool.effectVariances) return pool.effectVariances;
  return pool.ratioIntervals!.map(([ratio, low, high]) => [
    Math.log(ratio),
    (Math.log(high / low) / (2 * 1.959963984540054)) ** 2,
  ]);
}

describe('published pools at their printed digits', () => {
  for (const pool of pools) {
    if (pool.published.length === 0) continue;
    test(`${pool.title} — ${pool.citation}`, () => {
      const rows = estimatesFrom(pool);
      const estimates = estimatesOf(
        rows.map(([value]) => value),
        rows.map(([, variance]) => variance),
        pool.measure,
      );
      const common = poolEstimates(estimates, { model: 'common-effect' });
      const random = poolEstimates(estimates);
      const limits = (interval: { lower: number; upper: number } | undefined) => [
        interval!.lower,
        interval!.upper,
      ];
      const found: Record<string, number[]> = {
        commonMean: [common.mean!.value],
        commonStandardError: [common.mean!.standardError],
        commonVariance: [common.mean!.standardError ** 2],
        commonInterval: limits(common.mean!.interval),
        commonNatural: [common.natural!.value],
        q: [random.heterogeneity!.q],
        betweenStudyVariance: [random.heterogeneity!.betweenStudyVariance],
        iSquaredPercent: [100 * random.heterogeneity!.iSquared],
        randomMean: [random.mean!.value],
        randomStandardError: [random.mean!.standardError],
        randomNatural: [random.natural!.value],
        randomNaturalInterval: limits(random.natural!.interval),
        predictionNatural: limits(random.natural!.prediction),
      };
      for (const { of, printed, slack } of pool.published) {
        expect(found[of], of).toBeDefined();
        printed.forEach((text, i) => {
          agreeAsPrinted(found[of]![i], text, slack);
        });
      }
    });
  }
});

describe('I² and its test-based interval from Q and the number of studies', () => {
  const table = read('./data/iSquaredIntervals.json') as {
    citation: string;
    rows: {
      topic: string;
      studies: number;
      q: number;
      iSquaredPercent: string;
      intervalPercent?: string[];
    }[];
  };
  // Printed values from memory.
  test.each(table.rows)(`$topic — ${table.citation}`, ({ studies, q, iSquaredPercent, intervalPercent }) => {
    agreeAsPrinted(100 * Math.max(0, (q - studies + 1) / q), iSquaredPercent);
    const interval = testBasedHSquaredInterval(q, studies, 0.95)!;
    if (!intervalPercent) return;
    agreeAsPrinted(100 * (1 - 1 / interval.lower), intervalPercent[0]!);
    agreeAsPrinted(100 * (1 - 1 / interval.upper), intervalPercent[1]!);
  });
});
