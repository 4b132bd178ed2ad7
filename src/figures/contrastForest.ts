import type { SitePair } from '../comparison/pairs/comparePairs.ts';
import { type ContrastScale, contrastScales } from '../effects/analysisScale.ts';
import type { TwoRates } from '../effects/twoRates.ts';
import type { Interval } from '../numerics/interval.ts';
import type { NaturalSummary, PooledResult, WeightedEstimate } from '../pooling/pooledResult.ts';
import { effectEstimandWords, estimandLabels } from '../pooling/quoted/estimandWords.ts';
import type { QuotedEstimand } from '../pooling/quoted/rateMethods.ts';
import { effectAxis, isRatioScale } from './effectAxis.ts';
import {
  type ForestBeside,
  type ForestModel,
  type ForestRow,
  type ForestSort,
  summaryLabels,
} from './forestModel.ts';
import { countOf, fixed, levelText, ratioNumber } from './formatNumber.ts';
import { heterogeneitySentence } from './heterogeneitySentence.ts';
import { palette } from './palette.ts';

export interface ContrastWords {
  /** What a value below "no difference" means, such as "fewer after tenodesis". */
  readonly lower: string;
  readonly higher: string;
  readonly treated: string;
  readonly comparator: string;
}

export interface ContrastForestOptions {
  readonly sort: ForestSort;
  readonly words: ContrastWords;
  readonly answer: string | undefined;
}

const names: Readonly<Record<ContrastScale, readonly [title: string, heading: string]>> = {
  'log-odds-ratio': ['Odds ratio', 'Odds ratio'],
  'log-risk-ratio': ['Risk ratio', 'Risk ratio'],
  'risk-difference': ['Risk difference, per 100', 'Per 100'],
  'mean-difference': ['Mean difference, points', 'Points'],
  'standardised-mean-difference': ['Standardised mean difference', 'Difference'],
  'log-ratio-of-means': ['Ratio of means', 'Ratio'],
  'arcsine-difference': ['Difference of arcsine-transformed risks', 'Difference'],
};

export const contrastName = (scale: ContrastScale): string => names[scale][0];

export const isContrastScale = (scale: string): scale is ContrastScale =>
  (contrastScales as readonly string[]).includes(scale);

/** A ratio beyond this many log units is drawn and written as off the scale, and could not be held as a number. */
const largestLog = 700;

/** From the analysis scale to what a reader knows: ratios come off the log, differences stay. */
export const toNatural = (scale: ContrastScale, value: number): number =>
  isRatioScale(scale) ? Math.exp(Math.max(-largestLog, Math.min(largestLog, value))) : value;

export const naturalInterval = (scale: ContrastScale, interval: Interval): Interval => ({
  lower: toNatural(scale, interval.lower),
  upper: toNatural(scale, interval.upper),
  level: interval.level,
});

export const formatContrast =
  (scale: ContrastScale) =>
  (value: number): string =>
    isRatioScale(scale)
      ? ratioNumber(value)
      : scale === 'risk-difference'
        ? fixed(100 * value, 1)
        : fixed(value, scale === 'mean-difference' ? 1 : 2);

function sorted(estimates: readonly WeightedEstimate[], sort: ForestSort): readonly WeightedEstimate[] {
  if (sort === 'given') return estimates;
  if (sort === 'year')
    throw new RangeError("sort must be one of 'estimate', 'size', 'given' for a comparison, received 'year'");
  return [...estimates].sort(
    (a, b) =>
      (sort === 'estimate' ? a.value - b.value : a.variance - b.variance) ||
      (a.label < b.label ? -1 : a.label > b.label ? 1 : 0),
  );
}

interface Told {
  readonly label: string;
  readonly meaning: string;
  readonly natural: NaturalSummary | undefined;
  readonly beside: readonly ForestBeside[];
}

const derSimonianLairdFirst = (one: { readonly method: string }, other: { readonly method: string }) =>
  Number(other.method.startsWith('dersimonian-laird')) - Number(one.method.startsWith('dersimonian-laird'));

/** The pooled effect of a result, or the quoted one of a pair with what stands beside it. */
function toldOf(given: PooledResult | SitePair): Told {
  if (!('pool' in given))
    return { label: summaryLabels.pooled, meaning: 'pooled estimate', natural: given.natural, beside: [] };
  const { quoted, effect } = given;
  if (quoted === undefined)
    return { label: summaryLabels.pooled, meaning: 'pooled estimate', natural: effect, beside: [] };
  const label = (method: string, estimand: QuotedEstimand): string | undefined =>
    method.startsWith('dersimonian-laird')
      ? summaryLabels.derSimonianLaird
      : method.startsWith('mantel-haenszel')
        ? summaryLabels.mantelHaenszel
        : quoted.method.startsWith('dersimonian-laird') && estimand === 'median study'
          ? estimandLabels['median study']
          : undefined;
  return {
    label: estimandLabels[quoted.estimand],
    meaning: `quoted estimate, ${effectEstimandWords[quoted.estimand]},`,
    natural: effect,
    beside: [...quoted.others]
      .sort(derSimonianLairdFirst)
      .flatMap(({ method, methodName, estimand, effect: other, interval }) => {
        const named = label(method, estimand);
        return named === undefined || other === undefined
          ? []
          : [{ label: named, meaning: methodName, estimate: other, interval }];
      }),
  };
}

