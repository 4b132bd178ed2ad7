import type { RowAddress } from '../extraction/rowAddress.ts';
import { type RateScale, rateScales } from './analysisScale.ts';
import { checkCount } from './checkCount.ts';
import type { Estimate, LeftOut } from './estimate.ts';
import { rateToScale } from './rateToScale.ts';
import { amountToAdd, type ZeroEvents } from './zeroEvents.ts';

/** What a rate's estimate is made from; an `ArmEvents` of the extraction stage is one. */
export interface RateInput {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  readonly events: number;
  readonly total: number;
  readonly row?: RowAddress;
  /** The arms counted together here, where there are several; their rows are the estimate's. */
  readonly merged?: readonly { readonly row?: RowAddress }[];
}

export interface RateEstimateOptions {
  /** Default `logit`. */
  readonly scale?: RateScale;
  /** Default `leave-out`. */
  readonly zeroEvents?: ZeroEvents;
}

/**
 * What does one arm say about the rate, on an analysis scale?
 *
 * Where the arm has no finite value there, it is left out with a reason, unless `zeroEvents` states an amount; that
 * is then added to both cells of this arm only, x + c in n + 2c, and `addedToEachCell` says so.
 *
 * @throws RangeError for an impossible count or an unknown option, naming bound and value
 * @see Cochrane Handbook for Systematic Reviews of Interventions, section 10.4.4.1 (corrections at zero).
 * @example
 * estimateRate({ study: 'a', label: 'Norholt 2009', events: 3, total: 60 }, { scale: 'logit' })
 */
export function estimateRate(arm: RateInput, options: RateEstimateOptions = {}): Estimate | LeftOut {
  const scale = options.scale ?? 'logit';
  const amount = amountToAdd(options.zeroEvents ?? 'leave-out');
  const { events, total } = arm;
  checkCount(arm, arm.label);
  if (!rateScales.includes(scale)) {
    throw new RangeError(`scale must be one of ${rateScales.join(', ')}; received ${String(scale)}`);
  }
  const base = {
    study: arm.study,
    label: arm.label,
    ...(arm.arm === undefined ? {} : { arm: arm.arm }),
    count: { events, total },
    rows: (arm.merged ?? [arm]).flatMap(({ row }) => row ?? []),
  };
  const asReported = rateToScale(events, total, scale);
  if (asReported) return { ...base, ...asReported, scale, addedToEachCell: 0 };
  if (amount > 0) {
    const corrected = rateToScale(events + amount, total + 2 * amount, scale)!;
    return { ...base, ...corrected, scale, addedToEachCell: amount };
  }
  return {
    ...base,
    reason: `${events === 0 ? `no events in ${total}` : `nothing but events in ${total}`}, so the ${scale} scale has ${scale === 'raw' || (scale === 'log' && events === total) ? 'no sampling variance' : 'no finite value'}`,
  };
}
