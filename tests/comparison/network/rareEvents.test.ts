import { describe, expect, it } from 'vitest';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { mantelHaenszelNetwork } from '../../../src/comparison/network/mantelHaenszelNetwork.ts';
import { networkFromCounts } from '../../../src/comparison/network/networkFromCounts.ts';
import { penalisedNetwork } from '../../../src/comparison/network/penalisedNetwork.ts';
import { seededUniform } from '../../../src/numerics/seededUniform.ts';
import { expectAllClose, expectClose, expectPrinted } from '../../helpers/close.ts';
import {
  numberIn,
  printedValue,
  published,
  recomputedList,
  recomputedNumber,
} from '../../published/published.ts';
import { armsOf, nodeIsSite } from './examples.ts';

const node = nodeIsSite;
const twoArms = (id: string) =>
  armsOf(
    published(id).rows.flatMap((row, i) => [
      [String(i), 'a', numberIn(row, 'eventsTreated'), numberIn(row, 'totalTreated')] as const,
      [String(i), 'b', numberIn(row, 'eventsComparator'), numberIn(row, 'totalComparator')] as const,
    ]),
  );

// Rothman, Greenland, Lash 2008 (from memory); Hothorn, Everitt, handbook chapter 17 (page seen).
describe.each([
  ['tolbutamide-mantel-haenszel', 'Mantel-Haenszel, Robins-Breslow-Greenland variance'],
  ['bcg-vaccine-pairwise', 'Mantel-Haenszel, Robins-Breslow-Greenland variance'],
])('%s: two treatments make the usual Mantel-Haenszel pool', (id, method) => {
  it('odds ratio as printed, interval as recomputed', () => {
    const example = published(id);
    const [part] = mantelHaenszelNetwork(twoArms(id), { node }).parts;
    const { value, interval } = part!.comparisons[0]!.effect;
    expectPrinted(Math.exp(value), printedValue(example, 'odds ratio', 'Mantel-Haenszel').printed as string);
    expectClose(
      Math.exp(value),
      recomputedNumber(example, 'odds ratio', 'Mantel-Haenszel'),
      'specialFunctionTail',
    );
    expectAllClose(
      [Math.exp(interval.lower), Math.exp(interval.upper)],
      recomputedList(example, 'odds ratio 95% interval', method),
      'specialFunctionTail',
    );
  });
});

describe('Mantel-Haenszel with several arms', () => {
  it('of one study is the log odds ratios with their ordinary covariance', () => {
    // For a single table the formulas reduce to Woolf's, and the covariance to the shared arm's 1/x + 1/(n - x).
    const arms = armsOf([
      ['s', 'a', 6, 50],
      ['s', 'b', 9, 55],
      ['s', 'c', 3, 61],
    ]);
    const mantelHaenszel = mantelHaenszelNetwork(arms, { node }).parts[0]!;
    const ordinary = fitNetwork(networkFromCounts(arms, { node }).studies).parts[0]!;
    for (const [i, { effect }] of mantelHaenszel.comparisons.entries()) {
      expectClose(effect.value, ordinary.comparisons[i]!.network.value, 'iterative');
      expectClose(effect.standardError, ordinary.comparisons[i]!.network.standardError, 'iterative');
    }
  });

  it('agrees with the true odds ratios when every stratum has just those', () => {
    // Odds 1/9, 1/4 and 2/3 in every study, whatever its size: the ratios are exact.
    const arms = armsOf(
      [1, 2, 5].flatMap(
        (k) =>
          [
            [`s${k}`, 'a', 10 * k, 100 * k],
            [`s${k}`, 'b', 20 * k, 100 * k],
            [`s${k}`, 'c', 40 * k, 100 * k],
          ] as const,
      ),
    );
    const { comparisons } = mantelHaenszelNetwork(arms, { node }).parts[0]!;
    expectAllClose(
      comparisons.map(({ effect }) => Math.exp(effect.value)),
      [1 / 9 / (1 / 4), 1 / 9 / (2 / 3), 1 / 4 / (2 / 3)],
      'specialFunction',
    );
  });

  it('states the variance that repeated sparse three-arm designs show', () => {
    // Thirty strata of 12 to 20 shoulders an arm at risks of 4 to 15 %; 3,000 repeats leave the ratio of variances a
    // standard error of about 2.6 %, so a tenth is far enough out for the wrong formula only.
    const next = seededUniform(20261125);
    const risks = { a: 0.06, b: 0.1, c: 0.15 };
    const draws: number[][] = [];
    const stated: number[][] = [];
    for (let repeat = 0; repeat < 3000; repeat++) {
      const rows = Array.from({ length: 30 }, (_, s) =>
        Object.entries(risks).map(([arm, risk]) => {
          const total = 12 + ((s * 3 + arm.charCodeAt(0)) % 9);
          // Strata differ in their odds, the odds ratios do not.
          const odds = (risk / (1 - risk)) * (0.6 + (s % 5) * 0.2);
          let events = 0;
          for (let i = 0; i < total; i++) if (next() < odds / (1 + odds)) events += 1;
          return [`s${s}`, arm, events, total] as const;
        }),
      ).flat();
      const { comparisons } = mantelHaenszelNetwork(armsOf(rows), { node }).parts[0]!;
      draws.push(comparisons.map(({ effect }) => effect.value));
      stated.push(comparisons.map(({ effect }) => effect.standardError ** 2));
    }
    for (const i of [0, 1, 2]) {
      const mean = draws.reduce((sum, each) => sum + each[i]!, 0) / draws.length;
      const seen = draws.reduce((sum, each) => sum + (each[i]! - mean) ** 2, 0) / (draws.length - 1);
      const said = stated.reduce((sum, each) => sum + each[i]!, 0) / stated.length;
      expect(Math.abs(said / seen - 1), `comparison ${i}: ${said} stated, ${seen} seen`).toBeLessThan(0.1);
    }
  });

  it('leaves an arm out that has no events in any study of its design, and says so', () => {
    const { parts, leftOut } = mantelHaenszelNetwork(
      armsOf([
        ['s', 'a', 6, 50],
        ['s', 'b', 9, 55],
        ['s', 'c', 0, 61],
        ['t', 'a', 0, 40],
        ['t', 'b', 2, 40],
      ]),
      { node },
    );
    expect(parts.map(({ treatments }) => treatments)).toEqual([['a', 'b']]);
    expect(leftOut.some(({ reason }) => reason.startsWith('no events at c'))).toBe(true);
    expect(leftOut.some(({ study, reason }) => study === 't' && reason.startsWith('no events at a'))).toBe(
      true,
    );
  });
});

