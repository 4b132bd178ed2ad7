import { comparisonCoverage, rateCoverage } from './measuredCoverageTable.ts';
import { fewStudiesCoverage } from './measuredFewStudiesTable.ts';

/** What share of simulated reviews an interval held, over the points of a band, least to most. */
export interface MeasuredCoverage {
  /** Shares of 1. */
  readonly least: number;
  readonly most: number;
  /** Designs in the band, and simulated reviews at each of them, at least. */
  readonly points: number;
  readonly reviews: number;
  /** Largest Monte Carlo standard error over the points. */
  readonly monteCarloError: number;
}

/** Bands of arms, or of studies: their upper ends. */
export const armBands = [2, 4, 8, Number.POSITIVE_INFINITY] as const;
/** Bands of the share of shoulders with the event: their upper ends. */
export const rateBands = [0.01, 0.02, 0.05, 0.1, 1] as const;

/** Which band a number belongs to: the first whose upper end it does not exceed. */
export const bandOf = (value: number, ends: readonly number[]): number =>
  ends.findIndex((end) => value <= end);

/**
 * How often did the method's interval hold what it aims at, in simulated reviews with so many arms and such a rate?
 *
 * @param share of shoulders with the event; above a half, the share without counts
 * @returns undefined where no simulation was made
 */
export function measuredRateCoverage(
  method: string,
  arms: number,
  share: number,
): MeasuredCoverage | undefined {
  const armBand = bandOf(arms, armBands);
  const rateBand = bandOf(Math.min(share, 1 - share), rateBands);
  const row = rateCoverage.find((at) => at[0] === method && at[1] === armBand && at[2] === rateBand);
  if (!row) return undefined;
  const [, , , least, most, points, reviews, monteCarloError] = row;
  return { least, most, points, reviews, monteCarloError };
}

/**
 * The same for odds ratios, in simulated reviews with so many informative studies; up to ten each for themselves.
 *
 * @returns undefined where no simulation was made
 */
export function measuredComparisonCoverage(method: string, studies: number): MeasuredCoverage | undefined {
  const band = bandOf(studies, armBands);
  // Nine were not simulated: what was seen with eight.
  const few = studies === 9 ? 8 : studies;
  const row =
    fewStudiesCoverage.find((at) => at[0] === method && at[1] === few) ??
    comparisonCoverage.find((at) => at[0] === method && at[1] === band);
  if (!row) return undefined;
  const [, , least, most, points, reviews, monteCarloError] = row;
  return { least, most, points, reviews, monteCarloError };
}
