import type { ScoreRange } from './scaleEndCaution.ts';
import type { ScoreDirection } from './scoreScale.ts';

/**
 * What a threshold marks: the smallest change a patient notices as good (`minimal-important-change`,
 * often MCID), a change they call substantial (`substantial-benefit`, SCB), or a state they call
 * acceptable (`acceptable-state`, PASS). The first two are changes within a person, the last is a place on the scale.
 */
export const thresholdKinds = [
  'minimal-important-change',
  'substantial-benefit',
  'acceptable-state',
] as const;
export type ThresholdKind = (typeof thresholdKinds)[number];

export interface ClinicalThreshold {
  readonly id: string;
  readonly kind: ThresholdKind;
  /** Scale id of the registry. */
  readonly scale: string;
  /** The version the value is on. */
  readonly range: ScoreRange;
  readonly better: ScoreDirection;
  /** Points: the size of a change, always positive, or a place on the scale. */
  readonly value: number;
  readonly population: string;
  readonly people: number | undefined;
  readonly source: string;
  readonly note: string | undefined;
}

interface Study {
  readonly key: string;
  readonly population: string;
  readonly people?: number;
  readonly source: string;
  readonly note?: string;
}

interface Measure {
  readonly scale: string;
  readonly range: ScoreRange;
  readonly better?: ScoreDirection;
  readonly noticed?: number;
  readonly substantial?: number;
  readonly acceptable?: number;
  readonly note?: string;
}

const to = (maximum: number): ScoreRange => ({ minimum: 0, maximum });

function thresholdsOf(study: Study, measures: readonly Measure[]): readonly ClinicalThreshold[] {
  return measures.flatMap(({ scale, range, better = 'higher', noticed, substantial, acceptable, note }) =>
    (
      [
        ['minimal-important-change', noticed],
        ['substantial-benefit', substantial],
        ['acceptable-state', acceptable],
      ] as const
    ).flatMap(([kind, value]) =>
      value === undefined
        ? []
        : [
            {
              id: `${study.key}-${scale}-${kind}`,
              kind,
              scale,
              range,
              better,
              value,
              population: study.population,
              people: study.people,
              source: study.source,
              note: note ?? study.note,
            },
          ],
    ),
  );
}

/**
 * Published thresholds for scores after shoulder surgery, each with its population and source.
 *
 * One comes from biceps tenodesis; the others are borrowed from rotator cuff patients. They differ
 * up to twofold between papers for the same score, so none is a law.
 */
export const clinicalThresholds: readonly ClinicalThreshold[] = [
  ...thresholdsOf(
    {
      key: 'lu-2021',
      population: 'biceps tenodesis, 1 year after',
      people: 165,
      source: 'Lu et al. J Shoulder Elbow Surg 2021;30:430 (abstract)',
      note: 'The abstract speaks of one year in one place and of two in another.',
    },
    [
      {
        scale: 'pain-vas',
        range: to(100),
        better: 'lower',
        noticed: 12.9,
        substantial: 25.1,
        acceptable: 27.4,
      },
    ],
  ),
  ...thresholdsOf(
    {
      key: 'cvetanovich-2019',
      population: 'rotator cuff repair',
      people: 288,
      source: 'Cvetanovich et al. 2019 (abstract)',
    },
    [
      { scale: 'ases', range: to(100), noticed: 11.1, substantial: 17.5, acceptable: 86.7 },
      {
        scale: 'constant-subjective',
        range: to(35),
        noticed: 4.6,
        substantial: 5.5,
        acceptable: 23.3,
        note: 'Printed as Constant; an acceptable state of 23.3 can only be the subjective part.',
      },
      { scale: 'sane', range: to(100), noticed: 16.9, substantial: 29.8, acceptable: 82.5 },
    ],
  ),
  ...thresholdsOf(
    {
      key: 'kim-2020',
      population: 'rotator cuff repair',
      people: 82,
      source: 'Kim et al. Am J Sports Med 2020;48:2650 (abstract)',
    },
    [
      { scale: 'pain-vas', range: to(10), better: 'lower', noticed: 1.5, substantial: 2.5, acceptable: 1.7 },
      { scale: 'ases', range: to(100), noticed: 21, substantial: 26, acceptable: 78 },
      { scale: 'sane', range: to(100), noticed: 13, substantial: 20, acceptable: 71 },
      {
        scale: 'ucla',
        range: { minimum: 2, maximum: 35 },
        noticed: 6,
        substantial: 8,
        acceptable: 23,
        note: 'The range is not stated in the abstract; that of the items is taken.',
      },
    ],
  ),
  ...thresholdsOf(
    {
      key: 'pmc6994807',
      population: 'rotator cuff repair, 24 months after',
      people: 306,
      source: 'PubMed Central PMC6994807',
    },
    [
      { scale: 'constant', range: to(100), noticed: 6.3 },
      {
        scale: 'ucla',
        range: { minimum: 2, maximum: 35 },
        noticed: 2.9,
        note: 'The range is not stated where it was read; that of the items is taken.',
      },
    ],
  ),
  ...thresholdsOf(
    {
      key: 'tashjian-2009',
      population: 'rotator cuff disease treated without operation',
      source: 'Tashjian et al. J Shoulder Elbow Surg 2009;18:927',
    },
    [{ scale: 'pain-vas', range: to(10), better: 'lower', noticed: 1.4, acceptable: 3 }],
  ),
  ...thresholdsOf(
    {
      key: 'fimpact-2021',
      population: 'subacromial pain',
      source: 'FIMPACT investigators. BMC Med Res Methodol 2021;21',
    },
    [
      {
        scale: 'pain-vas',
        range: to(100),
        better: 'lower',
        noticed: 20,
        acceptable: 9,
        note: 'Pain on activity.',
      },
      { scale: 'constant', range: to(100), noticed: 10, acceptable: 80 },
      { scale: 'sst', range: to(12), noticed: 1.5, acceptable: 11 },
    ],
  ),
];

/**
 * Which thresholds are published for this scale?
 *
 * @example
 * findThresholds({ scale: 'ases', kind: 'minimal-important-change' }).map((each) => each.value) // [11.1, 21]
 */
export function findThresholds(filter: {
  readonly scale: string;
  readonly kind?: ThresholdKind;
}): readonly ClinicalThreshold[] {
  return clinicalThresholds.filter(
    ({ scale, kind }) => scale === filter.scale && (filter.kind === undefined || kind === filter.kind),
  );
}
