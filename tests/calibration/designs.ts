// The reviews that are simulated: which arms, which true rates, how studies differ. Every point has its seed.

/** How the true rates of studies are spread. */
export type Spread =
  /** Log odds normal around those of `rate`, with a deviation. */
  | { readonly kind: 'normal-on-logit'; readonly deviation: number }
  /** Beta-distributed with mean `rate` and an intraclass correlation. */
  | { readonly kind: 'beta'; readonly correlation: number };

export interface RatePoint {
  readonly id: string;
  readonly arms: readonly number[];
  /** Rate of the median study (normal) or mean of the studies (beta). */
  readonly rate: number;
  readonly spread: Spread;
  readonly seed: number;
  /** Ten times as many reviews: one of the points that decide a border of the rule. */
  readonly decides: boolean;
}

export interface ComparisonPoint {
  readonly id: string;
  /** Sizes of the treated and the comparator arm, study by study. */
  readonly studies: readonly (readonly [treated: number, comparator: number])[];
  /** Median baseline, its deviation on the logit, and how much it rises with the log of the allocation ratio. */
  readonly baseline: number;
  readonly baselineDeviation: number;
  readonly risesWithAllocation: number;
  readonly oddsRatio: number;
  readonly deviation: number;
  readonly seed: number;
  readonly decides: boolean;
}

const geometric = (count: number, from: number, to: number): number[] =>
  Array.from({ length: count }, (_, i) => Math.round(from * (to / from) ** (i / (count - 1))));

/** Arms of the reviews the rule was made on. */
const calibrationArms = {
  two: [60, 90],
  three: [40, 70, 120],
  'three large': [100, 200, 400],
  four: [30, 55, 80, 150],
  five: [24, 31, 40, 52, 66],
  'five large': [100, 150, 200, 300, 400],
  'seven, one giant': [12, 30, 45, 60, 110, 250, 1000],
  'nine, one giant': [22, 35, 41, 50, 63, 78, 90, 110, 1004],
  thirteen: [50, 60, 72, 85, 100, 115, 130, 150, 170, 200, 230, 270, 305],
  twenty: [15, 20, 25, 30, 36, 42, 48, 55, 62, 70, 78, 86, 95, 105, 115, 130, 150, 175, 200, 230],
} as const satisfies Record<string, readonly number[]>;

/** Arms of the reviews the whole rule is judged on: others than those it was made on. */
const judgedArms = {
  six: [18, 26, 35, 50, 70, 90],
  'six large': [150, 180, 220, 260, 300, 500],
  'eight, one giant': [14, 20, 33, 54, 80, 140, 300, 1000],
  eleven: geometric(11, 25, 400),
  sixteen: geometric(16, 20, 160),
  'twelve to a thousand': geometric(10, 12, 1000),
} as const satisfies Record<string, readonly number[]>;

function ratePoints<Arms extends Record<string, readonly number[]>>(
  sets: Arms,
  firstSeed: number,
  rows: readonly (readonly [
    arms: keyof Arms & string,
    rate: number,
    deviations: readonly number[],
    ...decides: number[],
  ])[],
  beta: readonly (readonly [arms: keyof Arms & string, rate: number, correlation: number])[],
): RatePoint[] {
  const points: Omit<RatePoint, 'seed'>[] = [];
  for (const [arms, rate, deviations, ...decides] of rows) {
    for (const deviation of deviations) {
      points.push({
        id: `${arms} arms, ${Number((100 * rate).toPrecision(3))} %, deviation ${deviation}`,
        arms: sets[arms]!,
        rate,
        spread: { kind: 'normal-on-logit', deviation },
        decides: decides.includes(deviation),
      });
    }
  }
  for (const [arms, rate, correlation] of beta) {
    points.push({
      id: `${arms} arms, ${Number((100 * rate).toPrecision(3))} %, beta with correlation ${correlation}`,
      arms: sets[arms]!,
      rate,
      spread: { kind: 'beta', correlation },
      decides: false,
    });
  }
  return points.map((point, index) => ({ ...point, seed: firstSeed + index }));
}

