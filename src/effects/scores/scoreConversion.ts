import type { ScoreCaution } from './scoreCaution.ts';

/** A mean and standard deviation that were worked out from what a paper printed, with all that made them. */
export interface ScoreConversion {
  readonly kind: 'score-conversion';
  /** In the units of the score; undefined when the paper's figures fix the spread alone. */
  readonly mean: number | undefined;
  readonly standardDeviation: number;
  /** The convention, in words. */
  readonly method: string;
  /** Where the convention is published, with section. */
  readonly source: string;
  readonly cautions: readonly ScoreCaution[];
  /** What went in, under the names of the function's own input. */
  readonly inputs: Readonly<Record<string, number | string>>;
}
