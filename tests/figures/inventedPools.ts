// Invented counts for pictures: places and years are made up, and so is every number.

import { comparePairs, type SitePair } from '../../src/comparison/pairs/comparePairs.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import type { ClassifiedSite } from '../../src/extraction/site.ts';
import { poolBySite, type SitePools } from '../../src/pooling/poolBySite.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import type { PooledResult } from '../../src/pooling/pooledResult.ts';
import { quoteSites } from '../../src/pooling/quoteSites.ts';

export const invented = 'INVENTED DATA, for demonstration only';

export type Line = readonly [label: string, site: ClassifiedSite, events: number, total: number];

export const armsOf = (lines: readonly Line[]): readonly ArmEvents[] =>
  lines.map(([label, site, events, total], index) => ({
    study: `study-${label}`,
    label,
    year: Number(/\d{4}/.exec(label)?.[0] ?? 2000),
    arm: `${site}-${index + 1}`,
    site,
    events,
    total,
    followUpMonths: 24,
    definition: 'visible',
    assessor: 'examiner',
    design: 'cohort',
    row: { file: 'events.csv', line: index + 2, locator: 'not reported' },
  }));

export const deformityLines: readonly Line[] = [
  ['Norholt 2014', 'top-of-groove', 3, 48],
  ['Ravnsund 2017', 'top-of-groove', 44, 1083],
  ['Ostrava Mole 2019', 'top-of-groove', 0, 23],
  ['Lindvik 2020', 'top-of-groove', 5, 61],
  ['Kaldbukt 2021', 'top-of-groove', 2, 90],
  ['Saltholm 2012', 'suprapectoral', 2, 41],
  ['Norholt 2014', 'suprapectoral', 4, 50],
  ['Port Arden 2016', 'suprapectoral', 1, 37],
  ['Vestermark 2018', 'suprapectoral', 6, 82],
  ['Grenaa Bay 2022', 'suprapectoral', 0, 9],
  ['Elmsdorf 2013', 'subpectoral', 3, 66],
  ['Torshavn Ness 2015', 'subpectoral', 2, 104],
  ['Port Arden 2016', 'subpectoral', 5, 40],
  ['Brennhaug 2019', 'subpectoral', 1, 71],
  ['Mirefield 2023', 'subpectoral', 4, 120],
  ['Elmsdorf 2013', 'tenotomy', 15, 62],
  ['Saltholm 2012', 'tenotomy', 10, 45],
  ['Halvorsby 2016', 'tenotomy', 24, 57],
  ['Lindvik 2020', 'tenotomy', 9, 60],
  ['Askvoll 2021', 'tenotomy', 31, 149],
  ['Ridder Cove 2018', 'soft-tissue', 4, 33],
  ['Tamsel 2011', 'unclassified', 3, 28],
];

export const revisionLines: readonly Line[] = deformityLines.map(([label, site, events, total], index) => [
  label,
  site,
  [1, 4, 0, 1, 1, 0, 1, 0, 2, 0, 0, 0, 0, 0, 0, 1, 0, 2, 1, 0, 0, 1][index] ?? Math.min(events, 1),
  site === 'subpectoral' ? total * 2 : total * 3,
]);

export const deformity: SitePools = poolBySite(armsOf(deformityLines));
export const revision: SitePools = poolBySite(armsOf(revisionLines));
/** The same with the numbers that are quoted of them, as every review has them. */
export const quoted: Readonly<Record<'deformity' | 'revision', SitePools>> = {
  deformity: quoteSites(deformity, {}),
  revision: quoteSites(revision, {}),
};

type Pair = readonly [label: string, a: number, n1: number, c: number, n2: number];

/** Log odds ratios by hand: enough for a picture. */
export function oddsRatios(pairs: readonly Pair[]): PooledResult {
  const estimates = pairs.map(([label, a, n1, c, n2], index): Estimate => {
    const [b, d] = [n1 - a, n2 - c];
    return {
      study: `${label} ${index}`,
      label,
      value: Math.log((a * d) / (b * c)),
      variance: 1 / a + 1 / b + 1 / c + 1 / d,
      scale: 'log-odds-ratio',
      counts: { treated: { events: a, total: n1 }, comparator: { events: c, total: n2 } },
      addedToEachCell: 0,
      rows: [],
    };
  });
  return poolEstimates(estimates, { scale: 'log-odds-ratio' });
}

