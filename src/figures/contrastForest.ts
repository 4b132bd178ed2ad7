import { type ContrastScale, contrastScales } from '../effects/analysisScale.ts';
import type { Interval } from '../numerics/interval.ts';
import type { PooledResult, WeightedEstimate } from '../pooling/pooledResult.ts';
import { effectAxis, isRatioScale } from './effectAxis.ts';
import { type ForestModel, type ForestRow, type ForestSort, summaryLabels } from './forestModel.ts';
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

/** What a forest plot of a comparison of two arms says. */
export function contrastForest(
  result: PooledResult,
  { sort, words, answer }: ContrastForestOptions,
): ForestModel {
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
      weight: estimate.weight,
    }),
  );
  const { natural } = result;
  const counted = rows.some(({ counts }) => counts[0] !== undefined);
  const firm = natural?.interval === undefined ? [] : [natural.interval];
  const range = ({ lower, upper }: Interval) => `${format(lower)} to ${format(upper)}`;
  const pooledWords =
    natural?.interval === undefined
      ? 'No pooled estimate'
      : `Pooled ${format(natural.value)}, ${levelText(level)} interval ${range(natural.interval)}`;
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
                label: summaryLabels.pooled,
                counts: [undefined, undefined],
                estimate: natural.value,
                interval: natural.interval,
                answer,
              },
        prediction: natural?.prediction,
        check: undefined,
        sentences: [
          ...(natural === undefined ? ['No pooled estimate: there is nothing to pool.'] : []),
          heterogeneitySentence(result),
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
          ...rows.flatMap(({ interval }) => (interval === undefined ? [] : [interval])),
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
      `Disc area: share of the weight. Thin line: ${levelText(level)} interval of the study. Bar with notch: pooled estimate with its interval. Hatched bracket: range expected in a new study.`,
      ...result.leftOut.map(({ label, reason }) => `Left out: ${label} (${reason.replace(/\.$/, '')}).`),
    ],
    description: `Forest plot of ${countOf(result.studies, 'study', 'studies')}: ${names[scale][0].toLowerCase()}, ${words.treated} against ${words.comparator}. ${pooledWords}${next}. Below no difference: ${words.lower}; above: ${words.higher}. Studies: ${studies === '' ? 'none' : studies}.`,
    defaultTitle: `${words.treated} against ${words.comparator}`,
  };
}
