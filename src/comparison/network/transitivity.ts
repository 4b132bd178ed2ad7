import type { ArmEvents } from '../../extraction/armEvents.ts';
import { armKey } from '../../extraction/armKey.ts';
import { isReported, type Reported } from '../../extraction/reported.ts';
import type { ArmRow, Review, StudyRow } from '../../extraction/review.ts';
import { countsByNode, type NodeOfArm } from './networkFromCounts.ts';

/** What may change the effect of a site, known for a study (averaged over its arms by shoulders). */
export interface EffectModifier {
  readonly id: string;
  readonly name: string;
  readonly unit: string;
  readonly valueInStudy: (
    arms: readonly { readonly row: ArmRow; readonly events: ArmEvents }[],
    study: StudyRow,
  ) => Reported<number>;
}

/** One study's value of one modifier within one comparison. */
export interface ModifierPoint {
  readonly study: string;
  readonly label: string;
  readonly shoulders: number;
  readonly value: Reported<number>;
}

/** A comparison's studies by one modifier. */
export interface ModifierInComparison {
  readonly treatment: string;
  readonly comparator: string;
  readonly points: readonly ModifierPoint[];
  readonly reported: number;
  /** Mean weighted by shoulders, and the range; undefined when no study reports it. */
  readonly mean: number | undefined;
  readonly range: readonly [least: number, most: number] | undefined;
}

export interface ModifierAcrossComparisons {
  readonly id: string;
  readonly name: string;
  readonly unit: string;
  readonly comparisons: readonly ModifierInComparison[];
  /** Largest less smallest mean of the comparisons; undefined with fewer than two means. */
  readonly spreadOfMeans: number | undefined;
}

export interface Transitivity {
  readonly kind: 'transitivity';
  readonly modifiers: readonly ModifierAcrossComparisons[];
  readonly comparisons: readonly {
    readonly treatment: string;
    readonly comparator: string;
    readonly studies: number;
  }[];
}

type NumberColumn = 'ageMeanYears' | 'cuffRepairPercent' | 'womenPercent' | 'workersCompensationPercent';

/** Mean of a column over the arms that report it, weighted by shoulders. */
const ofArms =
  (column: NumberColumn): EffectModifier['valueInStudy'] =>
  (arms) =>
    weighted(arms.map(({ row, events }) => ({ value: row[column], weight: events.total })));

function weighted(
  values: readonly { readonly value: Reported<number>; readonly weight: number }[],
): Reported<number> {
  let sum = 0;
  let weights = 0;
  for (const { value, weight } of values)
    if (isReported(value)) {
      sum += weight * value;
      weights += weight;
    }
  return weights > 0 ? sum / weights : 'not reported';
}

/** Age, follow-up, cuff repair, women, inlay, randomisation and year: what the sheets hold that may change an effect. */
export const effectModifiers: readonly EffectModifier[] = [
  { id: 'age', name: 'Mean age', unit: 'years', valueInStudy: ofArms('ageMeanYears') },
  {
    id: 'follow-up',
    name: 'Follow-up',
    unit: 'months',
    valueInStudy: (arms) =>
      weighted(arms.map(({ events }) => ({ value: events.followUpMonths, weight: events.total }))),
  },
  {
    id: 'cuff-repair',
    name: 'Cuff repaired',
    unit: '% of shoulders',
    valueInStudy: ofArms('cuffRepairPercent'),
  },
  { id: 'women', name: 'Women', unit: '% of patients', valueInStudy: ofArms('womenPercent') },
  {
    id: 'inlay',
    name: 'Inlay among fixed',
    unit: '% of shoulders',
    valueInStudy: (arms) =>
      weighted(
        arms
          .filter(({ row }) => row.inlayOrOnlay !== 'none')
          .map(({ row, events }) => ({
            value: row.inlayOrOnlay === 'inlay' ? 100 : row.inlayOrOnlay === 'onlay' ? 0 : 'not reported',
            weight: events.total,
          })),
      ),
  },
  {
    id: 'randomised',
    name: 'Allotted by chance',
    unit: '% of shoulders',
    valueInStudy: (_, study) => (study.design === 'randomised trial' ? 100 : 0),
  },
  { id: 'year', name: 'Year', unit: '', valueInStudy: (_, study) => study.year },
];

