import type { RowAddress } from '../extraction/rowAddress.ts';
import type { AnalysisScale } from './analysisScale.ts';

/** Events among those who could have had one. */
export interface Count {
  readonly events: number;
  readonly total: number;
}

/** The second of the three values that carry everything: one study's number, ready to be pooled. */
export interface Estimate {
  /** Study id; estimates of one study share it. */
  readonly study: string;
  /** Study as printed. */
  readonly label: string;
  /** Arm id, where the estimate belongs to one arm. */
  readonly arm?: string;
  /** Value on the analysis scale. */
  readonly value: number;
  /** Sampling variance on the analysis scale, greater than zero. */
  readonly variance: number;
  readonly scale: AnalysisScale;
  /** The count it was computed from (one arm), before any correction. */
  readonly count?: Count;
  /** The counts it was computed from (two arms), before any correction. */
  readonly counts?: { readonly treated: Count; readonly comparator: Count };
  /** What was added to each cell; 0 when the counts were used as they are. */
  readonly addedToEachCell: number;
  /** Made up by a sensitivity analysis in place of a study nobody found; never reported, never counted as a study. */
  readonly imputed?: true;
  /** Sheet rows it was computed from. */
  readonly rows: readonly RowAddress[];
}

/** A study that has no finite estimate on the chosen scale, and why. It stays visible. */
export interface LeftOut {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  readonly reason: string;
  readonly count?: Count;
  readonly counts?: { readonly treated: Count; readonly comparator: Count };
  readonly rows: readonly RowAddress[];
}
