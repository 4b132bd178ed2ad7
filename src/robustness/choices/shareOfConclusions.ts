import type { ChoiceAnalysis, ChoicesRun } from './runChoices.ts';

/** What an analysis may conclude; exactly one of them holds. */
export interface ConclusionShare {
  readonly conclusion: string;
  readonly analyses: number;
  /** Of all analyses, 0 to 1. */
  readonly share: number;
  /** The same where analyses of the same arms by the same way to pool count once. */
  readonly shareOfDistinct: number;
  /** Whether the protocol's own analysis concludes it. */
  readonly protocol: boolean;
}

export interface ConclusionOptions {
  /**
   * For a rate: the limit to set it against, 0 to 1. Without one, answers are set against the protocol's own.
   */
  readonly limit?: number;
  /** Difference that matters, 0 to 1; default the outcome's own from the protocol. */
  readonly materialDifference?: number;
}

/** A list of conclusions and the one each analysis reaches, by its place in the list. */
export interface ConclusionsReached {
  readonly conclusions: readonly string[];
  readonly reached: Uint8Array;
}

/**
 * What does each analysis conclude?
 *
 * For one site's rate less another's: the rate lower (or higher) by at least the difference that matters when the whole
 * interval says so, lower (or higher) when the interval excludes none, else not told apart. Both rates are pooled from
 * single arms, so that this is said of rates, and nothing of what a site does: a comparison has an answer of its own. For one rate against a limit: below or
 * above it by the whole interval, else cannot tell. For one rate without a limit: the estimate agrees with the
 * protocol's own to within the difference that matters, or is materially lower or higher.
 *
 * @throws RangeError for a limit or a difference out of bounds
 */
export function conclusionsOf(run: ChoicesRun, options: ConclusionOptions = {}): ConclusionsReached {
  const material = options.materialDifference ?? run.outcome.thresholdsPer100.materialDifference / 100;
  if (!(typeof material === 'number' && material > 0 && material <= 1))
    throw new RangeError(`materialDifference must be above 0 and at most 1, received ${material}`);
  const { limit } = options;
  if (limit !== undefined && !(limit > 0 && limit < 1))
    throw new RangeError(`limit must be above 0 and below 1, received ${limit}`);
  if (limit !== undefined && run.target.minus !== undefined)
    throw new RangeError('limit is for the rate at one site, received a difference between two');
  const per100 = Number((100 * material).toPrecision(6));
  const own = run.analyses[0]?.value;
  const { conclusions, of } =
    run.target.minus !== undefined
      ? differenceConclusions(material, per100)
      : limit !== undefined
        ? limitConclusions(limit)
        : agreementConclusions(own, material, per100);
  const none = conclusions.length;
  const reached = Uint8Array.from(run.analyses, (analysis) =>
    analysis.value === undefined ? none : of(analysis),
  );
  return { conclusions: [...conclusions, 'no answer: nothing to pool'], reached };
}

interface Rule {
  readonly conclusions: readonly string[];
  readonly of: (analysis: ChoiceAnalysis) => number;
}

function differenceConclusions(material: number, per100: number): Rule {
  return {
    conclusions: [
      `rate lower by at least ${per100} in 100`,
      'rate lower',
      'rates not told apart',
      'rate higher',
      `rate higher by at least ${per100} in 100`,
    ],
    of: ({ lower, upper }) =>
      upper! <= -material ? 0 : upper! < 0 ? 1 : lower! >= material ? 4 : lower! > 0 ? 3 : 2,
  };
}

function limitConclusions(limit: number): Rule {
  const words = `${Number((100 * limit).toPrecision(6))} in 100`;
  return {
    conclusions: [`below ${words}`, 'cannot tell', `above ${words}`],
    of: ({ lower, upper }) => (upper! < limit ? 0 : lower! > limit ? 2 : 1),
  };
}

function agreementConclusions(own: number | undefined, material: number, per100: number): Rule {
  if (own === undefined)
    return { conclusions: ["a rate, where the protocol's analysis has none"], of: () => 0 };
  return {
    conclusions: [
      `lower than the protocol's by ${per100} in 100 or more`,
      `within ${per100} in 100 of the protocol's`,
      `higher than the protocol's by ${per100} in 100 or more`,
    ],
    of: ({ value }) => (value! <= own - material ? 0 : value! >= own + material ? 2 : 1),
  };
}

/**
 * What share of the analyses supports each conclusion?
 *
 * A share describes the grid; it is no probability that the conclusion is true.
 *
 * @returns every conclusion in order, those nobody reaches with a share of 0; shares add up to 1
 * @throws RangeError as {@link conclusionsOf}
 *
 * @example
 * shareOfConclusions(run).find(({ conclusion }) => conclusion === 'cannot tell')?.share
 */
export function shareOfConclusions(
  run: ChoicesRun,
  options: ConclusionOptions = {},
): readonly ConclusionShare[] {
  const { conclusions, reached } = conclusionsOf(run, options);
  const counts = new Array<number>(conclusions.length).fill(0);
  const distinct = new Array<number>(conclusions.length).fill(0);
  const sizes = run.dimensions.slice(-4).map(({ options: names }) => names.length);
  const ways = sizes.reduce((product, size) => product * size, 1);
  const seen = new Uint8Array(ways * run.distinctSelections);
  let different = 0;
  for (const [index, { choices }] of run.analyses.entries()) {
    const conclusion = reached[index]!;
    counts[conclusion]! += 1;
    let way = 0;
    for (let at = 0; at < 4; at++) way = way * sizes[at]! + choices[choices.length - 4 + at]!;
    const place = run.selectionOf[index]! * ways + way;
    if (seen[place] === 1) continue;
    seen[place] = 1;
    different += 1;
    distinct[conclusion]! += 1;
  }
  const all = run.analyses.length;
  return conclusions.map((conclusion, index) => ({
    conclusion,
    analyses: counts[index]!,
    share: all === 0 ? 0 : counts[index]! / all,
    shareOfDistinct: different === 0 ? 0 : distinct[index]! / different,
    protocol: reached[0] === index && all > 0,
  }));
}
