import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { comparisonMethodNames, comparisonMethods } from '../../src/pooling/quoted/comparisonMethods.ts';
import { armBands, bandOf, rateBands } from '../../src/pooling/quoted/measuredCoverage.ts';
import { type QuotedEstimand, rateMethodNames, rateMethods } from '../../src/pooling/quoted/rateMethods.ts';
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

const fewStudiesFile = new URL('../../src/pooling/quoted/measuredFewStudiesTable.ts', import.meta.url);
export const documentFile = new URL('../../docs/methods-rare-events.md', import.meta.url);

/** The document with the tables of these results in their places; tables of other sets stay. */
export function withTables(text: string, results: Results): string {
  return Object.entries(results).reduce(
    (written, [set, points]) =>
      written.replace(
        new RegExp(`(<!-- calibration: ${set} -->\\n)[^]*?(<!-- end -->)`),
        (_, start: string, end: string) => `${start}\n${documentTables[set as SetName](points)}\n\n${end}`,
      ),
    text,
  );
}

/** Writes the results as references, one line a method, and the library's own table of them. */
export function writeResults(results: Results): void {
  mkdirSync(folder, { recursive: true });
  for (const [set, points] of Object.entries(results)) {
    writeFileSync(new URL(`${set}.json`, folder), resultsText(points));
  }
  writeFileSync(documentFile, withTables(readFileSync(documentFile, 'utf8'), results));
  if (results['few-studies']) writeFileSync(fewStudiesFile, fewStudiesCoverage(results['few-studies']));
  if (results.rates || results.comparisons) {
    const written = (set: SetName): readonly PointResult[] =>
      results[set] ?? JSON.parse(readFileSync(new URL(`${set}.json`, folder), 'utf8'));
    writeFileSync(table, coverageTable(written('rates'), written('comparisons')));
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
const holds = ({ coverage, monteCarloError }: Summary): boolean => coverage >= 0.93 - 2 * monteCarloError;
const range = (values: readonly number[]): string =>
  values.length === 0 ? '' : `${percent(Math.min(...values))} to ${percent(Math.max(...values))}`;

/** Is a point one that the target speaks of: five arms and five expected events or more? */
export const inTarget = ({ arms, rate }: RatePoint): boolean =>
  arms.length >= 5 && arms.reduce((sum, arm) => sum + arm, 0) * rate >= 5;

/**
 * One row a method: coverage over the points of the target, at how many it is below 93 % (less two Monte Carlo errors),
 * at how many the median estimate is more than 10 % from its truth, and how wide its interval is beside the narrowest of
 * the methods that hold at every point.
 */
export function candidateTable(points: readonly PointResult[]): string {
  const designs = new Map((pointsOf('rates') as readonly RatePoint[]).map((point) => [point.id, point]));
  const within = points.filter(({ id }) => inTarget(designs.get(id)!));
  const few = points.filter(({ id }) => designs.get(id)!.arms.length < 5);
  // The narrowest interval among the methods that aim at the same, were asked in every review and hold at every point.
  const narrowest = (estimand: QuotedEstimand, { methods, reviews }: PointResult): number =>
    Math.min(
      ...rateMethodNames.flatMap((name) =>
        rateMethods[name].estimand === estimand &&
        within.every((at) => at.methods[name] !== undefined && holds(at.methods[name])) &&
        methods[name]!.reviews > reviews / 2
          ? [methods[name]!.width]
          : [],
      ),
    );
  const rows = rateMethodNames.map((name) => {
    const { estimand } = rateMethods[name];
    const found = within.flatMap((point) => {
      const at = point.methods[name];
      return at ? [{ ...at, ratio: at.width / narrowest(estimand, point) }] : [];
    });
    const ratios = found.map(({ ratio }) => ratio).sort((a, b) => a - b);
    const beside =
      (ratios.at(-1) ?? 0) > 0
        ? `${ratios[ratios.length >> 1]!.toFixed(2)} (${ratios.at(-1)!.toFixed(2)})`
        : '';
    return `| ${name} | ${estimand} | ${range(found.map(({ coverage }) => coverage))} | ${found.filter((at) => !holds(at)).length} of ${found.length} | ${found.filter(({ estimate }) => Math.abs(estimate - 1) > 0.1).length} | ${beside} | ${range(few.flatMap(({ methods }) => (methods[name] ? [methods[name].coverage] : [])))} |`;
  });
  return [
    '| method | aims at | held, % | below 93 % | off by more than 10 % | width ÷ narrowest that aims at the same and holds everywhere, median (most) | two to four arms, % |',
    '|---|---|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}

/** One row a method of odds ratios. */
export function comparisonTable(points: readonly PointResult[]): string {
  const rows = comparisonMethodNames.flatMap((name) => {
    const found = points.flatMap(({ methods }) => (methods[name] ? [methods[name]] : []));
    if (found.length === 0) return [];
    return [
      `| ${name} | ${comparisonMethods[name].estimand} | ${range(found.map(({ coverage }) => coverage))} | ${found.filter((at) => !holds(at)).length} of ${found.length} | ${Math.min(...found.map(({ estimate }) => estimate)).toFixed(2)} to ${Math.max(...found.map(({ estimate }) => estimate)).toFixed(2)} |`,
    ];
  });
  return [
    '| method | aims at | held, % | below 93 % | median of the log odds ratio less its truth |',
    '|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}

/** Methods set beside one another at few studies. */
const fewStudiesMethods = comparisonMethodNames.filter((name) =>
  /^(hypergeometric-normal-(profile|posterior)|dersimonian-laird-odds-ratio-nothing-added-(wald|truncated)|mantel-haenszel-odds-ratio|conditional-max)/.test(
    name,
  ),
);
const quotedAtFew = 'hypergeometric-normal-posterior-half-normal-0.5';
const fewestAnswers = 100;

/** Points of the designs with so many studies at which a method gave at least a hundred intervals. */
function atFewStudies(points: readonly PointResult[], studies: number, name: string) {
  const designs = new Map(
    (pointsOf('few-studies') as readonly ComparisonPoint[]).map((point) => [point.id, point]),
  );
  return points.flatMap(({ id, methods }) => {
    const summary = methods[name];
    return summary &&
      designs.get(id)!.studies.length === studies &&
      summary.reviews - summary.withoutInterval >= fewestAnswers
      ? [{ ...summary, ratio: summary.width / methods[quotedAtFew]!.width }]
      : [];
  });
}

const fewStudiesCounts = [2, 3, 4, 5, 6, 7, 8, 10] as const;

/** One row for each number of studies and method, narrowest first. */
export function fewStudiesTable(points: readonly PointResult[]): string {
  const rows = fewStudiesCounts.flatMap((studies) =>
    fewStudiesMethods
      .flatMap((name) => {
        const found = atFewStudies(points, studies, name);
        if (found.length === 0) return [];
        const width = Math.exp(found.reduce((sum, { ratio }) => sum + Math.log(ratio), 0) / found.length);
        const none = found.reduce((sum, at) => sum + at.withoutInterval / at.reviews, 0) / found.length;
        return [{ name, found, width, none }];
      })
      .sort((a, b) => a.width - b.width)
      .map(
        ({ name, found, width, none }) =>
          `| ${studies} | ${name} | ${range(found.map(({ coverage }) => coverage))} | ${found.filter((at) => !holds(at)).length} of ${found.length} | ${width.toFixed(2)} | ${Math.min(...found.map(({ estimate }) => estimate)).toFixed(2)} to ${Math.max(...found.map(({ estimate }) => estimate)).toFixed(2)} | ${percent(none)} |`,
      ),
  );
  return [
    '| studies | method | held, % | below 93 % | width on the log ÷ that of the posterior, half-normal 0.5 | median of the log odds ratio less its truth | no interval, % |',
    '|---|---|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}

/** The library's own table of few studies. */
function fewStudiesCoverage(points: readonly PointResult[]): string {
  const rows = fewStudiesCounts.flatMap((studies) =>
    comparisonMethodNames.flatMap((name) => {
      const found = atFewStudies(points, studies, name);
      if (found.length === 0) return [];
      const coverages = found.map(({ coverage }) => coverage);
      const numbers = [
        Math.min(...coverages),
        Math.max(...coverages),
        found.length,
        Math.min(...found.map(({ reviews }) => reviews)),
        Math.max(...found.map(({ monteCarloError }) => monteCarloError)),
      ];
      return [`  ['${name}', ${studies}, ${numbers.join(', ')}],`];
    }),
  );
  return `// Written by \`npm run calibrate -- --set few-studies ... --write\` from what it measured; not by hand.

/** Odds ratios of few studies: how many, least and most coverage, points, fewest reviews, Monte Carlo error. */
export const fewStudiesCoverage: readonly (readonly [
  method: string,
  studies: number,
  least: number,
  most: number,
  points: number,
  reviews: number,
  monteCarloError: number,
])[] = [
${rows.join('\n')}
];
`;
}

/** One row a point: the whole rule, choice included. */
export function judgedTable(points: readonly PointResult[]): string {
  const rows = points.map(({ id, reviews, methods }) => {
    const rule = methods['the rule']!;
    const bySimple = Object.entries(methods).find(([name]) =>
      name.startsWith('quoted: dersimonian-laird'),
    )?.[1];
    return `| ${id} | ${percent(rule.coverage)} (${percent(rule.monteCarloError)}) | ${percent(rule.below)} | ${percent(rule.above)} | ${rule.estimate.toFixed(2)} | ${rule.width} | ${rule.prediction === undefined ? '' : percent(rule.prediction)} | ${percent((bySimple?.reviews ?? 0) / reviews)} |`;
  });
  return [
    '| reviews | held, % (error) | too low | too high | estimate | width | next study, % | DerSimonian-Laird quoted, % |',
    '|---|---|---|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}

/** The tables of the document. */
export const documentTables: { readonly [Name in SetName]: (points: readonly PointResult[]) => string } = {
  rates: candidateTable,
  'judged-rates': judgedTable,
  comparisons: comparisonTable,
  'judged-comparisons': judgedTable,
  'few-studies': fewStudiesTable,
};

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
        documentTables[set as SetName](points),
        '',
        '| point | method | reviews | held, % (error) | below | above | estimate | width | none | prediction |',
        '|---|---|---|---|---|---|---|---|---|---|',
        ...rows,
      ].join('\n');
    })
    .join('\n\n');
}
