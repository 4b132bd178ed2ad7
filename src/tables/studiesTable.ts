import { rateInterval } from '../effects/rateInterval.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import { rowsOfArm } from '../extraction/armEvents.ts';
import type { Protocol } from '../extraction/protocol.ts';
import { armWeights } from '../pooling/armWeights.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { levelHeading } from './ratesBySiteTable.ts';
import { percentDigits, percentLimits } from './rateText.ts';
import { reportedCell, type Table, type TableRow, table } from './table.ts';

type StudyInterval = Protocol['analysis']['studyInterval'];

/** Options of {@link studiesTable}. */
export interface StudiesTableOptions {
  readonly caption?: string;
  /** Interval of each arm's own rate, default `wilson`. */
  readonly interval?: StudyInterval;
}

/**
 * Which arms stand behind the pools: counts, own rate and interval, share of the weight, and the page of the
 * paper and line of the sheet each count was read from. Arms outside the four pools stand at the end.
 */
export function studiesTable(pools: SitePools, options: StudiesTableOptions = {}): Table {
  const level = pools.sites[0]?.pool.options.level ?? 0.95;
  const method = options.interval ?? 'wilson';
  const row = (arm: ArmEvents, site: string, pool: PooledRate | undefined, weight?: number): TableRow => {
    const own = rateInterval({ events: arm.events, total: arm.total }, { method, level });
    return {
      study: nameOf(arm, pool?.arms ?? []),
      site,
      events: arm.events,
      total: arm.total,
      rate: percentDigits(arm.events / arm.total),
      interval: percentLimits(own),
      weight:
        pool === undefined ? 'not pooled' : weight === undefined ? 'left out' : `${percentDigits(weight)}%`,
      rateValue: arm.events / arm.total,
      lower: own.lower,
      upper: own.upper,
      weightValue: weight,
      followUp: reportedCell(arm.followUpMonths),
      assessor: arm.assessor,
      definition: arm.definition,
      design: arm.design,
      locator: [...new Set(rowsOfArm(arm).map(({ locator }) => reportedCell(locator)))].join('; '),
      sheet: rowsOfArm(arm)
        .map(({ file, line }) => `${file}:${line}`)
        .join('; '),
    };
  };
  return table({
    caption: options.caption ?? 'Arms by site',
    columns: [
      { key: 'study', heading: 'Study' },
      { key: 'site', heading: 'Site' },
      { key: 'events', heading: 'Events', align: 'right' },
      { key: 'total', heading: 'Shoulders', align: 'right' },
      { key: 'rate', heading: 'Per 100', align: 'right', shownIn: 'page' },
      { key: 'interval', heading: `${levelHeading(level)} interval`, align: 'right', shownIn: 'page' },
      { key: 'weight', heading: 'Weight at its site', align: 'right', shownIn: 'page' },
      { key: 'rateValue', heading: 'rate', shownIn: 'file' },
      { key: 'lower', heading: 'interval_lower', shownIn: 'file' },
      { key: 'upper', heading: 'interval_upper', shownIn: 'file' },
      { key: 'weightValue', heading: 'weight', shownIn: 'file' },
      { key: 'followUp', heading: 'Months', align: 'right' },
      { key: 'assessor', heading: 'Assessor' },
      { key: 'definition', heading: 'Definition', shownIn: 'file' },
      { key: 'design', heading: 'Design', shownIn: 'file' },
      { key: 'locator', heading: 'Read from' },
      { key: 'sheet', heading: 'Sheet and line' },
    ],
    rows: [
      ...pools.sites.flatMap(({ name, pool }) => {
        const weights = armWeights(pool);
        return pool.arms.map((arm, at) => row(arm, name, pool, weights[at]));
      }),
      ...pools.outside.flatMap(({ name, arms }) => arms.map((arm) => row(arm, name, undefined))),
    ],
    sources: [
      ...pools.sites.flatMap(({ pool }) => pool.arms.map((arm) => rowsOfArm(arm))),
      ...pools.outside.flatMap(({ arms }) => arms.map((arm) => rowsOfArm(arm))),
    ],
    notes: [`Each arm's own interval is the ${intervalNames[method]} one.`, ...weightNotes(pools)],
  });
}

const intervalNames: Readonly<Record<StudyInterval, string>> = {
  wilson: 'Wilson',
  'clopper-pearson': 'exact (Clopper-Pearson)',
  jeffreys: 'Jeffreys',
  'agresti-coull': 'Agresti-Coull',
};

/** The study as printed; two arms of one study at one site are told apart by the arm. */
function nameOf(arm: ArmEvents, arms: readonly ArmEvents[]): string {
  const repeated = arms.some((other) => other.study === arm.study && other.arm !== arm.arm);
  return repeated ? `${arm.label} (${arm.arm})` : arm.label;
}

/** In which number the weights are shares. */
function weightNotes({ sites }: SitePools): readonly string[] {
  const told = sites.flatMap(({ pool }) => (pool.headline === undefined ? [] : [pool]));
  const leaves = told.some((pool) => armWeights(pool).includes(undefined));
  return [
    ...(told.some(({ headline }) => headline?.basis === 'one-step')
      ? [
          'Weight: share of the information on the quoted mean of the studies, n / (1 + τ² n r (1 − r)) for an arm of n shoulders at the quoted rate r, with τ the between-study deviation on the log-odds scale.',
        ]
      : []),
    ...(leaves
      ? ['"Left out" arms have no finite value on the scale of the pool; the one-step model uses them.']
      : []),
  ];
}
