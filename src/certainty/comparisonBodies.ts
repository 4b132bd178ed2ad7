import type { PairMeasure, SitePair } from '../comparison/pairs/comparePairs.ts';
import { absoluteEffects } from '../comparison/pairs/comparePairs.ts';
import type { PoolDifference } from '../comparison/pairs/singleArmContrast.ts';
import type { AbsoluteEffect } from '../effects/absoluteEffect.ts';
import { type ArmEvents, rowsOfArm } from '../extraction/armEvents.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import { countsOf } from '../pooling/armsInNumber.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { NaturalSummary } from '../pooling/pooledResult.ts';
import type { BodyDesign, BodyOfEvidence, HundredLimits, StudyPart } from './bodyOfEvidence.ts';
import { deviationOf, hundredTimes, notInPool, partsOf, trueSpreadOf } from './rateBody.ts';

/** Bodies of studies that hold both sites. */
export type ComparativeDesign = Extract<
  BodyDesign,
  'randomised trials' | 'non-randomised studies' | 'all comparative studies'
>;

/** Studies that hold both sites, pooled, as a body of evidence. */
export function pairBody(
  outcome: EventsOutcome,
  design: ComparativeDesign,
  { measure, pair }: { readonly measure: PairMeasure; readonly pair: SitePair },
  arms: readonly ArmEvents[],
): BodyOfEvidence {
  const { pool, absolute, studies, effect } = pair;
  const first: AbsoluteEffect | undefined = absolute[0];
  const used = arms.filter(
    ({ study, site }) =>
      studies.some((each) => each.study === study) && (site === pair.treatment || site === pair.comparator),
  );
  const tau = deviationOf(pool.heterogeneity?.betweenStudyVariance);
  const reach = tau === undefined ? undefined : -normalQuantile(0.025) * tau;
  const at = (value: number): number | undefined =>
    first === undefined ? undefined : 100 * differenceAt(measure, value, first.baselineRisk);
  const limits = (lower: number, upper: number): HundredLimits | undefined =>
    first === undefined ? undefined : { lower: at(lower)!, upper: at(upper)! };
  return {
    design,
    outcome,
    studies: pair.inNumber.length,
    ...(design === 'all comparative studies'
      ? {
          trials: trialsAmong(
            pair.inNumber.map(({ study }) => study),
            used,
          ),
        }
      : {}),
    shoulders: pair.inNumber.reduce(
      (sum, { treated, comparator }) => sum + treated.total + comparator.total,
      0,
    ),
    events: pair.inNumber.reduce(
      (sum, { treated, comparator }) => sum + treated.events + comparator.events,
      0,
    ),
    notInNumber: pair.notInNumber.map(({ study, label, treated, comparator: other, reason }) => ({
      study,
      label,
      arm: undefined,
      events: treated.events + other.events,
      shoulders: treated.total + other.total,
      reason,
    })),
    estimate: first && { value: 100 * first.difference.value, ...hundredTimes(first.difference) },
    prediction:
      effect?.prediction &&
      (predicted(measure, effect, first) ??
        limits(onScale(measure, effect.prediction.lower), onScale(measure, effect.prediction.upper))),
    trueSpread:
      effect === undefined || reach === undefined
        ? undefined
        : limits(onScale(measure, effect.value) - reach, onScale(measure, effect.value) + reach),
    betweenStudyDeviation: tau,
    parts: studies.map(({ study, label }): StudyPart => {
      const estimate = pool.estimates.find((each) => each.study === study);
      return {
        study,
        label,
        arm: undefined,
        site: undefined,
        weight: Object.hasOwn(pair.weights, study) ? pair.weights[study]! : 0,
        interval: estimate?.interval,
      };
    }),
    arms: used,
    relative: effect?.interval && {
      measure,
      value: effect.value,
      lower: effect.interval.lower,
      upper: effect.interval.upper,
    },
    absolute,
    rows: studies.flatMap(({ rows }) => rows ?? []),
    pair,
  };
}

/** How many of these studies are randomised trials. */
export const trialsAmong = (studies: readonly string[], arms: readonly ArmEvents[]): number => {
  const trials = new Set(
    arms.filter(({ design }) => design === 'randomised trial').map(({ study }) => study),
  );
  return studies.filter((study) => trials.has(study)).length;
};

