import type { RateScale } from '../effects/analysisScale.ts';
import { backTransformRate } from '../effects/backTransformRate.ts';
import { type ArmEvents, rowsOfArm } from '../extraction/armEvents.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { BodyOfEvidence, HundredLimits, NotInNumber, StudyPart } from './bodyOfEvidence.ts';

/** Limits as numbers of 100. */
export const hundredTimes = (limits: { readonly lower: number; readonly upper: number }): HundredLimits => ({
  lower: 100 * limits.lower,
  upper: 100 * limits.upper,
});

/** The pooled rate of one outcome at one site, as a body of evidence. */
export function rateBody(outcome: EventsOutcome, pool: PooledRate): BodyOfEvidence {
  const { headline, twoStep, arms } = pool;
  return {
    design: 'arms at one site',
    outcome,
    studies: pool.studies,
    shoulders: pool.shoulders,
    events: pool.events,
    notInNumber: notInPool(pool),
    estimate: headline && { value: 100 * headline.rate, ...hundredTimes(headline.interval) },
    prediction: headline?.prediction && hundredTimes(headline.prediction),
    trueSpread: trueSpreadOf(pool),
    betweenStudyDeviation: deviationOf(twoStep.heterogeneity?.betweenStudyVariance),
    parts: partsOf(pool),
    arms,
    relative: undefined,
    absolute: [],
    rows: arms.flatMap(rowsOfArm),
  };
}

/** Arms of a pool that its headline does not rest on. */
export const notInPool = ({ armsNotInNumber }: PooledRate): readonly NotInNumber[] =>
  armsNotInNumber.map(({ arm: { study, label, arm, events, total }, reason }) => ({
    study,
    label,
    arm,
    events,
    shoulders: total,
    reason,
  }));

export const deviationOf = (variance: number | undefined): number | undefined =>
  variance === undefined ? undefined : Math.sqrt(variance);

/** Weights of the pool; shoulders where all arms are taken together, and 0 for arms that were left out. */
export function partsOf({ arms, headline, twoStep, shoulders }: PooledRate): readonly StudyPart[] {
  return arms.map(({ study, label, arm, site, total }) => {
    const estimate = twoStep.estimates.find((each) => each.study === study && each.arm === arm);
    return {
      study,
      label,
      arm,
      site,
      weight: headline?.basis === 'exact' ? total / shoulders : (estimate?.weight ?? 0),
      interval: estimate?.interval,
    };
  });
}

export function trueSpreadOf({ headline, twoStep, armsInNumber }: PooledRate): HundredLimits | undefined {
  const { mean, heterogeneity, scale } = twoStep;
  if (mean === undefined || heterogeneity === undefined || headline?.basis !== 'two-step') return undefined;
  const reach = -normalQuantile(0.025) * Math.sqrt(heterogeneity.betweenStudyVariance);
  const at = (value: number): number =>
    100 * backTransformRate(value, scale as RateScale, { total: harmonicMean(armsInNumber) });
  return { lower: at(mean.value - reach), upper: at(mean.value + reach) };
}

const harmonicMean = (arms: readonly ArmEvents[]): number =>
  arms.length / arms.reduce((sum, { total }) => sum + 1 / total, 0);
