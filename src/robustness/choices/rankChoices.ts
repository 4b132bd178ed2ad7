import type { ChoiceDimensionId } from './choiceGrid.ts';
import type { ChoicesRun } from './runChoices.ts';
import { type ConclusionOptions, conclusionsOf } from './shareOfConclusions.ts';

/** How much one choice moves the answer when all others stay as they are. */
export interface ChoiceInfluence {
  readonly dimension: ChoiceDimensionId;
  readonly name: string;
  readonly options: number;
  /** Largest less smallest answer among analyses that differ in this choice alone, averaged over the grid. */
  readonly averageRange: number;
  /** The same, where it is largest. */
  readonly largestRange: number;
  /** The same, around the protocol's own analysis; undefined where it or its neighbours have no answer. */
  readonly rangeAroundProtocol: number | undefined;
  /** Share of such groups whose analyses do not all reach the same conclusion. */
  readonly changesConclusion: number;
  /** Share of the variance of the answers that the averages over this choice's options carry. */
  readonly varianceShare: number | undefined;
}

/**
 * Which choices move the answer, and which make no difference?
 *
 * Analyses are put in groups that differ in one choice alone; a group's range is what that choice can do there. The
 * variance share is the first-order index `Var(E[answer | choice]) / Var(answer)`, the averages taken over the groups that
 * hold every option.
 *
 * @returns one row for each choice with several options, the most moving first
 * @throws RangeError as {@link conclusionsOf}
 *
 * Source: Saltelli A et al., Global Sensitivity Analysis, 2008, section 1.2.5 (first-order index).
 *
 * @example
 * rankChoices(run)[0]?.name // 'Definition and assessor'
 */
export function rankChoices(run: ChoicesRun, options: ConclusionOptions = {}): readonly ChoiceInfluence[] {
  const { reached } = conclusionsOf(run, options);
  const sizes = run.dimensions.map(({ options: names }) => names.length);
  const strides = sizes.map((_, at) => sizes.slice(at + 1).reduce((product, size) => product * size, 1));
  const places = Float64Array.from(run.analyses, ({ choices }) =>
    choices.reduce((sum, choice, at) => sum + choice * strides[at]!, 0),
  );
  const answers = run.analyses.flatMap(({ value }) => (value === undefined ? [] : [value]));
  const mean = answers.reduce((sum, value) => sum + value, 0) / Math.max(1, answers.length);
  const total = answers.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const rows = run.dimensions.flatMap(({ id, name, options: names }, at): ChoiceInfluence[] => {
    if (names.length < 2) return [];
    const groups = new Map<number, Group>();
    const sums = names.map(() => ({ sum: 0, count: 0 }));
    for (const [index, analysis] of run.analyses.entries()) {
      const choice = analysis.choices[at]!;
      const place = places[index]! - choice * strides[at]!;
      let group = groups.get(place);
      if (group === undefined) {
        group = { members: 0, answered: 0, lowest: 0, highest: 0, conclusion: reached[index]!, split: false };
        groups.set(place, group);
      }
      group.members += 1;
      if (reached[index] !== group.conclusion) group.split = true;
      const { value } = analysis;
      if (value === undefined) continue;
      group.lowest = group.answered === 0 ? value : Math.min(group.lowest, value);
      group.highest = group.answered === 0 ? value : Math.max(group.highest, value);
      group.answered += 1;
    }
    // Only groups that hold every option are compared: else an option never run on one scale would carry that scale.
    let whole = 0;
    let count = 0;
    for (const [index, { choices, value }] of run.analyses.entries()) {
      const choice = choices[at]!;
      if (value === undefined || groups.get(places[index]! - choice * strides[at]!)!.answered < names.length)
        continue;
      sums[choice]!.sum += value;
      sums[choice]!.count += 1;
      whole += value;
      count += 1;
    }
    const centre = whole / Math.max(1, count);
    const several = [...groups.values()].filter(({ members }) => members > 1);
    const ranges = several.filter(({ answered }) => answered > 1).map((each) => each.highest - each.lowest);
    const own = groups.get(0);
    const between = sums.reduce(
      (sum, each) => (each.count === 0 ? sum : sum + each.count * (each.sum / each.count - centre) ** 2),
      0,
    );
    return [
      {
        dimension: id,
        name,
        options: names.length,
        averageRange: ranges.reduce((sum, range) => sum + range, 0) / Math.max(1, ranges.length),
        largestRange: ranges.reduce((most, range) => Math.max(most, range), 0),
        rangeAroundProtocol:
          own !== undefined && own.answered > 1 && run.analyses[0]?.value !== undefined
            ? own.highest - own.lowest
            : undefined,
        changesConclusion:
          several.length === 0 ? 0 : several.filter(({ split }) => split).length / several.length,
        varianceShare: total > 0 ? Math.min(1, between / total) : undefined,
      },
    ];
  });
  return rows.sort((a, b) => b.averageRange - a.averageRange || b.changesConclusion - a.changesConclusion);
}

interface Group {
  members: number;
  answered: number;
  lowest: number;
  highest: number;
  conclusion: number;
  split: boolean;
}
