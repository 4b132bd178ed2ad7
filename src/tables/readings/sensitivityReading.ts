import { percentDigits } from '../rateText.ts';
import type { NamedPools } from '../sensitivityTable.ts';

/**
 * At which sites the answer hangs on the way it was analysed, judged by a difference that matters.
 *
 * @param materialDifference a proportion, such as 0.02 for two per 100
 */
export function sensitivityReading(
  ways: readonly NamedPools[],
  materialDifference: number,
): readonly string[] {
  const [first] = ways;
  if (first === undefined) return [];
  const spread = first.pools.sites.map(({ site, name }) => {
    const rates = ways.flatMap(({ pools }) =>
      pools.sites.flatMap((other) =>
        other.site === site && other.pool.headline !== undefined ? [other.pool.headline.rate] : [],
      ),
    );
    return { name, count: rates.length, low: Math.min(...rates), high: Math.max(...rates) };
  });
  const answered = spread.filter(({ count }) => count >= 2);
  const moved = answered.filter(({ low, high }) => high - low >= materialDifference);
  const lines = moved.map(
    ({ name, low, high }) =>
      `${name}: the rate moves from ${percentDigits(low)} to ${percentDigits(high)} in 100 with the rule alone.`,
  );
  const difference = percentDigits(materialDifference);
  if (moved.length === 0 && answered.length > 0) {
    lines.push(`No site moves by ${difference} or more in 100, the difference set as mattering.`);
  } else if (moved.length > 0 && moved.length < answered.length) {
    const steady = answered.filter((site) => !moved.includes(site)).map(({ name }) => name);
    lines.push(`Moving by less than ${difference} in 100: ${steady.join(', ')}.`);
  }
  if (answered.length === 0)
    lines.push('No site has a rate under two of the rules, so they cannot be set against each other.');
  return lines;
}