/** Lines that stand on counts nobody reported. */
function additionNotes({ estimates }: PooledResult): readonly string[] {
  const corrected = estimates.filter(({ addedToEachCell }) => addedToEachCell > 0);
  return corrected.length === 0
    ? []
    : [
        `With ${corrected[0]!.addedToEachCell} added to each cell: the line${corrected.length === 1 ? '' : 's'} of ${corrected.map(({ label }) => label).join(', ')}.`,
      ];
}

/** The studies without a line: those in the number all the same, and those it leaves out. */
function leftOutNotes(given: PooledResult | SitePair): readonly string[] {
  const outside = (each: { readonly label: string; readonly reason: string }) =>
    `Left out: ${each.label} (${each.reason.replace(/\.$/, '')}).`;
  if (!('pool' in given)) return given.leftOut.map(outside);
  const drawn = new Set(given.pool.estimates.map(({ study }) => study));
  const counted = ({ events, total }: TwoRates['treated']) => `${events}/${total}`;
  const without = given.inNumber
    .filter(({ study }) => !drawn.has(study))
    .map(
      ({ study, label, treated, comparator }) =>
        `${label} (${counted(treated)} vs ${counted(comparator)}, weight ${fixed(100 * (given.weights[study] ?? 0), 0)}\u00a0%)`,
    );
  return [
    ...(without.length === 0
      ? []
      : [
          `In the quoted estimate without one of its own, so not in DerSimonian-Laird: ${without.join('; ')}.`,
        ]),
    ...given.notInNumber.map(outside),
  ];
}

/** What a forest plot of a comparison of two arms says. */
export function contrastForest(
  given: PooledResult | SitePair,
  { sort, words, answer }: ContrastForestOptions,
): ForestModel {
  const result = 'pool' in given ? given.pool : given;
  const told = toldOf(given);
  const { scale } = result;
  if (!isContrastScale(scale))
    throw new RangeError(
      `forestPlot draws a PooledResult on ${contrastScales.join(', ')}; received '${scale}' (give a rate as PooledRate)`,
    );
  const format = formatContrast(scale);
  const level = result.options.level;
  const rows = sorted(result.estimates, sort).map(
    (estimate): ForestRow => ({
      label: estimate.label,
      counts: [estimate.counts?.treated, estimate.counts?.comparator],
      estimate: toNatural(scale, estimate.value),
      interval: naturalInterval(scale, estimate.interval),
      weight:
        'pool' in given
          ? Object.hasOwn(given.weights, estimate.study)
            ? given.weights[estimate.study]
            : undefined
          : estimate.weight,
    }),
  );
  const { natural, beside } = told;
  const counted = rows.some(({ counts }) => counts[0] !== undefined);
  const firm = natural?.interval === undefined ? [] : [natural.interval];
  const range = ({ lower, upper }: Interval) => `${format(lower)} to ${format(upper)}`;
  const pooledWords =
    natural?.interval === undefined
      ? 'No pooled estimate'
      : `${told.label} ${format(natural.value)}, ${levelText(level)} interval ${range(natural.interval)}${beside.map(({ label, estimate, interval }) => `; ${label} ${format(estimate)}${interval === undefined ? '' : ` (${range(interval)})`}`).join('')}`;
  const next =
    natural?.prediction === undefined ? '' : `; a new study could see ${range(natural.prediction)}`;
  const studies = rows
    .map(
      (row) =>
        `${row.label} ${format(row.estimate)}${row.interval === undefined ? '' : ` (${range(row.interval)})`}`,
    )
    .join('; ');
  return {
    groups: [
      {
        site: undefined,
        heading: undefined,
        detail: undefined,
        colour: palette.comparison,
        rows,
        pooled:
          natural?.interval === undefined
            ? undefined
            : {
                label: told.label,
                meaning: told.meaning,
                counts: [undefined, undefined],
                estimate: natural.value,
                interval: natural.interval,
                answer,
              },
        prediction: natural?.prediction,
        beside,
        sentences: [
          ...(natural === undefined ? ['No pooled estimate: there is nothing to pool.'] : []),
          heterogeneitySentence(result, told.label !== summaryLabels.pooled),
        ],
      },
    ],
    axis: (tickCount) =>
      effectAxis(scale, {
        values: [
          ...rows.map(({ estimate }) => estimate),
          ...firm.flatMap(({ lower, upper }) => [lower, upper]),
        ],
        intervals: [
          ...[...rows, ...beside].flatMap(({ interval }) => (interval === undefined ? [] : [interval])),
          ...(natural?.prediction === undefined ? [] : [natural.prediction]),
        ],
        title: names[scale][0],
        tickCount,
      }),
    reference: isRatioScale(scale) ? 1 : 0,
    directions: words,
    countHeadings: counted ? [words.treated, words.comparator] : [],
    estimateHeading: names[scale][1],
    level,
    format,
    between: 'to',
    notes: [
      `Disc area: share of the weight. Thin line: ${levelText(level)} interval of the study. Bar with notch: ${told.meaning} with its interval.${natural?.prediction === undefined && beside.length > 0 ? '' : ' Hatched bracket: range expected in a new study.'}${beside.length === 0 ? '' : ` Triangle: ${beside.map(({ meaning }) => meaning).join('; ')}.`}`,
      ...additionNotes(result),
      ...leftOutNotes(given),
    ],
    description: `Forest plot of ${countOf(result.studies, 'study', 'studies')}: ${names[scale][0].toLowerCase()}, ${words.treated} against ${words.comparator}. ${pooledWords}${next}. Below no difference: ${words.lower}; above: ${words.higher}. Studies: ${studies === '' ? 'none' : studies}.`,
    defaultTitle: `${words.treated} against ${words.comparator}`,
  };
}
