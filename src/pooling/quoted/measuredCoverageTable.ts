// Written by `npm run calibrate -- --write` from tests/calibration/quotedRates.json; not by hand.

/** Coverage of one method over the points of one band. */
export interface CoverageBand {
  readonly method: string;
  readonly arms: number;
  readonly rate: number;
  readonly least: number;
  readonly most: number;
  readonly points: number;
  readonly reviews: number;
  readonly monteCarloError: number;
}

export const rateCoverageBands: readonly CoverageBand[] = [];

export const comparisonCoverageBands: readonly Omit<CoverageBand, 'rate'>[] = [];