/**
 * Are the studies of each comparison alike in what may change the effect?
 *
 * An indirect comparison holds only if they are. For every pair of nodes that some study compares, each study's value
 * of each modifier (mean over its arms, weighted by shoulders). A value a paper does not give stays `not reported`.
 * Look before any estimate; how alike is alike enough is a clinical judgement and is not tested here.
 *
 * @see Salanti G. Res Synth Methods 2012;3:80-97. Jansen JP, Naci H. BMC Med 2013;11:159.
 * @example
 * transitivity(review, selection.arms).modifiers[0]?.comparisons
 */
export function transitivity(
  review: Pick<Review, 'studies' | 'arms'>,
  arms: readonly ArmEvents[],
  options: {
    readonly node?: NodeOfArm;
    readonly order?: readonly string[];
    readonly modifiers?: readonly EffectModifier[];
  } = {},
): Transitivity {
  const rows = new Map(review.arms.map((row) => [armKey(row), row]));
  const studies = new Map(review.studies.map((row) => [row.study, row]));
  const order = options.order ?? [];
  const place = (treatment: string): number =>
    order.includes(treatment) ? order.indexOf(treatment) : order.length;
  const pairs = new Map<
    string,
    {
      treatment: string;
      comparator: string;
      own: { study: StudyRow; arms: { row: ArmRow; events: ArmEvents }[] }[];
    }
  >();
  for (const { first, nodes } of countsByNode(arms, options.node)) {
    const study = studies.get(first.study);
    if (study === undefined) continue;
    const sorted = [...nodes].sort(
      (a, b) => place(a.treatment) - place(b.treatment) || (a.treatment < b.treatment ? -1 : 1),
    );
    for (const [i, one] of sorted.entries())
      for (const other of sorted.slice(i + 1)) {
        const key = JSON.stringify([one.treatment, other.treatment]);
        const pair = pairs.get(key) ?? { treatment: one.treatment, comparator: other.treatment, own: [] };
        pair.own.push({
          study,
          arms: [...one.arms, ...other.arms].flatMap((events) => {
            const row = rows.get(armKey(events));
            return row === undefined ? [] : [{ row, events }];
          }),
        });
        pairs.set(key, pair);
      }
  }
  const sortedPairs = [...pairs.values()].sort(
    (a, b) => place(a.treatment) - place(b.treatment) || place(a.comparator) - place(b.comparator),
  );
  return {
    kind: 'transitivity',
    comparisons: sortedPairs.map(({ treatment, comparator, own }) => ({
      treatment,
      comparator,
      studies: own.length,
    })),
    modifiers: (options.modifiers ?? effectModifiers).map(({ id, name, unit, valueInStudy }) => {
      const comparisons = sortedPairs.map(({ treatment, comparator, own }) => {
        const points = own.map(({ study, arms: armsOfStudy }) => ({
          study: study.study,
          label: study.label,
          shoulders: armsOfStudy.reduce((sum, { events }) => sum + events.total, 0),
          value: valueInStudy(armsOfStudy, study),
        }));
        return { treatment, comparator, points, ...summaryOf(points) };
      });
      const means = comparisons.flatMap(({ mean }) => (mean === undefined ? [] : [mean]));
      return {
        id,
        name,
        unit,
        comparisons,
        spreadOfMeans: means.length < 2 ? undefined : Math.max(...means) - Math.min(...means),
      };
    }),
  };
}

function summaryOf(
  points: readonly ModifierPoint[],
): Pick<ModifierInComparison, 'reported' | 'mean' | 'range'> {
  const values = points.flatMap(({ value }) => (isReported(value) ? [value] : []));
  const mean = weighted(points.map(({ value, shoulders }) => ({ value, weight: shoulders })));
  return {
    reported: values.length,
    mean: isReported(mean) ? mean : undefined,
    range: values.length > 0 ? [Math.min(...values), Math.max(...values)] : undefined,
  };
}
