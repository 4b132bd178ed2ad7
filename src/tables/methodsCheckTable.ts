import { rowsOfArm } from '../extraction/armEvents.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { markAnswer } from '../wording/answerMark.ts';
import { levelHeading, methodsDiffer, quotedNotes } from './ratesBySiteTable.ts';
import { percentDigits, percentLimits } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

/**
 * Does the answer hang on the method? The quoted number beside the pool of transformed rates, the one-step model of the
 * counts, and in words whether a reader would be told another number.
 */
export function methodsCheckTable(pools: SitePools, options: { readonly caption?: string } = {}): Table {
  const first = pools.sites[0]?.pool.options;
  const level = levelHeading(first?.level ?? 0.95);
  const quoted = pools.sites.some(({ pool }) => pool.quoted !== undefined);
  return table({
    caption: options.caption ?? 'By which method, per 100 shoulders',
    columns: [
      { key: 'site', heading: 'Site' },
      ...(quoted
        ? [{ key: 'quoted', heading: `Quoted (${level})`, align: 'right', shownIn: 'page' } as const]
        : []),
      { key: 'twoStep', heading: `Two steps (${level} interval)`, align: 'right', shownIn: 'page' },
      { key: 'oneStep', heading: `One step, median study (${level})`, align: 'right', shownIn: 'page' },
      { key: 'two_step_rate', heading: 'two_step_rate', shownIn: 'file' },
      { key: 'one_step_rate', heading: 'one_step_rate', shownIn: 'file' },
      { key: 'verdict', heading: 'Do they agree?' },
    ],
    sources: pools.sites.map(({ pool }) => pool.arms.flatMap(rowsOfArm)),
    rows: pools.sites.map(({ name, pool, answer }): TableRow => {
      const { natural } = pool.twoStep;
      const { oneStep, headline } = pool;
      return {
        site: name,
        ...(quoted && {
          quoted: headline && markAnswer(answer, rateWithLimits(headline.rate, headline.interval)),
        }),
        twoStep: natural === undefined ? 'no answer' : rateWithLimits(natural.value, natural.interval),
        oneStep: oneStep.rate === undefined ? 'no answer' : rateWithLimits(oneStep.rate, oneStep.interval),
        two_step_rate: natural?.value,
        one_step_rate: oneStep.rate,
        verdict: methodsVerdict(pool),
      };
    }),
    notes: quoted
      ? [
          'They do not agree where DerSimonian-Laird lies more than a tenth from the quoted rate, in shoulders with the event or without.',
          ...quotedNotes(pools.sites),
        ]
      : [
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
