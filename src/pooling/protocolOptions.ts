import type { EventsOutcome, Protocol } from '../extraction/protocol.ts';
import type { RatePoolOptions } from './ratePoolOptions.ts';

/**
 * The pooling options a protocol wrote down, for one of its outcomes.
 *
 * @example
 * poolBySite(selection.arms, protocolOptions(review.protocol, selection.outcome));
 */
export function protocolOptions(protocol: Protocol, outcome: EventsOutcome): RatePoolOptions {
  const {
    model,
    betweenStudyVariance,
    interval,
    varianceInterval,
    prediction,
    rateScale,
    zeroEvents,
    level,
  } = protocol.analysis;
  return {
    model,
    betweenStudyVariance,
    interval,
    ...(varianceInterval === undefined ? {} : { varianceInterval }),
    prediction,
    scale: rateScale,
    zeroEvents,
    level,
    materialDifference: outcome.thresholdsPer100.materialDifference / 100,
  };
}
