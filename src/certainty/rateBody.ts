import type { RateScale } from '../effects/analysisScale.ts';
import { backTransformRate } from '../effects/backTransformRate.ts';
import { type ArmEvents, rowsOfArm } from '../extraction/armEvents.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import { armWeights } from '../pooling/armWeights.ts';
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
    betweenStudyDeviation:
      headline?.basis === 'one-step'
        ? pool.oneStep.betweenStudyDeviation
        : deviationOf(twoStep.heterogeneity?.betweenStudyVariance),
    parts: partsOf(pool),
    arms,
    relative: undefined,
    absolute: [],
    rows: arms.flatMap(rowsOfArm),
    ...(pool.quoted === undefined ? {} : { quoted: pool.quoted }),
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

/** How much each arm counts ({@link armWeights}), 0 for arms that were left out, with its own interval. */
export function partsOf(pool: PooledRate): readonly StudyPart[] {
  const weights = armWeights(pool);
  return pool.arms.map(({ study, label, arm, site }, at) => {
    const estimate = pool.twoStep.estimates.find((own) => own.study === study && own.arm === arm);
    return { study, label, arm, site, weight: weights[at] ?? 0, interval: estimate?.interval };
  });
}

export function trueSpreadOf({
  headline,
  twoStep,
  oneStep,
  armsInNumber,
}: PooledRate): HundredLimits | undefined {
  if (headline?.basis === 'one-step') {
    const { mean: centre, betweenStudyDeviation } = oneStep;
    if (centre === undefined || betweenStudyDeviation === undefined) return undefined;
    const far = -normalQuantile(0.025) * betweenStudyDeviation;
    const risk = (logit: number): number => 100 / (1 + Math.exp(-logit));
    return { lower: risk(centre - far), upper: risk(centre + far) };
  }
  const { mean, heterogeneity, scale } = twoStep;
  if (mean === undefined || heterogeneity === undefined || headline?.basis !== 'two-step') return undefined;
  const reach = -normalQuantile(0.025) * Math.sqrt(heterogeneity.betweenStudyVariance);
  const at = (value: number): number =>
    100 * backTransformRate(value, scale as RateScale, { total: harmonicMean(armsInNumber) });
  return { lower: at(mean.value - reach), upper: at(mean.value + reach) };
}

const harmonicMean = (arms: readonly ArmEvents[]): number =>
  arms.length / arms.reduce((sum, { total }) => sum + 1 / total, 0);
