import {
  type ComparisonPoint,
  calibrationComparisons,
  calibrationRates,
  fewStudiesComparisons,
  judgedComparisons,
  judgedRates,
  type RatePoint,
} from './designs.ts';
import { Part } from './parts.ts';
import {
  type PointTallies,
  simulateComparisons,
  simulateQuotedComparisons,
  simulateQuotedRates,
  simulateRates,
} from './simulate.ts';

/** Candidates on the points the rules were made on; the whole rules on others. */
export const setNames = [
  'rates',
  'judged-rates',
  'comparisons',
  'judged-comparisons',
  'few-studies',
] as const;
export type SetName = (typeof setNames)[number];

interface CalibrationSet<Point> {
  readonly points: readonly Point[];
  readonly simulate: (point: Point, from: number, to: number) => PointTallies;
}

const sets: { readonly [Name in SetName]: CalibrationSet<RatePoint> | CalibrationSet<ComparisonPoint> } = {
  rates: { points: calibrationRates, simulate: simulateRates },
  'judged-rates': { points: judgedRates, simulate: simulateQuotedRates },
  comparisons: { points: calibrationComparisons, simulate: simulateComparisons },
  'few-studies': { points: fewStudiesComparisons, simulate: simulateComparisons },
  'judged-comparisons': { points: judgedComparisons, simulate: simulateQuotedComparisons },
};

export const pointsOf = (set: SetName): readonly (RatePoint | ComparisonPoint)[] => sets[set].points;

/** Some reviews of one point. */
export interface Piece {
  readonly set: SetName;
  readonly point: number;
  readonly from: number;
  readonly to: number;
}

const piece = 100;

/** All reviews of a set, a hundred at a time: `runs` a point, ten times as many at those that decide. */
export function piecesOf(set: SetName, runs: number): Piece[] {
  return sets[set].points.flatMap(({ decides }, point) => {
    const reviews = decides ? 10 * runs : runs;
    return Array.from({ length: Math.ceil(reviews / piece) }, (_, i) => ({
      set,
      point,
      from: i * piece,
      to: Math.min(reviews, (i + 1) * piece),
    }));
  });
}

export function simulatePiece({ set, point, from, to }: Piece): Part {
  const { points, simulate } = sets[set] as CalibrationSet<RatePoint | ComparisonPoint>;
  const at = points[point]!;
  return new Part().add(set, at.id, simulate(at, from, to));
}
