import { siteNames } from '../../extraction/site.ts';
import { type ChoiceInfluence, rankChoices } from './rankChoices.ts';
import type { ChoiceAnalysis, ChoicesRun, ChoiceTarget } from './runChoices.ts';
import { type ConclusionOptions, type ConclusionShare, shareOfConclusions } from './shareOfConclusions.ts';

/** A run in few numbers, small enough to keep beside a page. */
export interface ChoicesSummary {
  readonly kind: 'choices-summary';
  readonly outcome: string;
  readonly target: ChoiceTarget;
  /** What is asked, in words. */
  readonly question: string;
  readonly level: number;
  readonly dimensions: ChoicesRun['dimensions'];
  readonly analyses: number;
  readonly answered: number;
  readonly distinctSelections: number;
  readonly notRun: ChoicesRun['notRun'];
  readonly protocol: ChoiceAnalysis;
  /** Lowest, middle and highest answer, and how far the limits reach; undefined where nothing has an answer. */
  readonly answers:
    | {
        readonly lowest: number;
        readonly middle: number;
        readonly highest: number;
        readonly lowestLimit: number;
        readonly highestLimit: number;
      }
    | undefined;
  readonly shares: readonly ConclusionShare[];
  /** Most moving first. */
  readonly influence: readonly ChoiceInfluence[];
  readonly methodsSentence: string;
}

/**
 * What do all the analyses say together?
 *
 * @throws RangeError as {@link shareOfConclusions}
 * @example
 * summariseChoices(runChoices(review, 'groove-pain', { site: 'subpectoral' })).answers?.middle
 */
export function summariseChoices(run: ChoicesRun, options: ConclusionOptions = {}): ChoicesSummary {
  const { target } = run;
  const values = run.analyses
    .flatMap(({ value }) => (value === undefined ? [] : [value]))
    .sort((a, b) => a - b);
  let lowestLimit = Number.POSITIVE_INFINITY;
  let highestLimit = Number.NEGATIVE_INFINITY;
  for (const { lower, upper } of run.analyses) {
    if (lower !== undefined && lower < lowestLimit) lowestLimit = lower;
    if (upper !== undefined && upper > highestLimit) highestLimit = upper;
  }
  const several = run.dimensions.filter(({ options: names }) => names.length > 1);
  return {
    kind: 'choices-summary',
    outcome: run.outcome.name,
    target,
    question:
      target.minus === undefined
        ? `${run.outcome.name}, ${siteNames[target.site].toLowerCase()}`
        : `${run.outcome.name}, ${siteNames[target.site].toLowerCase()} less ${siteNames[target.minus].toLowerCase()}`,
    level: run.level,
    dimensions: run.dimensions,
    analyses: run.analyses.length,
    answered: values.length,
    distinctSelections: run.distinctSelections,
    notRun: run.notRun,
    protocol: run.analyses[0]!,
    answers:
      values.length === 0
        ? undefined
        : {
            lowest: values[0]!,
            middle: values[Math.floor(values.length / 2)]!,
            highest: values.at(-1)!,
            lowestLimit,
            highestLimit,
          },
    shares: shareOfConclusions(run, options),
    influence: rankChoices(run, options),
    methodsSentence: `Every combination of ${several.map(({ name, options: names }) => `${name.toLowerCase()} (${names.length})`).join(', ')} was analysed: ${run.analyses.length} analyses of ${run.distinctSelections} different sets of arms${target.minus === undefined ? '' : ', differences with square-and-add limits from the interval of each site'}.`,
  };
}
