import { flowMismatches } from './flowMismatches.ts';
import { isReported, notReported, type Reported } from './reported.ts';
import type { FlowRow, StudyRow } from './review.ts';
import type { RowAddress } from './rowAddress.ts';
import { type FlowStage, flowStages } from './sheets/flowSheet.ts';

/** One row of flow.csv: a source searched, or a reason for leaving out. */
export interface FlowPart {
  readonly detail: Reported<string>;
  readonly count: number;
  readonly row: RowAddress;
}

/** One step of the selection. */
export interface FlowCount {
  readonly stage: FlowStage;
  /** Sum of the rows of the stage; `not reported` where there is none, never zero. */
  readonly total: Reported<number>;
  readonly parts: readonly FlowPart[];
  /** For a total nobody typed: how it follows from totals that were. */
  readonly workedOut: string | undefined;
}

/** Two counts that cannot both be right. */
export interface FlowMismatch {
  readonly stage: FlowStage;
  /** What should stand there, in words that complete "expected …". */
  readonly expected: string;
  /** What to do, as a full sentence. */
  readonly cure: string;
  /** The last row of the stage. */
  readonly row: RowAddress;
}

/** The selection of a review, from search to inclusion. */
export interface FlowCounts {
  readonly kind: 'flow-counts';
  readonly counts: Readonly<Record<FlowStage, FlowCount>>;
  /** The review brings an earlier version up to date. */
  readonly update: boolean;
  /** Reports were also found otherwise than in databases and registers. */
  readonly otherSources: boolean;
  readonly mismatches: readonly FlowMismatch[];
}

/** The studies a flow must agree with. */
export type CountedStudy = Pick<StudyRow, 'study' | 'cohort'>;

/**
 * How many records, reports and studies passed each step, and do the counts add up?
 *
 * Rows of one stage are summed. Checked: identified less removed is screened; screened less excluded is sought; sought
 * less not retrieved is assessed; assessed less excluded, with other sources where there are any, is included (in an
 * update: newly included); earlier and new make the whole; no more studies than reports; and, when given, the rows and
 * cohorts of studies.csv. A count nobody typed stays `not reported`; only in an update is what is new worked out from
 * the whole and what was there before, and then says so.
 *
 * @param studies rows of studies.csv; left out, the flow is checked against itself only
 * @see Page MJ, McKenzie JE, Bossuyt PM et al., BMJ 2021;372:n71 (figure 1, item 16a).
 * @example
 * flowCounts(review.flow, review.studies).counts['records screened'].total // 711
 */
export function flowCounts(rows: readonly FlowRow[], studies?: readonly CountedStudy[]): FlowCounts {
  const counts = Object.fromEntries(
    flowStages.map((stage): [FlowStage, FlowCount] => {
      const parts = rows
        .filter((row) => row.stage === stage)
        .map(({ detail, count, row }): FlowPart => ({ detail, count, row }));
      const total = parts.length === 0 ? notReported : parts.reduce((sum, { count }) => sum + count, 0);
      return [stage, { stage, total, parts, workedOut: undefined }];
    }),
  ) as Record<FlowStage, FlowCount>;
  const any = (start: string): boolean => rows.some(({ stage }) => stage.startsWith(start));
  const update = any('previous ') || any('new ');
  if (update) {
    for (const what of ['studies included', 'reports included'] as const) {
      const [whole, before] = [counts[what].total, counts[`previous ${what}`].total];
      const stage = `new ${what}` as const;
      if (isReported(counts[stage].total) || !isReported(whole) || !isReported(before) || whole < before)
        continue;
      counts[stage] = { ...counts[stage], total: whole - before, workedOut: `${what} less those of before` };
    }
  }
  const base = { kind: 'flow-counts', counts, update, otherSources: any('other ') } as const;
  return { ...base, mismatches: flowMismatches(base, studies) };
}
