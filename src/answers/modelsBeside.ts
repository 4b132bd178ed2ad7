import { mixtureNote } from '../certainty/bodyInWords.ts';
import type { BodyOfEvidence, InHundred } from '../certainty/bodyOfEvidence.ts';
import { differenceInHundred, rateInHundred } from '../certainty/perHundred.ts';
import { comparePair } from '../comparison/pairs/comparePairs.ts';
import type { ZeroEvents } from '../effects/zeroEvents.ts';
import type { Caution } from '../pooling/caution.ts';
import { poolEstimates } from '../pooling/poolEstimates.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import {
  type PoolingModel,
  type PoolOptions,
  poolingModels,
  type ResolvedPoolOptions,
} from '../pooling/poolOptions.ts';
import { toldDifferently } from '../pooling/quoted/quotedRate.ts';
import { intervalGoesWith } from '../pooling/resolvePoolOptions.ts';
import { pointsDigits } from '../wording/numbers.ts';
import { relativeText } from '../wording/ratioText.ts';
import type { OtherMethod, QuotedNumber } from './answer.ts';
import { methodOf } from './methodOf.ts';
import type { ComparisonQuestion } from './question.ts';
import type { Verdict } from './verdict.ts';

/** The options of a pool under each model; an interval of the maximum-likelihood mean gives way to Wald's elsewhere. */
const underEachModel = (options: ResolvedPoolOptions): readonly PoolOptions[] =>
  poolingModels.map((model) => ({
    ...options,
    model,
    interval: intervalGoesWith(options.interval, model, options.betweenStudyVariance)
      ? options.interval
      : 'wald',
  }));

const poolsBeside = (pool: PooledResult): readonly PooledResult[] =>
  underEachModel(pool.options).map((options) =>
    poolEstimates(pool.estimates, { ...options, scale: pool.scale, leftOut: pool.leftOut }),
  );

/** How a pool was made and what it is a number of; its coverage was not measured. */
const madeBy = (pool: PooledResult): Pick<OtherMethod, 'method' | 'estimand' | 'coverage'> => ({
  method: methodOf(pool),
  estimand: pool.options.model === 'common-effect' ? 'common effect' : 'centre on the scale',
  coverage: undefined,
});

const close = (one: number, other: number): boolean =>
  Math.abs(one - other) <= 1e-9 * Math.max(1, Math.abs(one));

/** The quoted number itself, by the protocol's own model, is not told twice. */
const isQuoted = (
  { value, lower, upper }: InHundred,
  model: PoolingModel | undefined,
  own: PooledResult,
  quoted: QuotedNumber,
): boolean =>
  model === own.options.model &&
  close(value, quoted.value) &&
  close(lower, quoted.lower) &&
  close(upper, quoted.upper);

/**
 * A rate under common effect and under random effects, but for the one that is quoted.
 *
 * Told differently where the two are more than a tenth apart, in events or in shoulders without.
 */
export const rateModels = (pool: PooledRate, quoted: QuotedNumber | undefined): readonly OtherMethod[] =>
  quoted === undefined
    ? []
    : poolsBeside(pool.twoStep).flatMap((beside): readonly OtherMethod[] => {
        const { natural } = beside;
        if (natural?.interval === undefined) return [];
        const value = 100 * natural.value;
        const rate = { value, lower: 100 * natural.interval.lower, upper: 100 * natural.interval.upper };
        return isQuoted(rate, beside.options.model, pool.twoStep, quoted)
          ? []
          : [
              {
                ...madeBy(beside),
                ...rate,
                toldDifferently: toldDifferently(natural.value, quoted.value / 100),
              },
            ];
      });

/**
 * A mean, or a difference of means, under both models, but for the one that is quoted.
 *
 * @param material difference from which the two would be told differently; without one any other printed number is
 */