/** Where the difference in a new study may lie, at the same uncertain risk as the mean; undefined where a limit cannot be written. */
function predicted(
  measure: PairMeasure,
  effect: NaturalSummary,
  at: AbsoluteEffect | undefined,
): HundredLimits | undefined {
  if (at === undefined || effect.prediction === undefined) return undefined;
  const { baselineRisk, baselineSource, baselineInterval, baselineKnown, baselineCovariance } = at;
  const { effects } = absoluteEffects(
    measure,
    { natural: { value: effect.value, interval: effect.prediction } },
    [
      {
        risk: baselineRisk,
        source: baselineSource,
        covariance: baselineCovariance,
        ...(baselineKnown ? {} : { interval: baselineInterval }),
      },
    ],
  );
  return effects[0] && hundredTimes(effects[0].difference);
}

/** An effect on its analysis scale; held away from a ratio of nothing. */
const onScale = (measure: PairMeasure, natural: number): number =>
  measure === 'risk-difference' ? natural : Math.log(Math.max(natural, Number.MIN_VALUE));

/** Rate difference at a baseline, from an effect on the analysis scale; finite for any effect. */
export function differenceAt(measure: PairMeasure, value: number, baseline: number): number {
  const risk = {
    'odds-ratio': 1 / (1 + Math.exp(-(value + Math.log(baseline / (1 - baseline))))),
    'risk-ratio': Math.min(1, Math.exp(Math.min(value, 50)) * baseline),
    'risk-difference': Math.min(1, Math.max(0, baseline + value)),
  }[measure];
  return risk - baseline;
}

/** Series at one site set against series at the other: no study compared the two. */
export function seriesBody(
  outcome: EventsOutcome,
  difference: PoolDifference,
  one: PooledRate,
  other: PooledRate,
): BodyOfEvidence {
  const { rateDifference, oddsRatio } = difference;
  const baseline = other.headline?.rate;
  const natural = oddsRatio && {
    value: oddsRatio.value,
    interval: oddsRatio.interval,
    prediction: undefined,
  };
  const { effects } =
    baseline === undefined
      ? { effects: [] }
      : absoluteEffects('odds-ratio', { natural }, [
          {
            risk: baseline,
            source: 'series at the comparator site, pooled; not the same patients',
            riskOf: difference.comparator,
            interval: other.headline!.interval,
            // The odds ratio is the one pool less the other on the logit scale, so it carries the other's error.
            covariance: -((other.twoStep.mean?.standardError ?? 0) ** 2),
          },
        ]);
  const arms = [...one.arms, ...other.arms];
  // Limits of a difference from the limits of its two terms, as its interval is made.
  const between = (a: Reach | undefined, b: Reach | undefined): HundredLimits | undefined =>
    a === undefined || b === undefined || rateDifference === undefined
      ? undefined
      : {
          lower: 100 * rateDifference.value - Math.hypot(a.below, b.above),
          upper: 100 * rateDifference.value + Math.hypot(a.above, b.below),
        };
  // A fixed half of the weight for each site: the difference of two means leans on both alike.
  const half = (pool: PooledRate): readonly StudyPart[] =>
    partsOf(pool).map((part) => ({ ...part, weight: part.weight / 2 }));
  return {
    design: 'series against series',
    outcome,
    ...(rateDifference === undefined
      ? { studies: 0, shoulders: 0, events: 0, notInNumber: [] }
      : {
          ...countsOf([...one.armsInNumber, ...other.armsInNumber]),
          notInNumber: [...notInPool(one), ...notInPool(other)],
        }),
    estimate: rateDifference && {
      value: 100 * rateDifference.value,
      ...hundredTimes(rateDifference.interval),
    },
    prediction: between(predictionOf(one), predictionOf(other)),
    trueSpread: between(spreadOf(one), spreadOf(other)),
    betweenStudyDeviation: undefined,
    parts: [...half(one), ...half(other)],
    arms,
    relative: effects[0]?.relative,
    absolute: effects,
    rows: arms.flatMap(rowsOfArm),
  };
}

/** How far limits reach from the rate, in 100. */
interface Reach {
  readonly below: number;
  readonly above: number;
}

const reachOf = (rate: number, limits: HundredLimits | undefined): Reach | undefined =>
  limits && { below: Math.max(0, 100 * rate - limits.lower), above: Math.max(0, limits.upper - 100 * rate) };

const spreadOf = (pool: PooledRate): Reach | undefined =>
  pool.headline && reachOf(pool.headline.rate, trueSpreadOf(pool));

const predictionOf = (pool: PooledRate): Reach | undefined =>
  pool.headline?.prediction && reachOf(pool.headline.rate, hundredTimes(pool.headline.prediction));
