import { type RateScale, rateScales } from '../effects/analysisScale.ts';
import { amountToAdd, type ZeroEvents } from '../effects/zeroEvents.ts';
import { checkChoice, checkOptionNames, show } from './optionChecks.ts';
import type { PoolOptions, ResolvedPoolOptions } from './poolOptions.ts';
import { poolOptionNames, resolvePoolOptions } from './resolvePoolOptions.ts';

export interface RatePoolOptions extends Omit<PoolOptions, 'scale'> {
  /** Scale on which arms' rates are pooled, default `logit`. */
  readonly scale?: RateScale;
  /** Default `leave-out`: nothing is added to any count unless asked for, and the arm stays visible. */
  readonly zeroEvents?: ZeroEvents;
  /** Points of the one-step model's quadrature, default 25. */
  readonly quadraturePoints?: number;
  /**
   * Difference between the two-step and the one-step rate that a reader must be told of, as a proportion,
   * default 0.02 (two per 100). A ratio of the two beyond {@link materialRatio} counts as well.
   */
  readonly materialDifference?: number;
}

/** Two rates whose ratio exceeds this differ materially however small both are. */
export const materialRatio = 1.5;

export interface ResolvedRatePoolOptions extends ResolvedPoolOptions {
  readonly scale: RateScale;
  readonly zeroEvents: ZeroEvents;
  readonly quadraturePoints: number;
  readonly materialDifference: number;
}

/**
 * Fills in the defaults of a pool of rates.
 *
 * @throws RangeError for an unknown option or value, naming the allowed ones and the value received
 */
export function resolveRatePoolOptions(options: RatePoolOptions = {}): ResolvedRatePoolOptions {
  const { scale, zeroEvents, quadraturePoints, materialDifference, ...pool } = options;
  checkOptionNames(options, [
    ...poolOptionNames,
    'zeroEvents',
    'quadraturePoints',
    'materialDifference',
  ] satisfies (keyof RatePoolOptions)[]);
  return {
    ...resolvePoolOptions(pool),
    scale: checkChoice('scale', scale ?? 'logit', rateScales),
    zeroEvents: checkZeroEvents(zeroEvents ?? 'leave-out'),
    quadraturePoints: quadraturePoints ?? 25,
    materialDifference: checkDifference(materialDifference ?? 0.02),
  };
}

function checkZeroEvents(zeroEvents: ZeroEvents): ZeroEvents {
  const added = amountToAdd(zeroEvents);
  return added === 0 ? 'leave-out' : { addToEachCell: added };
}

function checkDifference(difference: number): number {
  if (!(typeof difference === 'number' && difference > 0 && difference <= 1)) {
    throw new RangeError(`materialDifference must be above 0 and at most 1, received ${show(difference)}`);
  }
  return difference;
}
