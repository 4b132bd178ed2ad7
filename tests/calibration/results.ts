import { mkdirSync, writeFileSync } from 'node:fs';
import { comparisonMethodNames } from '../../src/pooling/quoted/comparisonMethods.ts';
import { armBands, bandOf, rateBands } from '../../src/pooling/quoted/measuredCoverage.ts';
import { rateMethodNames } from '../../src/pooling/quoted/rateMethods.ts';
import type { ComparisonPoint, RatePoint } from './designs.ts';
import type { Part } from './parts.ts';
import { pointsOf, type SetName, setNames } from './sets.ts';
import { populationOf } from './simulate.ts';
import { type Summary, summarise } from './tally.ts';

/** One point with what every method did there. */
export interface PointResult {
  readonly id: string;
  readonly seed: number;
  readonly reviews: number;
  readonly methods: Readonly<Record<string, Summary>>;
}
export type Results = Partial<Record<SetName, readonly PointResult[]>>;

/** The table of a calibration, points in the order of the designs. */
export function resultsOf(part: Part): Results {
  const results: Results = {};
  for (const set of setNames) {
    const tallies = part.sets.get(set);
    if (!tallies) continue;
    results[set] = pointsOf(set).flatMap(({ id, seed }) => {
      const at = tallies.get(id);
      if (!at) return [];
      const methods: Record<string, Summary> = {};
      for (const [method, tally] of [...at].sort(([a], [b]) => (a < b ? -1 : 1))) {
        const summary = summarise(tally);
        if (summary) methods[method] = summary;
      }
      const reviews = Math.max(...[...at.values()].map((tally) => tally.reviews));
      return [{ id, seed, reviews, methods }];
    });
  }
  return results;
}

const folder = new URL('../reference/calibration/', import.meta.url);
const table = new URL('../../src/pooling/quoted/measuredCoverageTable.ts', import.meta.url);

/** Writes the results as references, one line a method, and the library's own table of them. */
export function writeResults(results: Results): void {
  mkdirSync(folder, { recursive: true });
  for (const [set, points] of Object.entries(results)) {
    writeFileSync(new URL(`${set}.json`, folder), resultsText(points));
  }
  if (results.rates && results.comparisons) {
    writeFileSync(table, coverageTable(results.rates, results.comparisons));
  }
}

function resultsText(points: readonly PointResult[]): string {
  const lines = points.map(({ id, seed, reviews, methods }) => {
    const rows = Object.entries(methods).map(
      ([name, summary]) => `   ${JSON.stringify(name)}: ${JSON.stringify(summary)}`,
    );
    return ` {"id": ${JSON.stringify(id)}, "seed": ${seed}, "reviews": ${reviews}, "methods": {\n${rows.join(',\n')}\n }}`;
  });
  return `[\n${lines.join(',\n')}\n]\n`;
}

/** Methods whose measured coverage the library says beside their number. */
const saidOfRates: readonly string[] = rateMethodNames.filter(
  (name) =>
    name.startsWith('dersimonian-laird') ||
    name.endsWith('-profile-calibrated') ||
    name.startsWith('mean-of-studies-posterior-half-normal-1'),
);
const saidOfComparisons: readonly string[] = comparisonMethodNames;

interface Band {
  readonly method: string;
  readonly arms: number;
  readonly rate?: number;
  least: number;
  most: number;
  points: number;
  reviews: number;
  monteCarloError: number;
}

/** Coverage, least to most, over the points of every band. */
function coverageTable(rates: readonly PointResult[], comparisons: readonly PointResult[]): string {
  const bandsOf = (
    results: readonly PointResult[],
    said: readonly string[],
    place: (id: string) => { readonly arms: number; readonly rate?: number },
  ): Band[] => {
    const bands = new Map<string, Band>();
    for (const { id, methods } of results) {
      const at = place(id);
      for (const method of said) {
        const summary = methods[method];
        if (!summary) continue;
        const { coverage, reviews, monteCarloError } = summary;
        const key = `${method} ${at.arms} ${at.rate}`;
        const band = bands.get(key);
        if (band) {
          band.least = Math.min(band.least, coverage);
          band.most = Math.max(band.most, coverage);
          band.points += 1;
          band.reviews = Math.min(band.reviews, reviews);
          band.monteCarloError = Math.max(band.monteCarloError, monteCarloError);
        } else {
          bands.set(key, {
            method,
            ...at,
            least: coverage,
            most: coverage,
            points: 1,
            reviews,
            monteCarloError,
          });
        }
      }
    }
    return [...bands.values()].sort(
      (a, b) =>
        said.indexOf(a.method) - said.indexOf(b.method) || a.arms - b.arms || (a.rate ?? 0) - (b.rate ?? 0),
    );
  };
  const rows = (bands: readonly Band[]): string =>
    bands
      .map(
        ({ method, arms, rate, least, most, points, reviews, monteCarloError }) =>
          `  ['${method}', ${[arms, ...(rate === undefined ? [] : [rate]), least, most, points, reviews, monteCarloError].join(', ')}],`,
      )
      .join('\n');
  const ratePoint = new Map((pointsOf('rates') as readonly RatePoint[]).map((point) => [point.id, point]));
  const comparisonPoint = new Map(
    (pointsOf('comparisons') as readonly ComparisonPoint[]).map((point) => [point.id, point]),
  );
  return `// Written by \`npm run calibrate -- ... --write\` from what it measured; not by hand.

/** Band of arms, band of the share with the event, least and most coverage, points, fewest reviews, Monte Carlo error. */
export const rateCoverage: readonly (readonly [
  method: string,
  arms: number,
  rate: number,
  least: number,
  most: number,
  points: number,
  reviews: number,
  monteCarloError: number,
])[] = [
${rows(
  bandsOf(rates, saidOfRates, (id) => {
    const point = ratePoint.get(id)!;
    return {
      arms: bandOf(point.arms.length, armBands),
      rate: bandOf(populationOf(point).truth('mean of studies', 'logit'), rateBands),
    };
  }),
)}
];

/** The same for odds ratios, by band of studies. */
export const comparisonCoverage: readonly (readonly [
  method: string,
  studies: number,
  least: number,
  most: number,
  points: number,
  reviews: number,
  monteCarloError: number,
])[] = [
${rows(
  bandsOf(comparisons, saidOfComparisons, (id) => ({
    arms: bandOf(comparisonPoint.get(id)!.studies.length, armBands),
  })),
)}
];
`;
}

const percent = (share: number): string => (100 * share).toFixed(1);

/** Every point and method, one table a set. */
export function markdownTables(results: Results): string {
  return Object.entries(results)
    .map(([set, points]) => {
      const rows = points.flatMap(({ id, methods }) =>
        Object.entries(methods).map(
          ([method, s]) =>
            `| ${id} | ${method} | ${s.reviews} | ${percent(s.coverage)} (${percent(s.monteCarloError)}) | ${percent(s.below)} | ${percent(s.above)} | ${s.estimate} | ${s.width} | ${s.withoutInterval} | ${s.prediction === undefined ? '' : percent(s.prediction)} |`,
        ),
      );
      return [
        `### ${set}`,
        '',
        '| point | method | reviews | held, % (error) | below | above | estimate | width | none | prediction |',
        '|---|---|---|---|---|---|---|---|---|---|',
        ...rows,
      ].join('\n');
    })
    .join('\n\n');
}
