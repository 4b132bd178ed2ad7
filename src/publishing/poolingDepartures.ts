import type { RateScale } from '../effects/analysisScale.ts';
import type { ZeroEvents } from '../effects/zeroEvents.ts';
import type { EventsOutcome, Protocol } from '../extraction/protocol.ts';
import { meanIntervalMethods } from '../pooling/meanIntervalMethods.ts';
import type { PoolingModel } from '../pooling/poolOptions.ts';
import { predictionIntervalMethods } from '../pooling/predictionIntervalMethods.ts';
import { protocolOptions } from '../pooling/protocolOptions.ts';
import {
  type RatePoolOptions,
  type ResolvedRatePoolOptions,
  resolveRatePoolOptions,
} from '../pooling/ratePoolOptions.ts';
import { varianceEstimatorMethods } from '../pooling/varianceEstimatorMethods.ts';
import { varianceIntervalMethods } from '../pooling/varianceIntervalMethods.ts';

/** Models of a pool, in words. */
export const modelNames: Readonly<Record<PoolingModel, string>> = {
  'random-effects': 'random effects',
  'common-effect': 'common effect',
};

/** Scales on which rates are pooled, in words. */
export const rateScaleNames: Readonly<Record<RateScale, string>> = {
  logit: 'logit (log odds)',
  log: 'log',
  arcsine: 'arcsine',
  'double-arcsine': 'double arcsine',
  raw: 'the rate as it is',
};

/** What happens to an arm without a finite value on the scale, in words. */
export const zeroEventsName = (zeroEvents: ZeroEvents): string =>
  zeroEvents === 'leave-out' ? 'left out of the pool' : `${zeroEvents.addToEachCell} added to each cell`;

/**
 * In what does this way of pooling depart from the protocol?
 *
 * One sentence for each choice, in the same words as `departures` of {@link selectEvents}; none when all is as planned.
 *
 * @throws RangeError as {@link poolRates}, for an unknown option or value
 * @example
 * poolingDepartures(review.protocol, selection.outcome, { ...protocolOptions(review.protocol, selection.outcome), level: 0.9 })
 * // ['Confidence of every interval: 90 %, where the protocol has 95 %.']
 */
export function poolingDepartures(
  protocol: Protocol,
  outcome: EventsOutcome,
  options: RatePoolOptions,
): readonly string[] {
  const planned = inWords(resolveRatePoolOptions(protocolOptions(protocol, outcome)));
  const done = inWords(resolveRatePoolOptions(options));
  return Object.keys(done)
    .filter((what) => done[what] !== planned[what])
    .map((what) => `${what}: ${done[what]}, where the protocol has ${planned[what]}.`);
}

function inWords(options: ResolvedRatePoolOptions): Readonly<Record<string, string>> {
  return {
    Model: modelNames[options.model],
    'Scale of the rates': rateScaleNames[options.scale],
    'Arms without events': zeroEventsName(options.zeroEvents),
    'Between-study variance': varianceEstimatorMethods[options.betweenStudyVariance].name,
    'Interval of the pooled rate': meanIntervalMethods[options.interval].name,
    'Range for the next study': predictionIntervalMethods[options.prediction].name,
    'Interval of the between-study variance': varianceIntervalMethods[options.varianceInterval].name,
    'Confidence of every interval': `${Number((100 * options.level).toPrecision(6))} %`,
  };
}
