import { amountToAdd, type ZeroEvents } from '../../effects/zeroEvents.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../optionChecks.ts';
import {
  type DerSimonianLairdInterval,
  type DerSimonianLairdScale,
  derSimonianLairdIntervals,
  derSimonianLairdScales,
} from './rateMethods.ts';

/** Which method is quoted: by the rule, or as the protocol fixes it. */
export const quotedFixes = ['by-rule', 'dersimonian-laird'] as const;
export type QuotedFix = (typeof quotedFixes)[number];

/** The DerSimonian-Laird pool that is shown beside every rate, and quoted where it is fixed. */
export interface DerSimonianLairdOptions {
  /** Default `arcsine`, which needs no addition. */
  readonly scale?: DerSimonianLairdScale;
  /** Default `leave-out`. */
  readonly zeroEvents?: ZeroEvents;
  /** Default `truncated-hartung-knapp`. */
  readonly interval?: DerSimonianLairdInterval;
}

export interface QuotedRateOptions {
  /** Coverage of the intervals, default 0.95. */
  readonly level?: number;
  /** Default `by-rule`. */
  readonly fixed?: QuotedFix;
  readonly derSimonianLaird?: DerSimonianLairdOptions;
}

export interface ResolvedQuotedRateOptions {
  readonly level: number;
  readonly fixed: QuotedFix;
  readonly derSimonianLaird: Required<DerSimonianLairdOptions>;
}

/**
 * Fills in the defaults of a quoted rate.
 *
 * @throws RangeError for an unknown option or value, naming the allowed ones and the value received
 */
export function resolveQuotedRateOptions(options: QuotedRateOptions = {}): ResolvedQuotedRateOptions {
  checkOptionNames(options, ['level', 'fixed', 'derSimonianLaird'] satisfies (keyof QuotedRateOptions)[]);
  const { scale, zeroEvents, interval } = options.derSimonianLaird ?? {};
  checkOptionNames(options.derSimonianLaird ?? {}, [
    'scale',
    'zeroEvents',
    'interval',
  ] satisfies (keyof DerSimonianLairdOptions)[]);
  const added = amountToAdd(zeroEvents ?? 'leave-out');
  return {
    level: checkLevel(options.level ?? 0.95),
    fixed: checkChoice('fixed', options.fixed ?? 'by-rule', quotedFixes),
    derSimonianLaird: {
      scale: checkChoice('derSimonianLaird.scale', scale ?? 'arcsine', derSimonianLairdScales),
      zeroEvents: added === 0 ? 'leave-out' : { addToEachCell: added },
      interval: checkChoice(
        'derSimonianLaird.interval',
        interval ?? 'truncated-hartung-knapp',
        derSimonianLairdIntervals,
      ),
    },
  };
}
