import type { League } from '../comparison/network/leagueTable.ts';
import type { LoopInconsistency } from '../comparison/network/loopInconsistency.ts';
import type { NetworkEffect, NetworkPart, NetworkResult } from '../comparison/network/networkResult.ts';
import type { NodeSplit } from '../comparison/network/splitNodes.ts';
import type { ComparisonContributions } from '../comparison/network/studyContributions.ts';
import type { Transitivity } from '../comparison/network/transitivity.ts';
import { type ClassifiedSite, siteNames } from '../extraction/site.ts';
import type { Interval } from '../numerics/interval.ts';
import { ratioText } from '../wording/ratioText.ts';
import { type Table, table } from './table.ts';

const nameOf = (treatment: string): string => siteNames[treatment as ClassifiedSite] ?? treatment;
const pairOf = (each: { readonly treatment: string; readonly comparator: string }): string =>
  `${nameOf(each.treatment)} against ${nameOf(each.comparator).toLowerCase()}`;

/** How values of a scale are printed: ratios off the log with three figures, the rest with two decimals. */
function writer(scale: string): (value: number) => string {
  if (scale !== 'log-odds-ratio' && scale !== 'log-risk-ratio') return (value) => value.toFixed(2);
  return ratioText;
}

const withInterval = (
  write: (value: number) => string,
  effect: { readonly value: number; readonly interval: Interval } | undefined,
): string | undefined =>
  effect && `${write(effect.value)} (${write(effect.interval.lower)} to ${write(effect.interval.upper)})`;

/** A p-value as printed: never nought. */
export const pText = (p: number | undefined): string | undefined =>
  p === undefined ? undefined : p < 0.001 ? '<0.001' : p.toFixed(p < 0.1 ? 3 : 2);

/** The square of all comparisons, row against column. */
export function leagueAsTable(
  league: League,
  scale: string,
  options: { readonly caption?: string } = {},
): Table {
  const write = writer(scale);
  return table({
    caption: options.caption ?? 'Every treatment against every other, row against column',
    columns: [
      { key: 'treatment', heading: 'Row against column' },
      ...league.treatments.map((treatment, i) => ({
        key: `c${i}`,
        heading: nameOf(treatment),
        align: 'right' as const,
      })),
    ],
    rows: league.treatments.map((treatment, i) => ({
      treatment: nameOf(treatment),
      ...Object.fromEntries(
        league.cells[i]!.map((cell: NetworkEffect | undefined, j) => [
          `c${j}`,
          i === j ? '\u2013' : withInterval(write, cell),
        ]),
      ),
    })),
    notes: ['Order of the rows says nothing about which is better.'],
  });
}

/**
 * Direct, indirect and network estimates of every pair, with their p values, the share that is direct and the split's.
 *
 * @param options.unsplit the splits made at the variance of the unsplit network, for a column of their own
 */
