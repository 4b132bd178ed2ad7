import { rowsOfArm } from '../extraction/armEvents.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { derSimonianLairdBeside } from '../pooling/quoteSites.ts';
import { markAnswer } from '../wording/answerMark.ts';
import { levelHeading, methodsDiffer, quotedNotes } from './ratesBySiteTable.ts';
import { percentDigits, percentLimits } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

/**
 * Does the answer hang on the method? The quoted number beside DerSimonian-Laird and the median study of the one-step
 * model, or of a pool nobody quotes from its two steps beside the one-step model, and in words whether a reader would be told another number.
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
      {
        key: 'twoStep',
        heading: quoted ? `DerSimonian-Laird (${level})` : `Two steps (${level} interval)`,
        align: 'right',
        shownIn: 'page',
      },
      { key: 'oneStep', heading: `One step, median study (${level})`, align: 'right', shownIn: 'page' },
      { key: 'two_step_rate', heading: 'two_step_rate', shownIn: 'file' },
      { key: 'one_step_rate', heading: 'one_step_rate', shownIn: 'file' },
      { key: 'verdict', heading: 'Do they agree?' },
    ],
    sources: pools.sites.map(({ pool }) => pool.arms.flatMap(rowsOfArm)),
    rows: pools.sites.map(({ name, pool, answer }): TableRow => {
      const { headline } = pool;
      const { twoStep, oneStep } = besides(pool);
      return {
        site: name,
        ...(quoted && {
          quoted: headline && markAnswer(answer, rateWithLimits(headline.rate, headline.interval)),
        }),
        twoStep: twoStep?.rate === undefined ? 'no answer' : rateWithLimits(twoStep.rate, twoStep.interval),
        oneStep: oneStep?.rate === undefined ? 'no answer' : rateWithLimits(oneStep.rate, oneStep.interval),
        two_step_rate: twoStep?.rate,
        one_step_rate: oneStep?.rate,
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

/** What stands beside the told number; where one of the two is quoted itself, it is that. */
function besides(pool: PooledRate) {
  const { quoted, twoStep, oneStep } = pool;
  if (quoted === undefined)
    return {
      twoStep: twoStep.natural && { rate: twoStep.natural.value, interval: twoStep.natural.interval },
      oneStep,
    };
  return {
    twoStep: quoted.method.startsWith('dersimonian-laird') ? quoted : derSimonianLairdBeside(pool),
    oneStep: quoted.others.find(({ estimand }) => estimand === 'median study'),
  };
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
