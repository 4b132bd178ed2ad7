import { rateToScale } from '../effects/rateToScale.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { PooledRate } from './pooledRate.ts';
import { pooledSample, weightedMean } from './pooledSample.ts';
import { derSimonianLaird } from './varianceEstimators/derSimonianLaird.ts';

/**
 * How much does each arm count in the number that is told?
 *
 * Of a two-step pool its inverse-variance weights; shoulders where all arms are taken together; in a model of the counts the information
 * an arm brings on the mean of the studies at the quoted rate r, n / (1 + τ² n r (1 − r)), with τ the deviation between
 * studies on the logit scale.
 *
 * @returns share of the whole, 0 to 1, in the order of `pool.arms`; undefined for an arm the number does not rest on
 */
export function armWeights(pool: PooledRate): readonly (number | undefined)[] {
  const { arms, headline, twoStep, oneStep, shoulders, quoted } = pool;
  if (headline?.basis === 'exact') return arms.map(({ total }) => total / shoulders);
  if (headline?.basis === 'one-step') {
    const { rate } = headline;
    const variance = (oneStep.betweenStudyDeviation ?? 0) ** 2;
    const information = arms.map(({ total }) => total / (1 + variance * total * rate * (1 - rate)));
    const all = information.reduce((sum, each) => sum + each, 0);
    return information.map((each) => each / all);
  }
  // By the rule it is DerSimonian-Laird on arcsines, whatever scale the pool beside it has.
  if (quoted?.estimand === 'centre on the scale' && quoted.because !== 'fixed') return arcsineWeights(arms);
  const key = ({ study, arm }: { readonly study: string; readonly arm?: string | undefined }): string =>
    JSON.stringify([study, arm]);
  const weights = new Map(twoStep.estimates.map((estimate) => [key(estimate), estimate.weight]));
  return arms.map((arm: ArmEvents) => weights.get(key(arm)));
}

function arcsineWeights(arms: readonly ArmEvents[]): readonly number[] {
  const scaled = arms.map(({ events, total }) => rateToScale(events, total, 'arcsine')!);
  const sample = pooledSample(
    Float64Array.from(scaled, ({ value }) => value),
    Float64Array.from(scaled, ({ variance }) => variance),
  );
  const { value } = derSimonianLaird.estimate(sample, weightedMean(sample, 0));
  const information = scaled.map(({ variance }) => 1 / (variance + value));
  const all = information.reduce((sum, each) => sum + each, 0);
  return information.map((each) => each / all);
}
