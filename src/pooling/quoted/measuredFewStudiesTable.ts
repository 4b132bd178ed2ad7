export const fewStudiesCoverage: readonly (readonly [
  method: string,
  studies: number,
  least: number,
  most: number,
  points: number,
  reviews: number,
  monteCarloError: number,
])[] = [];
