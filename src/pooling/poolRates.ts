import { estimateRate } from '../effects/estimateRate.ts';
import { isEstimate } from '../effects/isEstimate.ts';
import { rateInterval } from '../effects/rateInterval.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import { mergeArms } from '../extraction/mergeArms.ts';
import type { Interval } from '../numerics/interval.ts';
import { type ArmNotInNumber, countsOf } from './armsInNumber.ts';
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
 * the headline is then the exact interval over all shoulders together. Arms of one study at one site are counted
 * together first ({@link mergeArms}). Studies, shoulders and events are those of the arms in the headline; an arm that is
 * not in it stands in `armsNotInNumber` with its reason.
 *
 * @param sheetArms one row per arm: events among shoulders that could have had one
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
export function poolRates(sheetArms: readonly ArmEvents[], options: RatePoolOptions = {}): PooledRate {
  const resolved = resolveRatePoolOptions(options);
  checkCounts(sheetArms);
  const arms = mergeArms(sheetArms);
  const { scale, zeroEvents, quadraturePoints, materialDifference, ...pool } = resolved;
  const { level } = pool;
  const read = arms.map((arm) => ({ arm, result: estimateRate(arm, { scale, zeroEvents }) }));
  const twoStep = poolEstimates(
    read.flatMap(({ result }) => (isEstimate(result) ? [result] : [])),
    {
      ...pool,
      scale,
      leftOut: [
        ...(options.leftOut ?? []),
        ...read.flatMap(({ result }) => (isEstimate(result) ? [] : [result])),
      ],
    },
  );
  const oneStep = fitBinomialNormal(arms, { level, quadraturePoints });
  const all = countsOf(arms);
  const combinedExact: Interval | undefined =
    all.shoulders > 0 && (all.events === 0 || all.events === all.shoulders)
      ? rateInterval({ events: all.events, total: all.shoulders }, { method: 'clopper-pearson', level })
      : undefined;
  const headline = headlineOf(twoStep, combinedExact, all.events, all.shoulders);
  const armsNotInNumber = read.flatMap(({ arm, result }): readonly ArmNotInNumber[] => {
    if (headline?.basis === 'exact') return [];
    if (!isEstimate(result)) return [{ arm, reason: result.reason }];
    return headline === undefined ? [{ arm, reason: 'no rate could be pooled' }] : [];
  });
  const outside = new Set(armsNotInNumber.map(({ arm }) => arm));
  const armsInNumber = arms.filter((arm) => !outside.has(arm));
  return {
    kind: 'pooled-rate',
    options: resolved,
    ...countsOf(armsInNumber),
    arms,
    armsInNumber,
    armsNotInNumber,
    headline,
    twoStep,
    oneStep,
    combinedExact,
    cautions: [
      ...cautionsAboutRates({
        events: all.events,
        shoulders: all.shoulders,
        twoStep,
        oneStep,
        materialDifference,
      }),
      ...twoStep.cautions,
    ],
    methodsSentence: rateMethodsSentence({
      options: resolved,
      arms,
      armsInNumber,
      armsNotInNumber,
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
