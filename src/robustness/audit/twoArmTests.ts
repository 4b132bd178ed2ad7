import type { Count } from '../../effects/estimate.ts';
import { chiSquareUpperTail, normalUpperTail } from '../../numerics/distributions.ts';

/** The tests a paper may have used on events in two arms, by the name to print. */
export interface TwoArmTest {
  readonly name: string;
  /** Two-sided. */
  readonly p: number;
}

/**
 * Which p value does each usual test of two proportions give?
 *
 * Fisher's exact test three ways (splits no likelier than the one seen; twice the smaller tail; mid-P, with half the
 * probability of splits as likely as the one seen), chi-square without and with Yates's correction and with N − 1, the
 * likelihood ratio, and, where they exist, the Wald tests of the log odds ratio and of the difference. Empty where there
 * is nothing to test: no events in either arm, or nothing but events.
 *
 * @see Fisher RA, J R Stat Soc 1935;98:39. Yates F, J R Stat Soc Suppl 1934;1:217. Lancaster HO, J Am Stat Assoc
 *   1961;56:223 (mid-P). Campbell I, Stat Med 2007;26:3661 (N − 1).
 * @example
 * twoArmTests({ events: 19, total: 106 }, { events: 8, total: 143 })
 */
export function twoArmTests(one: Count, other: Count): readonly TwoArmTest[] {
  const [a, c] = [one.events, other.events];
  const [b, d] = [one.total - a, other.total - c];
  const n = one.total + other.total;
  const [events, rest] = [a + c, b + d];
  if (events === 0 || rest === 0 || one.total === 0 || other.total === 0) return [];
  const product = one.total * other.total * events * rest;
  const cross = Math.abs(a * d - b * c);
  const chi = (n * cross ** 2) / product;
  const corrected = (n * Math.max(0, cross - n / 2) ** 2) / product;
  const likelihood =
    2 *
    [
      [a, one.total, events],
      [b, one.total, rest],
      [c, other.total, events],
      [d, other.total, rest],
    ].reduce(
      (sum, [cell = 0, row = 0, column = 0]) =>
        sum + (cell > 0 ? cell * Math.log((cell * n) / (row * column)) : 0),
      0,
    );
  const exact = exactSplits(one, other);
  const tests: TwoArmTest[] = [
    { name: "Fisher's exact test", p: exact.noLikelier },
    { name: 'chi-square without correction', p: chiSquareUpperTail(chi, 1) },
    { name: "chi-square with Yates's correction", p: chiSquareUpperTail(corrected, 1) },
    { name: 'mid-P exact test', p: exact.midP },
    { name: 'twice the smaller exact tail', p: exact.doubled },
    { name: 'chi-square with N − 1', p: chiSquareUpperTail((chi * (n - 1)) / n, 1) },
    { name: 'likelihood ratio', p: chiSquareUpperTail(Math.max(0, likelihood), 1) },
  ];
  const twoSided = (z: number): number => Math.min(1, 2 * normalUpperTail(Math.abs(z)));
  if (a * b * c * d > 0) {
    const z = Math.log((a * d) / (b * c)) / Math.sqrt(1 / a + 1 / b + 1 / c + 1 / d);
    tests.push({ name: 'Wald test of the odds ratio', p: twoSided(z) });
  }
  const variance = (a * b) / one.total ** 3 + (c * d) / other.total ** 3;
  if (variance > 0) {
    const z = (a / one.total - c / other.total) / Math.sqrt(variance);
    tests.push({ name: 'Wald test of the difference', p: twoSided(z) });
  }
  return tests;
}

/** Tails of the split of the events between the arms, given all totals. */
function exactSplits(
  one: Count,
  other: Count,
): { readonly noLikelier: number; readonly midP: number; readonly doubled: number } {
  const events = one.events + other.events;
  const lowest = Math.max(0, events - other.total);
  const highest = Math.min(one.total, events);
  // Each split's probability over the one seen, by ratios of neighbours; a tie is one within rounding.
  let [sum, noLikelier, ties, below, above] = [1, 1, 1, 1, 1];
  const take = (relative: number): void => {
    sum += relative;
    if (relative <= 1 + 1e-7) noLikelier += relative;
    if (Math.abs(relative - 1) <= 1e-7) ties += relative;
  };
  const up = (x: number): number =>
    ((one.total - x) * (events - x)) / ((x + 1) * (other.total - events + x + 1));
  let relative = 1;
  for (let x = one.events; x < highest && relative > 1e-18; x++) {
    relative *= up(x);
    above += relative;
    take(relative);
  }
  relative = 1;
  for (let x = one.events; x > lowest && relative > 1e-18; x--) {
    relative /= up(x - 1);
    below += relative;
    take(relative);
  }
  // The split seen so unlikely that the others overflow: smaller than any number that can be written.
  if (!Number.isFinite(sum)) return { noLikelier: 0, midP: 0, doubled: 0 };
  return {
    noLikelier: Math.min(1, noLikelier / sum),
    midP: Math.min(1, (noLikelier - ties / 2) / sum),
    doubled: Math.min(1, (2 * Math.min(below, above)) / sum),
  };
}