describe('penalised likelihood', () => {
  it('of one table is the odds ratio with a half in every cell', () => {
    // Firth 1993, section 3: for a saturated binomial table the penalty amounts to that.
    for (const [x, n, y, m] of [
      [0, 40, 3, 42],
      [5, 30, 1, 33],
      [30, 30, 20, 25],
    ] as const) {
      const [part] = penalisedNetwork(
        armsOf([
          ['s', 'a', x, n],
          ['s', 'b', y, m],
        ]),
        { node },
      ).parts;
      const expected = Math.log(((x + 0.5) * (m - y + 0.5)) / ((y + 0.5) * (n - x + 0.5)));
      expect(part!.converged).toBe(true);
      expectClose(part!.comparisons[0]!.effect.value, expected, 'iterative');
    }
  });

  it('comes to the maximum likelihood answer with many events, and does not depend on order or names', () => {
    const rows = [
      ['s', 'a', 300, 3000],
      ['s', 'b', 450, 3000],
      ['t', 'b', 280, 2000],
      ['t', 'c', 200, 2100],
      ['u', 'c', 160, 1500],
      ['u', 'a', 170, 1500],
    ] as const;
    const part = penalisedNetwork(armsOf(rows), { node }).parts[0]!;
    const normal = fitNetwork(networkFromCounts(armsOf(rows), { node }).studies, { model: 'common-effect' })
      .parts[0]!;
    for (const [i, { effect }] of part.comparisons.entries())
      expect(Math.abs(effect.value - normal.comparisons[i]!.network.value)).toBeLessThan(
        0.02 * effect.standardError + 0.002,
      );
    const reversed = penalisedNetwork(armsOf([...rows].reverse()), { node, order: ['c'] }).parts[0]!;
    const [cAgainstA] = reversed.comparisons;
    expectClose(cAgainstA!.effect.value, -part.comparisons[1]!.effect.value, 'iterative');
    expectClose(cAgainstA!.effect.standardError, part.comparisons[1]!.effect.standardError, 'iterative');
  });

  it('keeps a treatment that never had an event finite, with the widest interval', () => {
    const { parts } = penalisedNetwork(
      armsOf([
        ['s', 'a', 4, 50],
        ['s', 'b', 0, 55],
        ['t', 'a', 3, 40],
        ['t', 'c', 2, 44],
        ['u', 'b', 0, 30],
        ['u', 'c', 1, 31],
      ]),
      { node },
    );
    const errors = parts[0]!.comparisons.map(({ effect }) => effect.standardError);
    expect(errors.every(Number.isFinite)).toBe(true);
    expect(errors[1]!).toBeLessThan(errors[0]!);
  });
});

describe.each([
  ['penalised', penalisedNetwork],
  ['Mantel-Haenszel', mantelHaenszelNetwork],
])('%s network of nothing', (_, network) => {
  it('says that double-zero studies tell nothing', () => {
    const { parts, leftOut } = network(
      armsOf([
        ['s', 'a', 0, 50],
        ['s', 'b', 0, 55],
        ['t', 'b', 40, 40],
        ['t', 'c', 40, 40],
      ]),
      { node },
    );
    expect(parts).toEqual([]);
    expect(leftOut.map(({ reason }) => reason)).toEqual([
      'no events in any arm, which says nothing about an odds ratio',
      'nothing but events in every arm, which says nothing about an odds ratio',
    ]);
  });

  it('takes parts that no study links apart', () => {
    const { parts } = network(
      armsOf([
        ['s', 'a', 3, 50],
        ['s', 'b', 5, 55],
        ['t', 'c', 4, 40],
        ['t', 'd', 6, 40],
      ]),
      { node },
    );
    expect(parts.map(({ treatments }) => treatments)).toEqual([
      ['a', 'b'],
      ['c', 'd'],
    ]);
  });

  it('refuses unknown options', () => {
    expect(() => network([], { colour: 1 } as never)).toThrow('unknown option "colour"');
  });
});
