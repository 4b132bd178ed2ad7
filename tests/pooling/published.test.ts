// Published meta-analyses recomputed: printed values at their printed digits, and the same quantities as recomputed at
// 40 digits by routes that share no code with the library. Data, citations and origin of each value: tests/published.
import { describe, expect, test } from 'vitest';
import type { Interval } from '../../src/numerics/interval.ts';
import { testBasedHSquaredInterval } from '../../src/pooling/heterogeneity.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { expectAllClose, expectAllPrinted } from '../helpers/close.ts';
import { numberIn, published } from '../published/published.ts';
import { type PublishedSet, publishedSets } from './publishedSets.ts';

const common = 'inverse-variance, common effect';
const random = 'random effects, DerSimonian-Laird';
const limits = (interval: Interval | undefined) => [interval?.lower, interval?.upper];

/** Every quantity of a pool under the names the published examples use: `quantity | method`. */
function quantities({
  estimates,
  prefix,
  suffix,
  natural,
}: PublishedSet): Map<string, (number | undefined)[]> {
  const fixed = poolEstimates(estimates, { model: 'common-effect' });
  const wald = poolEstimates(estimates);
  const hartungKnapp = poolEstimates(estimates, { interval: 'hartung-knapp' });
  const h = wald.heterogeneity!;
  const named = (quantity: string) => `${prefix}${quantity}${suffix}`;
  const percent = (values: (number | undefined)[]) => values.map((value) => 100 * value!);
  return new Map([
    [`${named('pooled effect')} | ${common}`, [fixed.mean!.value]],
    [`${named('standard error')} | ${common}`, [fixed.mean!.standardError]],
    [`variance of the pooled effect | ${common}`, [fixed.mean!.standardError ** 2]],
    [`${named('95% interval')} | ${common}, normal`, limits(fixed.mean!.interval)],
    [`${named('z')} | ${common}`, [fixed.mean!.value / fixed.mean!.standardError]],
    [`${named('heterogeneity Q')} | Cochran, inverse-variance weights`, [h.q]],
    [`${named('Q')} | Cochran`, [h.q]],
    [`${named('degrees of freedom')} | Cochran`, [h.degreesOfFreedom]],
    [`${named('p of Q')} | chi-square upper tail`, [h.pValue]],
    [`${named('I-squared percent')} | (Q-df)/Q`, [100 * h.iSquared]],
    [`${named('between-study variance')} | DerSimonian-Laird`, [h.betweenStudyVariance]],
    [`${named('between-study variance')} | DerSimonian-Laird within the subgroup`, [h.betweenStudyVariance]],
    [`${named('pooled effect')} | ${random}`, [wald.mean!.value]],
    [`${named('standard error')} | ${random}`, [wald.mean!.standardError]],
    [`${named('95% interval')} | ${random}, normal`, limits(wald.mean!.interval)],
    [
      `${named('95% prediction interval')} | DerSimonian-Laird variance, t with k-2 degrees of freedom`,
      limits(wald.prediction),
    ],
    [`${named('standard error')} | ${random} variance, Hartung-Knapp`, [hartungKnapp.mean!.standardError]],
    [
      `${named('95% interval')} | ${random} variance, Hartung-Knapp t(k-1)`,
      limits(hartungKnapp.mean!.interval),
    ],
    [
      `${named('95% interval of the between-study variance')} | Q-profile`,
      limits(h.betweenStudyVarianceInterval),
    ],
    [
      `${named('95% interval of I-squared percent')} | Higgins-Thompson test-based, through ln H`,
      percent(limits(h.iSquaredInterval)),
    ],
    [`${natural} | ${common}`, [fixed.natural!.value]],
    [`${natural} | ${random}`, [wald.natural!.value]],
    [`${natural} 95% interval | ${common}, normal`, limits(fixed.natural!.interval)],
    [`${natural} 95% interval | ${random}, normal`, limits(wald.natural!.interval)],
    [
      `prediction interval, ${natural} scale | DerSimonian-Laird variance, t with k-2 degrees of freedom`,
      limits(wald.natural!.prediction),
    ],
  ]);
}

describe.each(publishedSets)('$name — $example.citation', (set) => {
  const found = quantities(set);

  test('at the printed digits', () => {
    for (const { quantity, method, printed, within, because } of set.example.printed) {
      const actual = found.get(`${quantity} | ${method}`);
      if (!actual) continue;
      expectAllPrinted(actual, [printed].flat(), {
        label: quantity,
        because: because ?? 'the page prints no more digits',
        ...(within === undefined ? {} : { within }),
      });
    }
  });

  test('as recomputed elsewhere', () => {
    let checked = 0;
    for (const { quantity, method, value } of set.example.recomputed.flatMap(({ values }) => values)) {
      const actual = found.get(`${quantity} | ${method}`);
      if (!actual) continue;
      expectAllClose(actual, [value].flat(), 'specialFunction', { label: `${quantity} | ${method}` });
      checked += 1;
    }
    expect(checked).toBeGreaterThanOrEqual(4);
  });
});

describe('I² and its test-based interval from Q and the number of studies', () => {
  const example = published('i-squared-intervals');
  test.each([...example.rows])(`$topic — ${example.citation}`, (row) => {
    const [q, count] = [numberIn(row, 'heterogeneityQ'), numberIn(row, 'studies')];
    const interval = testBasedHSquaredInterval(q, count, 0.95)!;
    const found: Record<string, number[]> = {
      'I-squared percent': [100 * Math.max(0, (q - count + 1) / q)],
      '95% interval of I-squared percent': [100 * (1 - 1 / interval.lower), 100 * (1 - 1 / interval.upper)],
    };
    let checked = 0;
    for (const [name, actual] of Object.entries(found)) {
      const quantity = `${name}, ${row.topic}`;
      for (const { printed, because } of example.printed.filter((value) => value.quantity === quantity)) {
        expectAllPrinted(actual, [printed].flat(), { because: because ?? 'the page prints whole per cent' });
        checked += 1;
      }
      for (const { values } of example.recomputed) {
        for (const { value } of values.filter((other) => other.quantity === quantity)) {
          expectAllClose(actual, [value].flat(), 'specialFunction');
          checked += 1;
        }
      }
    }
    expect(checked).toBeGreaterThanOrEqual(3);
  });
});
