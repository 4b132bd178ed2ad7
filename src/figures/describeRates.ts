import type { Interval } from '../numerics/interval.ts';
import { type ForestGroup, summaryLabels } from './forestModel.ts';
import { levelText, percentNumber } from './formatNumber.ts';

/** The same picture in words, with its numbers. */
export function describeRates(groups: readonly ForestGroup[], level: number, decimals: number): string {
  const percent = (rate: number) => percentNumber(rate, decimals);
  const range = ({ lower, upper }: Interval) => `${percent(lower)} to ${percent(upper)} %`;
  const parts = groups.map(({ heading, detail, pooled, prediction, beside, rows }) => {
    const name = heading ?? 'All arms';
    const summary =
      pooled === undefined
        ? 'no pooled rate'
        : `${pooled.meaning} ${percent(pooled.estimate)} %, ${levelText(pooled.interval.level)} interval ${range(pooled.interval)}`;
    const next = prediction === undefined ? '' : `; a new study could see ${range(prediction)}`;
    const other = beside
      .map(
        ({ label, estimate, interval }) =>
          `; ${label === summaryLabels.check ? label.toLowerCase() : label} ${percent(estimate)} %${interval === undefined ? '' : ` (${range(interval)})`}`,
      )
      .join('');
    const arms = rows
      .map(
        ({ label, counts, estimate }) =>
          `${label} ${counts[0]?.events} of ${counts[0]?.total} (${percent(estimate)} %)`,
      )
      .join('; ');
    return `${name} (${detail ?? 'no arms'}): ${summary}${next}${other}. Arms: ${arms === '' ? 'none' : arms}.`;
  });
  return `Forest plot of rates in per cent with ${levelText(level)} intervals. ${parts.join(' ')}`;
}
