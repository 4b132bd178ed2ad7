import type { z } from 'zod';
import type { Problem } from './problem.ts';
import type { Protocol } from './protocol.ts';
import type { RowAddress } from './rowAddress.ts';
import type { SheetName, sheets } from './sheets/sheets.ts';

type CamelCase<Heading extends string> = Heading extends `${infer Head}_${infer Tail}`
  ? `${Head}${Capitalize<CamelCase<Tail>>}`
  : Heading;

/** The values of a sheet's row under the names code uses: `follow_up_months` becomes `followUpMonths`. */
export type RowOf<Name extends SheetName> = {
  readonly [Heading in keyof z.output<(typeof sheets)[Name]['columns']> &
    string as CamelCase<Heading>]: z.output<(typeof sheets)[Name]['columns']>[Heading];
} & { readonly row: RowAddress };

export type StudyRow = RowOf<'studies'>;
export type ArmRow = RowOf<'arms'>;
export type EventRow = RowOf<'events'>;
export type ScoreRow = RowOf<'scores'>;
export type JudgementRow = RowOf<'judgements'>;
export type FlowRow = RowOf<'flow'>;
export type MissingRow = RowOf<'missing'>;
export type CertaintyRow = RowOf<'certainty'>;
export type PrintedRow = RowOf<'printed'>;
export type ChecklistRow = RowOf<'checklist'>;
export type RecommendationRow = RowOf<'recommendations'>;
export type AwaitingRow = RowOf<'awaiting'>;

/** The first of the three values that carry everything: a review as it was extracted, every cell checked. */
export interface Review {
  readonly protocol: Protocol;
  readonly studies: readonly StudyRow[];
  readonly arms: readonly ArmRow[];
  readonly events: readonly EventRow[];
  readonly scores: readonly ScoreRow[];
  readonly judgements: readonly JudgementRow[];
  readonly flow: readonly FlowRow[];
  /** Judgements of missing evidence; empty without the sheet. */
  readonly missing: readonly MissingRow[];
  /** Decisions on certainty; empty without the sheet. */
  readonly certainty: readonly CertaintyRow[];
  /** What papers print beyond the counts; empty where nobody typed it. */
  readonly printed: readonly PrintedRow[];
  /** Where items of the reporting checklist are answered; empty where nobody typed it. */
  readonly checklist: readonly ChecklistRow[];
  /** What the recommendations rest on; empty where the review makes none. */
  readonly recommendations: readonly RecommendationRow[];
  /** Reports found and not yet in the review; empty where none waits. */
  readonly awaiting: readonly AwaitingRow[];
  /** What a reader should know although the review can be used. */
  readonly warnings: readonly Problem[];
}

/** A review, or the reasons there is none; warnings either way. */
export interface ReviewReading {
  /** Undefined when any problem is an error. */
  readonly review: Review | undefined;
  /** Errors and warnings, sorted by file and line. */
  readonly problems: readonly Problem[];
}
