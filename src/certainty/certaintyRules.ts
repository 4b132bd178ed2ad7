import { checkChoice, checkOptionNames, show } from '../pooling/optionChecks.ts';

/** Where a body of non-randomised studies starts. */
export const nonRandomisedStarts = ['low', 'high-with-robins-i'] as const;
export type NonRandomisedStart = (typeof nonRandomisedStarts)[number];

/** The rules by which domains propose. All of them are ours where the standard leaves the number open, and adjustable. */
export interface CertaintyRules {
  /**
   * `low`, or `high-with-robins-i`: high where every study with weight was judged by ROBINS-I, falling by its
   * confounding and other domains (Schünemann 2019, J Clin Epidemiol 111:105).
   */
  readonly nonRandomisedStart: NonRandomisedStart;
  /** Risk of bias: two levels where more than this share of the weight is of high concern. Default 0.5. */
  readonly highShareForTwo: number;
  /** One level where more than this share is of high concern. Default 0.25. */
  readonly highShareForOne: number;
  /** One level where more than this share is not of low concern (not judged counts so). Default 0.5. */
  readonly concernShareForOne: number;
  /** Inconsistency: share of pairs of study intervals that do not overlap, from which two levels are possible. Default 0.1. */
  readonly apartShare: number;
  /** Indirectness: share of the weight from which a difference found in the data counts a level. Default 1/3. */
  readonly indirectShare: number;
  /** Imprecision: share of the optimal information size below which its lack counts two levels. Default 0.3. */
  readonly fewFraction: number;
  /** Publication bias: p of a small-study test below which it counts. Default 0.1. */
  readonly smallStudyP: number;
}

export type CertaintyRuleOptions = Partial<CertaintyRules>;

const defaults: CertaintyRules = {
  nonRandomisedStart: 'low',
  highShareForTwo: 0.5,
  highShareForOne: 0.25,
  concernShareForOne: 0.5,
  apartShare: 0.1,
  indirectShare: 1 / 3,
  fewFraction: 0.3,
  smallStudyP: 0.1,
};

/**
 * Fills in the defaults.
 *
 * @throws RangeError for an unknown rule or a share outside 0 to 1
 */
export function resolveCertaintyRules(options: CertaintyRuleOptions = {}): CertaintyRules {
  checkOptionNames(options, Object.keys(defaults));
  const rules = { ...defaults, ...options };
  checkChoice('nonRandomisedStart', rules.nonRandomisedStart, nonRandomisedStarts);
  for (const [name, value] of Object.entries(rules)) {
    if (name !== 'nonRandomisedStart' && !(typeof value === 'number' && value >= 0 && value <= 1))
      throw new RangeError(`${name} must be from 0 to 1, received ${show(value)}`);
  }
  return rules;
}
