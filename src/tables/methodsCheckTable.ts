import { rowsOfArm } from '../extraction/armEvents.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { levelHeading, methodsDiffer } from './ratesBySiteTable.ts';
import { percentDigits, percentLimits } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

/**
 * Does the answer hang on the method? The pool of transformed rates beside the one-step model of the counts,
 * which uses the arms without events as they are, and in words whether they differ materially.
 */
export function methodsCheckTable(pools: SitePools, options: { readonly caption?: string } = {}): Table {
  const first = pools.sites[0]?.pool.options;
  const level = levelHeading(first?.level ?? 0.95);
  return table({
    caption: options.caption ?? 'Two ways to pool, per 100 shoulders',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'twoStep', heading: `Two steps (${level} interval)`, align: 'right', shownIn: 'page' },
      { key: 'oneStep', heading: `One step (${level} interval)`, align: 'right', shownIn: 'page' },
      { key: 'two_step_rate', heading: 'two_step_rate', shownIn: 'file' },
      { key: 'one_step_rate', heading: 'one_step_rate', shownIn: 'file' },
      { key: 'verdict', heading: 'Do they agree?' },
    ],
    sources: pools.sites.map(({ pool }) => pool.arms.flatMap(rowsOfArm)),
    rows: pools.sites.map(({ name, pool }): TableRow => {
      const { natural } = pool.twoStep;
      const { oneStep } = pool;
      return {
        site: name,
        twoStep: natural === undefined ? 'no answer' : rateWithLimits(natural.value, natural.interval),
        oneStep: oneStep.rate === undefined ? 'no answer' : rateWithLimits(oneStep.rate, oneStep.interval),
        two_step_rate: natural?.value,
        one_step_rate: oneStep.rate,
        verdict: methodsVerdict(pool),
      };
    }),
    notes: [
      `They differ materially when ${percentDigits(first?.materialDifference ?? 0.02)} per 100 or more apart, or when one is more than one and a half times the other.`,
    ],
  });
}

/** Whether the two ways to pool agree for one pool, in words. */
export function methodsVerdict(pool: PooledRate): string {
  if (pool.arms.length === 0) return 'nothing to pool';
  if (methodsDiffer(pool)) return 'no, they differ materially';
  if (pool.twoStep.natural === undefined && pool.oneStep.rate === undefined) {
    return 'neither can answer; see the exact interval';
  }
  if (pool.twoStep.natural === undefined || pool.oneStep.rate === undefined) return 'only one can answer';
  return 'yes';
}

function rateWithLimits(
  rate: number,
  interval: { readonly lower: number; readonly upper: number; readonly level: number } | undefined,
): string {
  return percentDigits(rate) + (interval === undefined ? '' : ` (${percentLimits(interval)})`);
}
