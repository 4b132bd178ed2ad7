import type { ArmEvents } from './armEvents.ts';
import type { EventsOutcome, OverlapRule, SiteRule, WindowMonths } from './protocol.ts';
import type { RowAddress } from './rowAddress.ts';
import type { StudyDesign } from './sheets/studiesSheet.ts';

/** A row that was not used, and why. It stays visible. */
export interface EventsLeftOut {
  readonly study: string;
  readonly label: string;
  readonly arm: string;
  readonly outcome: string;
  /** One sentence. */
  readonly reason: string;
  readonly row: RowAddress;
}

/** What an analysis may do otherwise than the protocol; each departure is said on the result. */
export interface SelectionDepartures {
  readonly siteRule?: SiteRule;
  /** Definitions accepted, best first. */
  readonly definitions?: readonly string[];
  /** Assessors accepted, best first. */
  readonly assessors?: readonly string[];
  /** `null` accepts every time point. */
  readonly windowMonths?: WindowMonths | null;
  readonly overlapRule?: OverlapRule;
  /** Study designs that count. */
  readonly designs?: readonly StudyDesign[];
}

/** The choices after departures were filled in from the protocol. */
export interface ResolvedSelection {
  readonly siteRule: SiteRule;
  readonly definitions: readonly string[];
  readonly assessors: readonly string[];
  readonly windowMonths: WindowMonths | undefined;
  readonly overlapRule: OverlapRule;
  readonly designs: readonly StudyDesign[];
}

/** One outcome, harmonised: at most one count for each arm, and every other row with the reason it was not used. */
export interface EventSelection {
  readonly outcome: EventsOutcome;
  /** Arms of every site, soft tissue and unclassified ones included; tell them apart by `site`. */
  readonly arms: readonly ArmEvents[];
  readonly leftOut: readonly EventsLeftOut[];
  /** Sentences, one for each way the selection differs from the protocol. */
  readonly departures: readonly string[];
  readonly options: ResolvedSelection;
}
