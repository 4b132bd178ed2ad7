// Written by `npm run calibrate -- ... --write` from what it measured; not by hand.

export const rateCoverage: readonly (readonly [
  method: string,
  arms: number,
  rate: number,
  least: number,
  most: number,
  points: number,
  reviews: number,
  monteCarloError: number,
])[] = [];

export const comparisonCoverage: readonly (readonly [
  method: string,
  studies: number,
  least: number,
  most: number,
  points: number,
  reviews: number,
  monteCarloError: number,
])[] = [];
