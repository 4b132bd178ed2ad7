import type { Reported } from '../../extraction/reported.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import type { ClassifiedSite } from '../../extraction/site.ts';
import type { MeanSummary } from '../twoMeans.ts';
import type { ScoreKind, ScoreLine } from './harmoniseScore.ts';
import type { ScoreRange } from './scaleEndCaution.ts';
import type { ScoreCaution } from './scoreCaution.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import type { ScoreDirection } from './scoreScale.ts';

/** One arm's score for one outcome, after conversion and harmonisation: what estimates from scores are made of. */
export interface ScoreArm extends MeanSummary {
  /** Study id, shared by all arms of the study. */
  readonly study: string;
  /** Study as printed. */
  readonly label: string;
  readonly year: number;
  readonly arm: string;
  readonly site: ClassifiedSite;
  readonly design: string;
  readonly followUpMonths: Reported<number>;
  /** Id of the scale; mean and standard deviation are on its reference version. */
  readonly scale: string;
  readonly scaleName: string;
  readonly range: ScoreRange | undefined;
  readonly unit: string;
  readonly better: ScoreDirection;
  /** Does 0 on this version mean none of what is measured? */
  readonly zeroIsNone: boolean;
  readonly kind: ScoreKind;
  /** Conversions applied, in order; empty when mean and standard deviation stand in the paper. */
  readonly conversions: readonly ScoreConversion[];
  /** From the printed version to the reference; multiply 1 and add 0 when nothing was done. */
  readonly line: ScoreLine;
  readonly cautions: readonly ScoreCaution[];
  /** The row it was read from. */
  readonly row: RowAddress;
  /** All rows it was made from (a change may need two). */
  readonly rows: readonly RowAddress[];
}
