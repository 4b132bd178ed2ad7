import type { Reported } from './reported.ts';
import type { RowAddress } from './rowAddress.ts';
import type { ClassifiedSite } from './site.ts';

/**
 * One arm's count for one outcome, after harmonisation: the one row per arm that the protocol's
 * definition, assessor and time window select. This is what the effects stage reads.
 */
export interface ArmEvents {
  /** Study id, shared by all arms of the study. */
  readonly study: string;
  /** Study as printed, for example "Norholt 2014". */
  readonly label: string;
  readonly year: number;
  readonly arm: string;
  readonly site: ClassifiedSite;
  /** Shoulders with the event. */
  readonly events: number;
  /** Shoulders that could have had it (the eligible denominator). */
  readonly total: number;
  readonly followUpMonths: Reported<number>;
  readonly definition: string;
  readonly assessor: string;
  readonly design: string;
  readonly row: RowAddress;
  /** What a reader should know of this count, such as that it was worked out from a percentage. */
  readonly notes?: readonly string[];
  /** The arms of the sheets, where several arms of one study at one site are counted as one ({@link mergeArms}). */
  readonly merged?: readonly ArmEvents[];
}

/** The arms of the sheets behind this one: itself, or those that were counted together. */
export const sheetArmsOf = (arm: ArmEvents): readonly ArmEvents[] => arm.merged ?? [arm];

/** Every row of the sheets that a count rests on. */
export const rowsOfArm = (arm: ArmEvents): readonly RowAddress[] => sheetArmsOf(arm).map(({ row }) => row);
