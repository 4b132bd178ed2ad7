import { type TrialSize, type TrialSizeOptions, trialSampleSize } from './trialSampleSize.ts';

export interface InformationOptions extends TrialSizeOptions {
  /**
   * Share of the variance of the pooled comparison that lies between studies, 0 to below 1. The size a trial would need
   * is divided by one less it. Default 0: as if all shoulders came from one trial.
   */
  readonly diversity?: number;
}

/** What a comparison needs, has and lacks, in shoulders of both arms. */
export interface InformationSize {
  readonly needed: number;
  readonly held: number;
  readonly lacking: number;
  /** Held over needed. */
  readonly share: number;
  readonly diversity: number;
  readonly trial: TrialSize;
}

/**
 * How much information does the body of studies still lack to settle a difference that matters?
 *
 * The size of one adequately powered trial of the two rates, enlarged by `1 / (1 − diversity)`, against the shoulders
 * that studies of both sides hold.
 *
 * @param baseline rate on the comparator's side, 0 to 1
 * @param difference smallest difference that matters, 0 to 1; the lower rate is `baseline − difference` where that is
 *   above 0, else the higher is `baseline + difference`
 * @param held shoulders in both arms of the studies that compare
 * @throws RangeError for numbers out of bounds
 *
 * Source: Pogue JM, Yusuf S, Control Clin Trials 1997;18:580-593 (optimal information size); Wetterslev J et al., BMC
 * Med Res Methodol 2009;9:86 (diversity).
 *
 * @example
 * informationSize(0.10, 0.05, 410).lacking // 454
 */
export function informationSize(
  baseline: number,
  difference: number,
  held: number,
  options: InformationOptions = {},
): InformationSize {
  const { diversity = 0, ...trialOptions } = options;
  if (!(typeof diversity === 'number' && diversity >= 0 && diversity < 1))
    throw new RangeError(`diversity must be from 0 to below 1, received ${diversity}`);
  if (!(Number.isInteger(held) && held >= 0))
    throw new RangeError(`held must be a whole number of at least 0, received ${held}`);
  if (!(typeof difference === 'number' && difference > 0 && difference < 1))
    throw new RangeError(`difference must be above 0 and below 1, received ${difference}`);
  const other = baseline - difference > 0 ? baseline - difference : baseline + difference;
  const trial = trialSampleSize(baseline, other, trialOptions);
  const exact = trial.bothArms / (1 - diversity);
  const needed = Math.ceil(exact - 1e-9 * exact);
  return {
    needed,
    held,
    lacking: Math.max(0, needed - held),
    share: held / needed,
    diversity,
    trial,
  };
}
