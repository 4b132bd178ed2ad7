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
  const places = {
    whole: sizes.reduce((product, size) => product * size, 1),
    of: Uint32Array.from(run.analyses, ({ choices }) =>
      choices.reduce((sum, choice, at) => sum + choice * strides[at]!, 0),
    ),
  };
  const answers = run.analyses.flatMap(({ value }) => (value === undefined ? [] : [value]));
  const mean = answers.reduce((sum, value) => sum + value, 0) / Math.max(1, answers.length);
  const total = answers.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const rows = run.dimensions.flatMap(({ id, name, options: names }, at): ChoiceInfluence[] => {
    if (names.length < 2) return [];
    // One group for each place of the grid with this choice set to its first option.
    const members = new Uint8Array(places.whole);
    const answered = new Uint8Array(places.whole);
    const lowest = new Float64Array(places.whole);
    const highest = new Float64Array(places.whole);
    const conclusion = new Uint8Array(places.whole);
    const split = new Uint8Array(places.whole);
    const groupOf = (index: number): number =>
      places.of[index]! - run.analyses[index]!.choices[at]! * strides[at]!;
    for (const [index, { value }] of run.analyses.entries()) {
      const group = groupOf(index);
      if (members[group]! > 0 && conclusion[group] !== reached[index]) split[group] = 1;
      conclusion[group] = reached[index]!;
      members[group]! += 1;
      if (value === undefined) continue;
      lowest[group] = answered[group] === 0 ? value : Math.min(lowest[group]!, value);
      highest[group] = answered[group] === 0 ? value : Math.max(highest[group]!, value);
      answered[group]! += 1;
    }
    // Only groups that hold every option are compared: else an option never run on one scale would carry that scale.
    const sums = names.map(() => ({ sum: 0, count: 0 }));
    let whole = 0;
    let count = 0;
    for (const [index, { choices, value }] of run.analyses.entries()) {
      if (value === undefined || answered[groupOf(index)]! < names.length) continue;
      const option = sums[choices[at]!]!;
      option.sum += value;
      option.count += 1;
      whole += value;
      count += 1;
    }
    const centre = whole / Math.max(1, count);
    let several = 0;
    let splits = 0;
    let ranges = 0;
    let rangeSum = 0;
    let largestRange = 0;
    for (let group = 0; group < places.whole; group++) {
      if (members[group]! > 1) {
        several += 1;
        splits += split[group]!;
      }
      if (answered[group]! > 1) {
        const range = highest[group]! - lowest[group]!;
        ranges += 1;
        rangeSum += range;
        largestRange = Math.max(largestRange, range);
      }
    }
    const between = sums.reduce(
      (sum, each) => (each.count === 0 ? sum : sum + each.count * (each.sum / each.count - centre) ** 2),
      0,
    );
    return [
      {
        dimension: id,
        name,
        options: names.length,
        averageRange: rangeSum / Math.max(1, ranges),
        largestRange,
        rangeAroundProtocol:
          answered[0]! > 1 && run.analyses[0]?.value !== undefined ? highest[0]! - lowest[0]! : undefined,
        changesConclusion: several === 0 ? 0 : splits / several,
        varianceShare: total > 0 ? Math.min(1, between / total) : undefined,
      },
    ];
  });
  return rows.sort((a, b) => b.averageRange - a.averageRange || b.changesConclusion - a.changesConclusion);
}