export const meanModels = (
  pool: PooledResult,
  quoted: QuotedNumber | undefined,
  material: number | undefined,
): readonly OtherMethod[] =>
  quoted === undefined
    ? []
    : poolsBeside(pool).flatMap((beside): readonly OtherMethod[] => {
        const { mean } = beside;
        if (mean === undefined) return [];
        const told = { value: mean.value, lower: mean.interval.lower, upper: mean.interval.upper };
        return isQuoted(told, beside.options.model, pool, quoted)
          ? []
          : [
              {
                ...madeBy(beside),
                ...told,
                toldDifferently:
                  material === undefined
                    ? pointsDigits(mean.value) !== pointsDigits(quoted.value)
                    : Math.abs(mean.value - quoted.value) >= material,
              },
            ];
      });

/**
 * A comparison under both models, said at the risk the answer is said at, but for the one that is quoted.
 *
 * Told differently where the verdict is another one, or the differences lie at least the smallest that matters apart.
 *
 * @param verdictOf the verdict on a difference, with all else as in the answer
 */
export function comparisonModels(
  { site, comparator }: ComparisonQuestion,
  body: BodyOfEvidence,
  quoted: QuotedNumber | undefined,
  {
    zeroEvents = 'leave-out',
    material,
    verdictOf,
  }: {
    readonly zeroEvents?: ZeroEvents | undefined;
    readonly material: number;
    readonly verdictOf: (difference: InHundred) => Verdict;
  },
): readonly OtherMethod[] {
  const [first] = body.absolute;
  const own = body.pair?.pool;
  if (own === undefined || first === undefined || quoted === undefined) return [];
  const { relative, baselineRisk, baselineSource, baselineInterval, baselineKnown, baselineCovariance } =
    first;
  const risk = {
    risk: baselineRisk,
    source: baselineSource,
    covariance: baselineCovariance,
    ...(baselineKnown ? {} : { interval: baselineInterval }),
  };
  return underEachModel(own.options).flatMap((options): readonly OtherMethod[] => {
    const { pair } = comparePair(body.arms, site, comparator, {
      ...options,
      zeroEvents,
      measure: relative.measure,
      baselines: [risk],
    });
    // Where the risk is that of these arms, what it shares with the effect is worked out anew under each model.
    const effect = pair.absolute.find((each) => each.baselineSource === baselineSource);
    if (effect === undefined) return [];
    const { value, lower, upper } = effect.difference;
    const difference = { value: 100 * value, lower: 100 * lower, upper: 100 * upper };
    if (isQuoted(difference, options.model, own, quoted)) return [];
    return [
      {
        ...madeBy(pair.pool),
        value: effect.relative.value,
        lower: effect.relative.lower,
        upper: effect.relative.upper,
        difference,
        toldDifferently:
          verdictOf(difference) !== verdictOf(quoted) ||
          Math.abs(difference.value - quoted.value) >= material,
      },
    ];
  });
}

/** Other methods with the models behind them, each number once. */
export const withModels = (
  methods: readonly OtherMethod[],
  models: readonly OtherMethod[],
): readonly OtherMethod[] => [
  ...methods,
  ...models.filter(({ value, lower, upper }) =>
    methods.every(
      (each) => !(close(each.value, value) && close(each.lower, lower) && close(each.upper, upper)),
    ),
  ),
];

/** What the other model says, as a sentence that goes where the answer goes. */
export const cautionsOnModels = (
  { kind }: { readonly kind: 'rate' | 'comparison' },
  others: readonly OtherMethod[],
  { design, relative }: Pick<BodyOfEvidence, 'design' | 'relative'>,
): readonly Caution[] =>
  others.map(({ method, value, lower, upper, difference, toldDifferently: differently }) => {
    const limits = { value, lower, upper };
    const ratio = relative && relativeText({ ...limits, measure: relative.measure });
    const number =
      kind === 'rate' || ratio === undefined
        ? rateInHundred(limits)
        : `${ratio.charAt(0).toLowerCase()}${ratio.slice(1)}${difference === undefined ? '' : `, ${differenceInHundred(difference).toLowerCase()}`}`;
    return {
      code: 'other-model',
      message: `Beside it, as the protocol asks, by another model (${method}): ${number}${mixtureNote(design)}; a reader would be told ${differently ? 'something else' : 'the same'}.`,
    };
  });
