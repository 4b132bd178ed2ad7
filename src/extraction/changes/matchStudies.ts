import type { Review } from '../review.ts';
import { type SheetName, sheetNames } from '../sheets/sheets.ts';
import { type AnyRow, cellText, columnsOf, isFilled, rowsOfSheet } from './sheetCells.ts';

/** Two names of one thing, before and after. */
export interface NamePair {
  readonly before: string;
  readonly after: string;
}

/** Which studies and arms of two versions are the same, and under which names. */
export interface MatchedNames {
  /** Studies of both versions; the names differ where a study was renamed. */
  readonly studies: readonly NamePair[];
  /** For each study of both versions, by its later name: its arms of both. */
  readonly arms: ReadonlyMap<string, readonly NamePair[]>;
}

/** Share of cells that must agree before two names are taken for one study or arm. */
const sameEnough = 0.8;
/** Fewer cells in common than this could agree by chance. */
const fewestCommonCells = 6;

type Cells = ReadonlyMap<string, number>;

/** Every filled cell of rows, as `sheet heading text`, with how often it occurs; the names themselves left out. */
function cellsOf(rows: readonly (readonly [SheetName, AnyRow])[], without: ReadonlySet<string>): Cells {
  const cells = new Map<string, number>();
  for (const [sheet, row] of rows) {
    for (const { heading, name } of columnsOf(sheet)) {
      if (without.has(heading) || !isFilled(row[name])) continue;
      const cell = `${sheet} ${heading} ${cellText(row[name])}`;
      cells.set(cell, (cells.get(cell) ?? 0) + 1);
    }
  }
  return cells;
}

/** Share of cells two lists have in common (Dice 1945), 0 when too few are. */
function likeness(one: Cells, other: Cells): number {
  const size = (cells: Cells): number => [...cells.values()].reduce((sum, count) => sum + count, 0);
  let common = 0;
  for (const [cell, count] of one) common += Math.min(count, other.get(cell) ?? 0);
  return common < fewestCommonCells ? 0 : (2 * common) / (size(one) + size(other));
}

/** Names on one side only, paired when each is the other's best match and alike enough. */
function renamed(before: ReadonlyMap<string, Cells>, after: ReadonlyMap<string, Cells>): readonly NamePair[] {
  const best = (cells: Cells, others: ReadonlyMap<string, Cells>): readonly [string, number] | undefined =>
    [...others]
      .map(([name, other]) => [name, likeness(cells, other)] as const)
      .sort((a, b) => b[1] - a[1])[0];
  return [...before].flatMap(([name, cells]) => {
    const found = best(cells, after);
    if (found === undefined || found[1] < sameEnough) return [];
    const back = best(after.get(found[0])!, before);
    return back?.[0] === name ? [{ before: name, after: found[0] }] : [];
  });
}

const named = (value: unknown): string => String(value);

/**
 * Which studies and arms of the later version are those of the earlier one?
 *
 * Equal names are the same study. Of the rest, two names are one study that was renamed when at least four in five of all
 * the cells that speak of them agree (Dice's coefficient over the filled cells of every sheet, the names and the label
 * left out), at least six cells do, and each is the other's best match; and likewise the arms within a study.
 */
export function matchStudies(before: Review, after: Review): MatchedNames {
  const sheetsWith = (name: 'study' | 'arm'): readonly SheetName[] =>
    sheetNames.filter((sheet) => columnsOf(sheet).some(({ heading }) => heading === name));
  const rowsByStudy = (review: Review): ReadonlyMap<string, (readonly [SheetName, AnyRow])[]> => {
    const rows = new Map<string, (readonly [SheetName, AnyRow])[]>(
      review.studies.map(({ study }) => [study, []]),
    );
    for (const sheet of sheetsWith('study')) {
      for (const row of rowsOfSheet(review, sheet)) rows.get(named(row.study))?.push([sheet, row]);
    }
    return rows;
  };
  const [earlier, later] = [rowsByStudy(before), rowsByStudy(after)];
  const only = (
    rows: ReadonlyMap<string, (readonly [SheetName, AnyRow])[]>,
    others: { has(name: string): boolean },
    without: ReadonlySet<string>,
  ) =>
    new Map(
      [...rows].filter(([name]) => !others.has(name)).map(([name, own]) => [name, cellsOf(own, without)]),
    );
  const ofStudy = new Set(['study', 'label']);
  const studies = [
    ...[...earlier.keys()]
      .filter((study) => later.has(study))
      .map((study) => ({ before: study, after: study })),
    ...renamed(only(earlier, later, ofStudy), only(later, earlier, ofStudy)),
  ];
  const armRows = (rows: readonly (readonly [SheetName, AnyRow])[]) => {
    const byArm = new Map<string, (readonly [SheetName, AnyRow])[]>();
    const own = rows.filter(([sheet]) => sheetsWith('arm').includes(sheet));
    for (const [sheet, row] of own) if (sheet === 'arms') byArm.set(named(row.arm), []);
    for (const each of own) byArm.get(named(each[1].arm))?.push(each);
    return byArm;
  };
  const arms = new Map(
    studies.map((pair) => {
      const [one, other] = [armRows(earlier.get(pair.before)!), armRows(later.get(pair.after)!)];
      const ofArm = new Set(['study', 'arm']);
      const same = [...one.keys()]
        .filter((arm) => other.has(arm))
        .map((arm) => ({ before: arm, after: arm }));
      return [pair.after, [...same, ...renamed(only(one, other, ofArm), only(other, one, ofArm))]] as const;
    }),
  );
  return { studies, arms };
}