export function networkComparisonsTable(
  network: NetworkResult,
  splits: readonly NodeSplit[] = [],
  options: { readonly caption?: string; readonly unsplit?: readonly NodeSplit[] } = {},
): Table {
  const write = writer(network.scale);
  const { unsplit } = options;
  return table({
    caption: options.caption ?? 'Direct, indirect and network estimates',
    columns: [
      { key: 'pair', heading: 'Comparison' },
      { key: 'studies', heading: 'Direct studies', align: 'right' },
      { key: 'direct', heading: 'Direct', align: 'right' },
      { key: 'indirect', heading: 'Indirect', align: 'right' },
      { key: 'network', heading: 'Network', align: 'right' },
      { key: 'pNetwork', heading: 'p', align: 'right' },
      { key: 'next', heading: 'Next study', align: 'right' },
      { key: 'share', heading: 'Direct, %', align: 'right' },
      { key: 'p', heading: 'p of conflict', align: 'right' },
      ...(unsplit === undefined
        ? []
        : [{ key: 'pUnsplit', heading: 'p of conflict, one variance', align: 'right' } as const]),
    ],
    rows: network.parts
      .flatMap(({ comparisons }) => comparisons)
      .map((each) => {
        const ofPair = (all: readonly NodeSplit[]): NodeSplit | undefined =>
          all.find(
            ({ treatment, comparator }) => treatment === each.treatment && comparator === each.comparator,
          );
        const split = ofPair(splits);
        return {
          pair: pairOf(each),
          studies: each.directStudies,
          direct: withInterval(write, split?.direct ?? each.direct),
          indirect: withInterval(write, split?.indirect ?? each.indirect),
          network: withInterval(write, each.network),
          pNetwork: pText(each.network.pValue),
          next: each.prediction && `${write(each.prediction.lower)} to ${write(each.prediction.upper)}`,
          share: (100 * each.directShare).toFixed(0),
          p: pText(split?.pValue),
          ...(unsplit && { pUnsplit: pText(ofPair(unsplit)?.pValue) }),
        };
      }),
    notes: [
      'Direct, %: variance of the network estimate over that of the direct one. p: of no difference, for the network estimate. p of conflict: direct against indirect, refitted; a large p does not prove agreement.',
      ...(unsplit === undefined
        ? []
        : [
            'One variance: the pair split at the between-study variance of the network as it is, which conflict may have made larger.',
          ]),
      ...network.cautions.map(({ message }) => message),
    ],
  });
}

/** Each loop of direct comparisons and by how much it fails to close. */
export function loopsTable(
  loops: readonly LoopInconsistency[],
  scale: string,
  options: { readonly caption?: string } = {},
): Table {
  const write = writer(scale);
  return table({
    caption: options.caption ?? 'Loops of direct comparisons',
    columns: [
      { key: 'loop', heading: 'Loop' },
      {
        key: 'difference',
        heading: scale.startsWith('log-') ? 'Ratio of ratios' : 'Difference',
        align: 'right',
      },
      { key: 'p', heading: 'p', align: 'right' },
    ],
    rows: loops.map(({ treatments, difference, pValue }) => ({
      loop: treatments.map(nameOf).join(' \u2013 '),
      difference: withInterval(write, difference),
      p: pText(pValue),
    })),
  });
}

/** Which share of each estimate every study carries, in per cent. */
export function contributionsTable(
  part: NetworkPart,
  contributions: readonly ComparisonContributions[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'Share of each network estimate that a study carries, %',
    columns: [
      { key: 'study', heading: 'Study' },
      ...contributions.map((each, i) => ({ key: `c${i}`, heading: pairOf(each), align: 'right' as const })),
    ],
    rows: part.studies.map(({ label }, s) => ({
      study: label,
      ...Object.fromEntries(contributions.map(({ shares }, i) => [`c${i}`, (100 * shares[s]!).toFixed(0)])),
    })),
    notes: [
      'Share of the variance of the estimate, by the hat matrix; columns add up to 100 before rounding.',
    ],
  });
}

/** Effect modifiers by comparison: mean, range and how many studies report them. */
export function transitivityTable(result: Transitivity, options: { readonly caption?: string } = {}): Table {
  return table({
    caption: options.caption ?? 'What may change the effect, by comparison',
    columns: [
      { key: 'pair', heading: 'Comparison' },
      { key: 'studies', heading: 'Studies', align: 'right' },
      ...result.modifiers.map(({ id, name, unit }) => ({
        key: id,
        heading: unit === '' ? name : `${name}, ${unit}`,
        align: 'right' as const,
      })),
    ],
    rows: result.comparisons.map((each, i) => ({
      pair: pairOf(each),
      studies: each.studies,
      ...Object.fromEntries(
        result.modifiers.map(({ id, comparisons }) => {
          const { mean, range, reported, points } = comparisons[i]!;
          const silent = points.length - reported;
          return [
            id,
            mean === undefined || range === undefined
              ? 'not reported'
              : `${mean.toFixed(0)} (${range[0].toFixed(0)} to ${range[1].toFixed(0)})${silent > 0 ? `, ${silent} not reported` : ''}`,
          ];
        }),
      ),
    })),
    notes: ['Mean weighted by shoulders, with the range over studies.'],
  });
}
