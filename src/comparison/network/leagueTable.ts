import type { NetworkEffect, NetworkPart } from './networkResult.ts';

/** Every treatment against every other: the cell in a row and a column is row less column. */
export interface League {
  readonly treatments: readonly string[];
  /** Undefined on the diagonal. */
  readonly cells: readonly (readonly (NetworkEffect | undefined)[])[];
}

/**
 * How does each treatment differ from each other, in one square?
 *
 * Row less column on the analysis scale. The square is antisymmetric (`cell(i, j) = -cell(j, i)`) and its values add up
 * along any way (`cell(i, k) = cell(i, j) + cell(j, k)`), since all come from one set of effects.
 *
 * @example
 * leagueTable(network.parts[0]!).cells[0]?.[1]?.value
 */
export function leagueTable(part: NetworkPart): League {
  const { treatments } = part;
  const cells: (NetworkEffect | undefined)[][] = treatments.map(() => treatments.map(() => undefined));
  const placeOf = new Map(treatments.map((treatment, place) => [treatment, place]));
  for (const { treatment, comparator, network } of part.comparisons) {
    const i = placeOf.get(treatment)!;
    const j = placeOf.get(comparator)!;
    cells[i]![j] = network;
    cells[j]![i] = turned(network);
  }
  return { treatments, cells };
}

/** The same effect read the other way round. */
export function turned({ value, standardError, interval, pValue }: NetworkEffect): NetworkEffect {
  return {
    value: -value + 0,
    standardError,
    interval: { lower: -interval.upper, upper: -interval.lower, level: interval.level },
    pValue,
  };
}

/** The comparison of two treatments in the direction asked for; undefined when no part holds both. */
export function effectBetween(
  parts: readonly NetworkPart[],
  treatment: string,
  comparator: string,
): NetworkEffect | undefined {
  for (const { comparisons } of parts)
    for (const each of comparisons) {
      if (each.treatment === treatment && each.comparator === comparator) return each.network;
      if (each.treatment === comparator && each.comparator === treatment) return turned(each.network);
    }
  return undefined;
}