/** Sixty points; the rule was made on these. */
export const calibrationRates = ratePoints(
  calibrationArms,
  1000,
  [
    ['two', 0.1, [0.5]],
    ['three', 0.03, [0.5]],
    ['three', 0.1, [0, 0.5, 1]],
    ['three large', 0.1, [1]],
    ['four', 0.1, [0.5]],
    ['five', 0.03, [0, 0.5, 1]],
    ['five', 0.1, [0, 0.5, 1], 1],
    ['five', 0.2, [0.5]],
    ['five large', 0.01, [0, 1]],
    ['five large', 0.03, [0.5]],
    ['five large', 0.1, [0.5, 1], 1],
    ['seven, one giant', 0.01, [0, 1]],
    ['seven, one giant', 0.03, [0.5, 1], 1],
    ['seven, one giant', 0.1, [0.5, 1], 0.5, 1],
    ['nine, one giant', 0.005, [0, 0.5]],
    ['nine, one giant', 0.01, [0, 0.5, 1]],
    ['nine, one giant', 0.03, [0.5, 1], 0.5],
    ['nine, one giant', 0.1, [0, 0.5, 1], 0.5, 1],
    ['thirteen', 0.005, [0, 1]],
    ['thirteen', 0.01, [0, 0.5, 1]],
    ['thirteen', 0.03, [0, 0.5, 1], 1],
    ['thirteen', 0.1, [0.5, 1], 1],
    ['thirteen', 0.2, [1]],
    ['twenty', 0.005, [0, 1]],
    ['twenty', 0.01, [0.5, 1]],
    ['twenty', 0.03, [0, 1]],
    ['twenty', 0.06, [0.5], 0.5],
    ['twenty', 0.1, [0.5, 1], 1],
  ],
  [
    ['five', 0.1, 0.05],
    ['nine, one giant', 0.03, 0.01],
    ['thirteen', 0.01, 0.01],
    ['thirteen', 0.03, 0.01],
    ['thirteen', 0.1, 0.05],
  ],
);

/** Designs and seeds that had no part in making the rule. */
export const judgedRates = ratePoints(
  judgedArms,
  5000,
  [
    ['six', 0.025, [0, 0.75]],
    ['six', 0.07, [0.25, 0.75]],
    ['six', 0.13, [0, 0.5, 1]],
    ['six', 0.25, [0.5]],
    ['six large', 0.004, [0.25]],
    ['six large', 0.015, [0, 0.75]],
    ['six large', 0.12, [0.5, 1]],
    ['eight, one giant', 0.004, [0.25]],
    ['eight, one giant', 0.02, [0, 0.75]],
    ['eight, one giant', 0.12, [0.25, 0.75]],
    ['eleven', 0.004, [0.5]],
    ['eleven', 0.015, [0.25, 1]],
    ['eleven', 0.08, [0.5, 1]],
    ['eleven', 0.15, [0.75]],
    ['sixteen', 0.007, [0, 0.75]],
    ['sixteen', 0.02, [0.5, 1]],
    ['sixteen', 0.12, [0.25, 1]],
    ['twelve to a thousand', 0.007, [0.5]],
    ['twelve to a thousand', 0.045, [0.75]],
    ['twelve to a thousand', 0.15, [0.5, 1]],
  ],
  [
    ['six', 0.13, 0.03],
    ['eleven', 0.015, 0.015],
    ['sixteen', 0.02, 0.02],
    ['twelve to a thousand', 0.12, 0.04],
  ],
);

const balanced = (sizes: readonly number[]) => sizes.map((n) => [n, n] as const);
/** Total sizes with the allocation ratio running evenly, on the log, from one end to the other. */
const unbalanced = (totals: readonly number[], from: number, to: number) =>
  totals.map((total, i) => {
    const ratio = from * (to / from) ** (((5 * i) % totals.length) / (totals.length - 1));
    const treated = Math.round((total * ratio) / (1 + ratio));
    return [treated, total - treated] as const;
  });

const calibrationStudies = {
  three: balanced([60, 110, 150]),
  four: balanced([40, 80, 120, 200]),
  five: [
    [40, 45],
    [60, 20],
    [80, 80],
    [120, 110],
    [200, 190],
  ],
  'six, 6 to 1 through 1 to 2': unbalanced(geometric(6, 45, 365), 6, 0.5),
  'eight large': balanced(geometric(8, 150, 500)),
  'twelve, unbalanced': unbalanced(geometric(12, 60, 400), 4, 0.4),
  twenty: balanced(geometric(20, 20, 150)),
  'twenty, 4 to 1 through 1 to 2.5': unbalanced(geometric(20, 60, 300), 4, 0.4),
} as const satisfies Record<string, readonly (readonly [number, number])[]>;

const judgedStudies = {
  'five, unbalanced': unbalanced(geometric(5, 90, 420), 3, 0.5),
  seven: balanced(geometric(7, 35, 220)),
  'nine, 6 to 1 through 1 to 2': unbalanced(geometric(9, 70, 450), 6, 0.5),
  'ten large': balanced(geometric(10, 130, 450)),
  fifteen: balanced(geometric(15, 25, 200)),
  'eighteen, 5 to 1 through 1 to 2': unbalanced(geometric(18, 70, 320), 5, 0.5),
} as const satisfies Record<string, readonly (readonly [number, number])[]>;

function comparisonPoints<Studies extends Record<string, readonly (readonly [number, number])[]>>(
  sets: Studies,
  firstSeed: number,
  rows: readonly (readonly [
    studies: keyof Studies & string,
    baseline: number,
    oddsRatio: number,
    deviations: readonly number[],
    rises?: number,
  ])[],
): ComparisonPoint[] {
  return rows
    .flatMap(([studies, baseline, oddsRatio, deviations, rises = 0]) =>
      deviations.map((deviation) => ({
        id: `${studies} studies, baseline ${100 * baseline} %${rises > 0 ? ' rising with allocation' : ''}, odds ratio ${oddsRatio}, deviation ${deviation}`,
        studies: sets[studies]!,
        baseline,
        baselineDeviation: 0.7,
        risesWithAllocation: rises,
        oddsRatio,
        deviation,
        decides: false,
      })),
    )
    .map((point, index) => ({ ...point, seed: firstSeed + index }));
}

