import { rowsOfArm } from '../extraction/armEvents.ts';
import { countsBeside } from '../pooling/armsInNumber.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { notInPoolText, percentDigits, percentLimits } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

/** Why a site has no range for the next study; said only where such a column stands. */
export const noRangeNote =
  'No range for the next study is given where too few studies show how much studies differ.';

/** Level of an interval as headings print it: `95%`. */
export function levelHeading(level: number): string {
  return `${Number((100 * level).toPrecision(6))}%`;
}

/**
 * One outcome at every site, per 100 shoulders: the rate, its interval, what to expect in the next study, and
 * what it rests on. Every pool's cautions are notes of the table.
 *
 * @param options.caption what was counted; default names the table only
 * @example
 * tableToText(ratesBySiteTable(poolBySite(arms), { caption: 'Cosmetic deformity' }));
 */
export function ratesBySiteTable(pools: SitePools, options: { readonly caption?: string } = {}): Table {
  const level = levelHeading(pools.sites[0]?.pool.options.level ?? 0.95);
  return table({
    caption: options.caption ?? 'Pooled rate at each site, per 100 shoulders',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'rate', heading: 'Per 100 shoulders', align: 'right', shownIn: 'page' },
      { key: 'interval', heading: `${level} interval`, align: 'right', shownIn: 'page' },
      { key: 'prediction', heading: `Next study (${level})`, align: 'right', shownIn: 'page' },
      ...rateFileColumns,
      { key: 'studies', heading: 'Studies', align: 'right' },
      { key: 'shoulders', heading: 'Shoulders', align: 'right' },
      { key: 'events', heading: 'Events', align: 'right' },
    ],
    rows: pools.sites.map(({ name, pool }) => ({ site: name, ...rateCells(pool) })),
    sources: pools.sites.map(({ pool }) => pool.arms.flatMap(rowsOfArm)),
    answers: pools.sites.map(({ answer }) => answer),
    notes: [
      pools.notAComparison,
      ...notInNumberNotes(pools.sites),
      ...basisNotes(pools.sites.map(({ pool }) => pool)),
      ...methodNotes(pools.sites),
    ],
  });
}

/** Columns of a rate for other programs: proportions in full. */
export const rateFileColumns = [
  { key: 'rateValue', heading: 'rate', shownIn: 'file' },
  { key: 'lower', heading: 'interval_lower', shownIn: 'file' },
  { key: 'upper', heading: 'interval_upper', shownIn: 'file' },
  { key: 'predictionLower', heading: 'prediction_lower', shownIn: 'file' },
  { key: 'predictionUpper', heading: 'prediction_upper', shownIn: 'file' },
  { key: 'basis', heading: 'basis', shownIn: 'file' },
  { key: 'armsNotInNumber', heading: 'arms_not_in_number', shownIn: 'file' },
] as const;

/** The cells of one pooled rate, for pages and files. */
export function rateCells(pool: PooledRate): TableRow {
  const { headline } = pool;
  const { studies, shoulders, events } = countsBeside(pool);
  const counts = {
    studies,
    shoulders,
    events,
    ...(pool.headline === undefined ? {} : { armsNotInNumber: pool.armsNotInNumber.length }),
  };
  if (pool.arms.length === 0) return { ...counts, rate: 'no study' };
  if (headline === undefined) return { ...counts, rate: 'not pooled' };
  const exact = { 0: 'none seen', 1: 'all' }[headline.rate];
  return {
    ...counts,
    rate: headline.basis === 'exact' && exact !== undefined ? exact : percentDigits(headline.rate),
    interval: percentLimits(headline.interval),
    prediction: headline.prediction === undefined ? 'not given' : percentLimits(headline.prediction),
    rateValue: headline.rate,
    lower: headline.interval.lower,
    upper: headline.interval.upper,
    predictionLower: headline.prediction?.lower,
    predictionUpper: headline.prediction?.upper,
    basis: headline.basis,
  };
}

/** The sites whose number does not rest on every arm, and which arms it leaves: "Subpectoral: 3 arms of … are not in this number." */
export const notInNumberNotes = (sites: SitePools['sites']): readonly string[] =>
  sites.flatMap(({ name, pool }) =>
    pool.headline === undefined || pool.armsNotInNumber.length === 0
      ? []
      : [`${name}: ${notInPoolText(pool)}.`],
  );

/** What a reader must know about the ways the rates of a table came about. */
export function basisNotes(pools: readonly PooledRate[]): readonly string[] {
  const used = pools.filter((pool) => pool.arms.length > 0);
  const notes: string[] = [];
  if (used.some((pool) => pool.headline?.basis === 'exact')) {
    notes.push(
      'Where no shoulder (or every shoulder) had the event, the interval is the exact one over all shoulders together; no rate is pooled.',
    );
  }
  if (used.some((pool) => pool.headline !== undefined && pool.headline.prediction === undefined)) {
    notes.push(noRangeNote);
  }
  return notes;
}

/** Does the one-step check give a materially different rate? */
export function methodsDiffer(pool: PooledRate): boolean {
  return pool.cautions.some(({ code }) => code === 'one-step-differs');
}

/** The sites at which another defensible method gives another rate, with that rate. */
function methodNotes(sites: SitePools['sites']): readonly string[] {
  const apart = sites.flatMap(({ name, pool }) =>
    methodsDiffer(pool) && pool.oneStep.rate !== undefined
      ? [`${name} ${percentDigits(pool.oneStep.rate)}`]
      : [],
  );
  return apart.length === 0
    ? []
    : [`The method matters at these sites, where the one-step check gives, per 100: ${apart.join('; ')}.`];
}
