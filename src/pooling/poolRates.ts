import { estimateRates } from '../effects/estimateRates.ts';
import { rateInterval } from '../effects/rateInterval.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { Interval } from '../numerics/interval.ts';
import { checkCounts } from './checkCounts.ts';
import { fitBinomialNormal } from './fitBinomialNormal.ts';
import { poolEstimates } from './poolEstimates.ts';
import type { PooledRate, RateHeadline } from './pooledRate.ts';
import type { PooledResult } from './pooledResult.ts';
import { cautionsAboutRates } from './rateCautions.ts';
import { rateMethodsSentence } from './rateMethodsSentence.ts';
import { type RatePoolOptions, resolveRatePoolOptions } from './ratePoolOptions.ts';

/**
 * How often does this happen, over all arms that report it?
 *
 * The headline pools each arm's rate on the chosen scale (two steps: a rate per arm, then their weighted mean).
 * Beside it stands the one-step binomial-normal model, which uses the counts as they are; a caution says so when
 * the two differ materially. When no shoulder had the event, or every one had it, no rate can be pooled honestly:
 * the headline is then the exact interval over all shoulders together.
 *
 * @param arms one row per arm: events among shoulders that could have had one
 * @param options scale, what to do with arms without events, and the options of {@link poolEstimates}
 * @returns rates from 0 to 1 with both fits, cautions and a methods sentence
 * @throws RangeError for an unknown option or an impossible count, naming the bound and the value received
 *
 * Sources: as for {@link poolEstimates} and {@link fitBinomialNormal}; Clopper CJ, Pearson ES, Biometrika
 * 1934;26:404-413 (exact interval).
 *
 * @example
 * poolRates(arms, { scale: 'logit', zeroEvents: { addToEachCell: 0.5 } }).headline?.rate
 */
export function poolRates(arms: readonly ArmEvents[], options: RatePoolOptions = {}): PooledRate {
  const resolved = resolveRatePoolOptions(options);
  checkCounts(arms);
  const { scale, zeroEvents, quadraturePoints, materialDifference, ...pool } = resolved;
  const { level } = pool;
  const { estimates, leftOut } = estimateRates(arms, { scale, zeroEvents });
  const twoStep = poolEstimates(estimates, {
    ...pool,
    scale,
    leftOut: [...(options.leftOut ?? []), ...leftOut],
  });
  const oneStep = fitBinomialNormal(arms, { level, quadraturePoints });
  let events = 0;
  let shoulders = 0;
  for (const arm of arms) {
    events += arm.events;
    shoulders += arm.total;
  }
  const combinedExact: Interval | undefined =
    shoulders > 0 && (events === 0 || events === shoulders)
      ? rateInterval({ events, total: shoulders }, { method: 'clopper-pearson', level })
      : undefined;
  const headline = headlineOf(twoStep, combinedExact, events, shoulders);
  const studies = new Set(arms.map((arm) => arm.study)).size;
  return {
    kind: 'pooled-rate',
    options: resolved,
    studies,
    arms,
    shoulders,
    events,
    headline,
    twoStep,
    oneStep,
    combinedExact,
    cautions: [
      ...cautionsAboutRates({
        events,
        shoulders,
        twoStep,
        oneStep,
        materialDifference,
      }),
      ...twoStep.cautions,
    ],
    methodsSentence: rateMethodsSentence({
      options: resolved,
      arms: arms.length,
      studies,
      shoulders,
      twoStep,
      oneStep,
      headline,
    }),
  };
}

function headlineOf(
  twoStep: PooledResult,
  combinedExact: Interval | undefined,
  events: number,
  shoulders: number,
): RateHeadline | undefined {
  if (combinedExact) {
    return { basis: 'exact', rate: events / shoulders, interval: combinedExact, prediction: undefined };
  }
  const { natural } = twoStep;
  if (!natural?.interval) return undefined;
  return {
    basis: 'two-step',
    rate: natural.value,
    interval: natural.interval,
    prediction: natural.prediction,
  };
}
