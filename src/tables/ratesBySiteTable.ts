import { rowsOfArm } from '../extraction/armEvents.ts';
import { countsBeside } from '../pooling/armsInNumber.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { estimandWords, numberByMethod } from '../pooling/quoted/estimandWords.ts';
import type { QuotedRate } from '../pooling/quoted/quotedRate.ts';
import { derSimonianLairdBeside } from '../pooling/quoteSites.ts';
import { derSimonianLairdCell } from './evidence/quotedText.ts';
import { notInPoolText, otherMethodOf, percentDigits, percentLimits } from './rateText.ts';
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
  const beside = pools.sites.map(({ pool }) => derSimonianLairdText(pool));
  return table({
    caption: options.caption ?? 'Pooled rate at each site, per 100 shoulders',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'rate', heading: 'Per 100 shoulders', align: 'right', shownIn: 'page' },
      { key: 'interval', heading: `${level} interval`, align: 'right', shownIn: 'page' },
      { key: 'prediction', heading: `Next study (${level})`, align: 'right', shownIn: 'page' },
      ...(beside.some((text) => text !== undefined)
        ? [
            {
              key: 'derSimonianLaird',
              heading: `DerSimonian-Laird (${level})`,
              align: 'right',
              beside: 'methods compared',
            } as const,
          ]
        : []),
      ...rateFileColumns,
      { key: 'studies', heading: 'Studies', align: 'right' },
      { key: 'shoulders', heading: 'Shoulders', align: 'right' },
      { key: 'events', heading: 'Events', align: 'right' },
    ],
    rows: pools.sites.map(({ name, pool }, at) => ({
      site: name,
      ...rateCells(pool),
      ...(beside[at] === undefined ? {} : { derSimonianLaird: beside[at] }),
    })),
    sources: pools.sites.map(({ pool }) => pool.arms.flatMap(rowsOfArm)),
    answers: pools.sites.map(({ answer }) => answer),
    notes: [
      pools.notAComparison,
      ...notInNumberNotes(pools.sites),
      ...basisNotes(pools.sites.map(({ pool }) => pool)),
      ...quotedNotes(pools.sites),
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

/** Would another defensible method have a reader told another number? */
export const methodsDiffer = (pool: PooledRate): boolean => otherMethodOf(pool) !== undefined;

/** The sites at which another defensible method gives another rate, with that rate. */
function methodNotes(sites: SitePools['sites']): readonly string[] {
  const apart = sites.flatMap(({ name, pool }) => {
    const other = otherMethodOf(pool);
    return other === undefined ? [] : [`${name} ${percentDigits(other.rate)} by ${other.words}`];
  });
  return apart.length === 0
    ? []
    : [`The method matters at these sites, where another gives, per 100: ${apart.join('; ')}.`];
}

/** What DerSimonian-Laird says beside the quoted number of a pool: always shown. */
export const derSimonianLairdText = ({ quoted }: PooledRate): string | undefined =>
  derSimonianLairdCell(quoted);

const sharesText = (least: number, most: number): string =>
  [...new Set([least, most].map((share) => Math.round(100 * share)))].join(' to ');

const coverageText = ({ least, most }: NonNullable<QuotedRate['coverage']>): string =>
  `${sharesText(least, most)} of 100 simulated reviews of this kind`;

/** Which number is quoted, what it is a number of, and what its interval was measured to hold. */
export function quotedNotes(sites: SitePools['sites']): readonly string[] {
  const byMethod = new Map<string, { readonly quoted: QuotedRate; readonly names: string[] }>();
  for (const { name, pool } of sites) {
    if (pool.quoted === undefined || pool.arms.length === 0) continue;
    const key = `${pool.quoted.method} ${pool.quoted.estimand}`;
    const known = byMethod.get(key);
    if (known === undefined) byMethod.set(key, { quoted: pool.quoted, names: [name] });
    else known.names.push(name);
  }
  const all = [...byMethod.values()];
  const notes = all.map(({ quoted, names }) => {
    const where = all.length === 1 ? '' : ` (${names.map((name) => name.toLowerCase()).join(', ')})`;
    const held =
      quoted.coverage === undefined ? '' : ` Its interval held it in ${coverageText(quoted.coverage)}.`;
    return `Quoted${where}: ${numberByMethod(estimandWords[quoted.estimand], quoted.methodName)}.${held}`;
  });
  const beside = sites.flatMap(({ pool }) => derSimonianLairdBeside(pool) ?? []);
  const [first] = beside;
  const coverages = beside.flatMap(({ coverage }) => coverage ?? []);
  if (first !== undefined) {
    const held =
      coverages.length === 0
        ? ''
        : ` Its interval held what it aims at in ${sharesText(Math.min(...coverages.map(({ least }) => least)), Math.max(...coverages.map(({ most }) => most)))} of 100 such reviews.`;
    notes.push(`Beside it: ${first.methodName}, ${estimandWords[first.estimand]}.${held}`);
  }
  return notes;
}
