import type { Count } from '../../effects/estimate.ts';

/**
 * How often would chance alone split these events at least as unevenly between the arms?
 *
 * Fisher's exact test, two-sided: the probabilities of all splits no likelier than the one seen, given the totals. 1
 * where both arms had no events, or nothing but events.
 *
 * Source: Fisher RA, J R Stat Soc 1935;98:39-54; two-sided by probability as in Agresti A, Categorical Data Analysis,
 * 3rd ed. 2013, section 3.5.
 *
 * @example
 * fisherExact({ events: 4, total: 42 }, { events: 15, total: 45 })
 */
export function fisherExact(one: Count, other: Count): number {
  const events = one.events + other.events;
  const lowest = Math.max(0, events - other.total);
  const highest = Math.min(one.total, events);
  // Each split's probability over the one seen, by ratios of neighbours.
  let sum = 1;
  let asExtreme = 1;
  const take = (relative: number): void => {
    sum += relative;
    if (relative <= 1 + 1e-7) asExtreme += relative;
  };
  const up = (a: number): number =>
    ((one.total - a) * (events - a)) / ((a + 1) * (other.total - events + a + 1));
  let relative = 1;
  for (let a = one.events; a < highest && relative > 0; a++) {
    relative *= up(a);
    take(relative);
  }
  relative = 1;
  for (let a = one.events; a > lowest && relative > 0; a--) {
    relative /= up(a - 1);
    take(relative);
  }
  // The seen split so unlikely that the others overflow: smaller than any number that can be written.
  return Number.isFinite(sum) ? Math.min(1, asExtreme / sum) : 0;
}
