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

/**
 * Reviews of a set, a hundred at a time: those from `first` to `runs` of every point, ten times as many at those that
 * decide. A later run from where an earlier one ended adds up with it.
 */
export function piecesOf(set: SetName, runs: number, first = 0): Piece[] {
  return sets[set].points.flatMap(({ decides }, point) => {
    const times = decides ? 10 : 1;
    const pieces: Piece[] = [];
    for (let from = times * first; from < times * runs; from += piece) {
      pieces.push({ set, point, from, to: Math.min(times * runs, from + piece) });
    }
    return pieces;
  });
}

export function simulatePiece({ set, point, from, to }: Piece): Part {
  const { points, simulate } = sets[set] as CalibrationSet<RatePoint | ComparisonPoint>;
  const at = points[point]!;
  return new Part().add(set, at.id, simulate(at, from, to));
}

/** A few reviews of a few points of every set, recomputed by the tests: `npm run calibrate -- --sample --out <file>`. */
export function samplePieces(): Piece[] {
  return setNames.flatMap((set) => {
    const { length } = sets[set].points;
    return [0.15, 0.5, 0.85].map((share) => ({ set, point: Math.floor(share * length), from: 0, to: 15 }));
  });
}
