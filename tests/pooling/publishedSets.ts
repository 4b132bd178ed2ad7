import type { AnalysisScale } from '../../src/effects/analysisScale.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import { numberIn, type PublishedExample, type PublishedRow, published } from '../published/published.ts';
import { estimatesOf } from './estimates.ts';

/** One pool of a published example: its estimates, and how its quantities are named there. */
export interface PublishedSet {
  readonly name: string;
  readonly example: PublishedExample;
  readonly estimates: Estimate[];
  /** What stands before and after the plain quantity, such as `log odds ratio: `. */
  readonly prefix: string;
  readonly suffix: string;
  /** Name of the back-transformed mean. */
  readonly natural: string;
}

type Pair = readonly [value: number, variance: number];

function set(
  id: string,
  scale: AnalysisScale,
  pair: (row: PublishedRow) => Pair,
  names: { prefix?: string; suffix?: string; natural?: string; rows?: (row: PublishedRow) => boolean } = {},
): PublishedSet {
  const example = published(id);
  const pairs = example.rows.filter(names.rows ?? (() => true)).map(pair);
  return {
    name: `${example.title}${names.prefix ? ` (${names.prefix.replace(/: $/, '')})` : ''}${names.suffix ?? ''}`,
    example,
    estimates: estimatesOf(
      pairs.map(([value]) => value),
      pairs.map(([, variance]) => variance),
      scale,
    ),
    prefix: names.prefix ?? '',
    suffix: names.suffix ?? '',
    natural: names.natural ?? '',
  };
}

const cells = (row: PublishedRow, add = 0): [a: number, b: number, c: number, d: number] => {
  const a = numberIn(row, 'eventsTreated');
  const c = numberIn(row, 'eventsComparator');
  return [
    a + add,
    numberIn(row, 'totalTreated') - a + add,
    c + add,
    numberIn(row, 'totalComparator') - c + add,
  ];
};
const logOddsRatio = ([a, b, c, d]: readonly [number, number, number, number]): Pair => [
  Math.log((a * d) / (b * c)),
  1 / a + 1 / b + 1 / c + 1 / d,
];
const logRiskRatio = ([a, b, c, d]: readonly [number, number, number, number]): Pair => [
  Math.log(a / (a + b) / (c / (c + d))),
  1 / a - 1 / (a + b) + 1 / c - 1 / (c + d),
];

/** Hedges' difference with the small-sample factor 1 - 3 / (4 df - 1), as the textbook prints it. */
function standardisedDifference(row: PublishedRow): Pair {
  const [n1, n0] = [numberIn(row, 'totalTreated'), numberIn(row, 'totalComparator')];
  const df = n1 + n0 - 2;
  const squares =
    (n1 - 1) * numberIn(row, 'standardDeviationTreated') ** 2 +
    (n0 - 1) * numberIn(row, 'standardDeviationComparator') ** 2;
  const d = (numberIn(row, 'meanTreated') - numberIn(row, 'meanComparator')) / Math.sqrt(squares / df);
  const factor = 1 - 3 / (4 * df - 1);
  return [factor * d, factor ** 2 * (1 / n1 + 1 / n0 + d ** 2 / (2 * (n1 + n0)))];
}

export const publishedSets: readonly PublishedSet[] = [
  set('bcg-vaccine-pairwise', 'log-odds-ratio', (row) => logOddsRatio(cells(row)), {
    prefix: 'log odds ratio: ',
    natural: 'odds ratio',
  }),
  set('bcg-vaccine-pairwise', 'log-risk-ratio', (row) => logRiskRatio(cells(row)), {
    prefix: 'log risk ratio: ',
    natural: 'risk ratio',
  }),
  set('textbook-odds-ratio', 'log-odds-ratio', (row) => logOddsRatio(cells(row)), {
    natural: 'odds ratio',
  }),
  set('textbook-standardized-mean-difference', 'standardised-mean-difference', standardisedDifference),
  set('eight-schools', 'plain', (row) => [numberIn(row, 'effect'), numberIn(row, 'standardError') ** 2]),
  set('teacher-expectancy', 'plain', (row) => [
    numberIn(row, 'standardizedMeanDifference'),
    numberIn(row, 'standardError') ** 2,
  ]),
  set(
    'passive-smoking-small-study-tests',
    'log-risk-ratio',
    (row) => [
      Math.log(numberIn(row, 'relativeRisk')),
      (Math.log(numberIn(row, 'upper') / numberIn(row, 'lower')) / (2 * 1.959963984540054)) ** 2,
    ],
    { prefix: 'log relative risk: ', natural: 'relative risk' },
  ),
  set('beta-blocker-blocker', 'log-odds-ratio', (row) => logOddsRatio(cells(row)), {
    prefix: 'log odds ratio: ',
    natural: 'odds ratio',
  }),
  set(
    'streptokinase-cumulative',
    'log-odds-ratio',
    (row) => {
      const counts = cells(row);
      return logOddsRatio(counts.includes(0) ? cells(row, 0.5) : counts);
    },
    { prefix: 'log odds ratio, 0.5 added only in the zero-cell trial: ' },
  ),
  set(
    'hospital-mortality-proportions',
    'logit',
    (row) => {
      const events = numberIn(row, 'events') + 0.5;
      const rest = numberIn(row, 'total') - numberIn(row, 'events') + 0.5;
      return [Math.log(events / rest), 1 / events + 1 / rest];
    },
    { prefix: 'logit, 0.5 added to every hospital: ' },
  ),
  set('textbook-subgroups', 'plain', (row) => [numberIn(row, 'effect'), numberIn(row, 'variance')], {
    prefix: 'all ten: ',
  }),
  ...['A', 'B'].map((subgroup) =>
    set('textbook-subgroups', 'plain', (row) => [numberIn(row, 'effect'), numberIn(row, 'variance')], {
      suffix: `, subgroup ${subgroup}`,
      rows: (row) => row.subgroup === subgroup,
    }),
  ),
];