export const calibrationComparisons = comparisonPoints(calibrationStudies, 9000, [
  ['three', 0.05, 1, [0, 0.5]],
  ['four', 0.05, 0.5, [0, 0.5]],
  ['five', 0.02, 1, [0, 0.5]],
  ['five', 0.05, 0.5, [0, 0.5]],
  ['six, 6 to 1 through 1 to 2', 0.02, 1, [0, 0.5]],
  ['six, 6 to 1 through 1 to 2', 0.05, 0.5, [0, 0.5]],
  ['eight large', 0.05, 1, [0, 0.5]],
  ['eight large', 0.1, 0.5, [0, 0.5]],
  ['eight large', 0.2, 1, [0, 0.5]],
  ['twelve, unbalanced', 0.05, 1, [0.5]],
  ['twenty', 0.02, 0.5, [0, 0.5]],
  ['twenty', 0.05, 1, [0, 0.5]],
  ['twenty, 4 to 1 through 1 to 2.5', 0.05, 0.5, [0, 0.5]],
  ['twenty, 4 to 1 through 1 to 2.5', 0.02, 1, [0, 0.5], 0.6],
  ['twenty, 4 to 1 through 1 to 2.5', 0.05, 1, [0, 0.5], 0.6],
]);

export const judgedComparisons = comparisonPoints(judgedStudies, 13000, [
  ['five, unbalanced', 0.05, 1, [0, 0.5]],
  ['seven', 0.04, 1, [0, 0.3]],
  ['seven', 0.08, 0.5, [0.5]],
  ['nine, 6 to 1 through 1 to 2', 0.03, 0.5, [0, 0.5]],
  ['ten large', 0.03, 1, [0.5]],
  ['ten large', 0.2, 0.5, [0, 0.5]],
  ['fifteen', 0.03, 1, [0, 0.5]],
  ['fifteen', 0.06, 0.5, [0.5]],
  ['eighteen, 5 to 1 through 1 to 2', 0.03, 1, [0, 0.5], 0.6],
  ['eighteen, 5 to 1 through 1 to 2', 0.06, 0.5, [0.5], 0.6],
]);

/** Studies of 40 to 300 shoulders: small and balanced, large and balanced, and from 6 to 1 through 1 to 2. */
const fewStudies = {
  2: [
    [40, 120],
    [150, 300],
    [60, 250],
  ],
  3: [
    [40, 70, 120],
    [150, 200, 300],
    [45, 110, 300],
  ],
  4: [
    [40, 60, 90, 120],
    [150, 180, 240, 300],
    [45, 85, 160, 300],
  ],
  5: [
    [40, 55, 70, 95, 120],
    [150, 180, 210, 250, 300],
    [45, 70, 115, 185, 300],
  ],
  6: [
    [40, 50, 65, 80, 100, 120],
    [150, 170, 200, 230, 260, 300],
    [45, 65, 95, 140, 200, 300],
  ],
  7: [geometric(7, 40, 120), geometric(7, 150, 300), geometric(7, 45, 300)],
  8: [geometric(8, 40, 120), geometric(8, 150, 300), geometric(8, 45, 300)],
  10: [geometric(10, 40, 120), geometric(10, 150, 300), geometric(10, 45, 300)],
} as const;
const fewDesigns = ['small', 'large', 'unbalanced'] as const;

/**
 * Two to ten studies, for what is quoted of few and for the hand-over to what is quoted of more. Baseline, odds
 * ratio and deviation are crossed, and the design runs so that each meets every pair of them; from five studies on one
 * in three of these points.
 */
export const fewStudiesComparisons: ComparisonPoint[] = ([2, 3, 4, 5, 6, 7, 8, 10] as const)
  .flatMap((studies) =>
    [0.02, 0.05, 0.15].flatMap((baseline, b) =>
      [1, 0.5, 0.25].flatMap((oddsRatio, o) =>
        [0, 0.25, 0.5].flatMap((deviation, d) => {
          if (studies > 4 && (b + o + d) % 3 !== 0) return [];
          const design = studies > 4 ? (b + 2 * o) % 3 : (b + o + d) % 3;
          const totals = fewStudies[studies][design]!;
          return [
            {
              id: `${studies} studies, ${fewDesigns[design]}, baseline ${100 * baseline} %, odds ratio ${oddsRatio}, deviation ${deviation}`,
              studies:
                design === 2
                  ? unbalanced(totals, 6, 0.5)
                  : balanced(totals.map((total) => total / 2).map(Math.round)),
              baseline,
              baselineDeviation: 0.7,
              risesWithAllocation: 0,
              oddsRatio,
              deviation,
              decides: false,
            },
          ];
        }),
      ),
    ),
  )
  .map((point, index) => ({ ...point, seed: 17000 + index }));
