import type { PointTallies } from './simulate.ts';
import { addTally, emptyTally, readTally, type WrittenTally, writeTally } from './tally.ts';

/** Part of a calibration: tallies of methods at points of sets. Parts add up in any order. */
export class Part {
  readonly sets = new Map<string, Map<string, PointTallies>>();

  at(set: string, point: string): PointTallies {
    const points = this.sets.get(set) ?? new Map<string, PointTallies>();
    this.sets.set(set, points);
    const tallies: PointTallies = points.get(point) ?? new Map();
    points.set(point, tallies);
    return tallies;
  }

  add(set: string, point: string, from: PointTallies): this {
    const to = this.at(set, point);
    for (const [method, tally] of from) {
      const sum = to.get(method) ?? emptyTally();
      addTally(sum, tally);
      to.set(method, sum);
    }
    return this;
  }

  plus(other: Part): Part {
    const sum = new Part();
    for (const part of [this, other]) {
      for (const [set, points] of part.sets) {
        for (const [point, tallies] of points) sum.add(set, point, tallies);
      }
    }
    return sum;
  }
}

type Written = Record<string, Record<string, Record<string, WrittenTally>>>;

/** A part as text, keys in order, so that equal parts are equal texts. */
export function writePart(part: Part): string {
  const sorted = <T>(map: ReadonlyMap<string, T>): [string, T][] =>
    [...map].sort(([a], [b]) => (a < b ? -1 : 1));
  const written: Written = Object.fromEntries(
    sorted(part.sets).map(([set, points]) => [
      set,
      Object.fromEntries(
        sorted(points).map(([point, tallies]) => [
          point,
          Object.fromEntries(sorted(tallies).map(([method, tally]) => [method, writeTally(tally)])),
        ]),
      ),
    ]),
  );
  return JSON.stringify(written);
}

export function readPart(text: string): Part {
  const part = new Part();
  for (const [set, points] of Object.entries(JSON.parse(text) as Written)) {
    for (const [point, tallies] of Object.entries(points)) {
      part.add(
        set,
        point,
        new Map(Object.entries(tallies).map(([method, tally]) => [method, readTally(tally)])),
      );
    }
  }
  return part;
}