export const pairs: readonly Pair[] = [
  ['Saltholm 2012', 2, 41, 10, 45],
  ['Elmsdorf 2013', 3, 66, 15, 62],
  ['Halvorsby 2016', 7, 55, 24, 57],
  ['Port Arden 2016', 5, 40, 8, 39],
  ['Lindvik 2020', 5, 61, 9, 60],
  ['Askvoll 2021', 14, 151, 31, 149],
];

export const comparison: PooledResult = oddsRatios(pairs);

export const words = {
  lower: 'fewer after tenodesis',
  higher: 'fewer after tenotomy',
  treated: 'Tenodesis',
  comparator: 'Tenotomy',
};

const many = Array.from({ length: 40 }, (_, index): Line => {
  const site = (['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy'] as const)[index % 4]!;
  const total = 12 + ((index * 37) % 190);
  return [
    `${['Norholt', 'Askvoll', 'Port Arden', 'Mirefield', 'Tamsel'][index % 5]} ${2000 + ((index * 7) % 24)}${index > 24 ? ' b' : ''}`,
    site,
    (index * 13) % Math.max(2, Math.floor(total * (site === 'tenotomy' ? 0.4 : 0.1))),
    total,
  ];
});

const longName = 'The Combined Harbour Hospitals of Upper and Lower Mirefield on the Eastern Ness 2019';

/** Data that pictures break on. */
export const nasty = {
  many: poolBySite(armsOf(many)),
  longNames: poolBySite(
    armsOf([
      [longName, 'top-of-groove', 3, 40],
      ['W'.repeat(80), 'top-of-groove', 1234, 98765],
      ['<img src=x onerror="alert(1)"> & co', 'tenotomy', 4, 30],
      ['</text><script>alert(2)</script>\u0000\u202e\n two lines', 'tenotomy', 2, 20],
      ['\u6771\u4eac 2018', 'tenotomy', 3, 25],
    ]),
  ),
  noEvents: poolBySite(
    armsOf([
      ['Norholt 2014', 'top-of-groove', 0, 48],
      ['Saltholm 2012', 'top-of-groove', 0, 31],
      ['Ravnsund 2017', 'subpectoral', 0, 12],
    ]),
  ),
  oneArm: poolBySite(armsOf([['Norholt 2014', 'suprapectoral', 2, 48]])),
  allEvents: poolBySite(
    armsOf([
      ['Norholt 2014', 'tenotomy', 12, 12],
      ['Saltholm 2012', 'tenotomy', 7, 7],
      ['Elmsdorf 2013', 'subpectoral', 20, 20],
      ['Port Arden 2016', 'subpectoral', 18, 20],
    ]),
  ),
  nothing: poolBySite([]),
  wideRatios: oddsRatios([
    ['Norholt 2014', 1, 300, 1, 301],
    ['Saltholm 2012', 1, 2000, 190, 200],
    [longName, 40, 41, 1, 60],
  ]),
} as const;

/** A pair of sites in studies of both, one of them without events in one arm, with its quoted odds ratio. */
export const quotedPair: SitePair = comparePairs(
  armsOf([
    ['Norholt 2014', 'subpectoral', 2, 50],
    ['Norholt 2014', 'tenotomy', 5, 48],
    ['Elmsdorf 2013', 'subpectoral', 0, 66],
    ['Elmsdorf 2013', 'tenotomy', 4, 62],
    ['Port Arden 2016', 'subpectoral', 3, 80],
    ['Port Arden 2016', 'tenotomy', 4, 75],
    ['Lindvik 2020', 'subpectoral', 1, 61],
    ['Lindvik 2020', 'tenotomy', 6, 60],
    ['Saltholm 2012', 'subpectoral', 0, 30],
    ['Saltholm 2012', 'tenotomy', 0, 28],
  ]),
  { quote: 'by-rule' },
).pairs.find(({ treatment, comparator }) => treatment === 'subpectoral' && comparator === 'tenotomy')!;
