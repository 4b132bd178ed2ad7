import type { ReviewChanges } from '../extraction/changes/reviewChanges.ts';
import { counted, listed } from '../wording/words.ts';
import type { ConclusionChange, RecommendationChange, RecommendationStanding } from './changeReport.ts';
import type { Standing } from './standing.ts';

/** How many of each, in the order of a list. */
function tally<Kind extends string>(
  kinds: readonly Kind[],
  order: readonly Kind[],
): readonly [Kind, number][] {
  return order
    .map((kind): [Kind, number] => [kind, kinds.filter((each) => each === kind).length])
    .filter(([, count]) => count > 0);
}

/** What is said of some recommendations; the first of the list speaks of `recommendations`, the others go without. */
const recommendationWords: Readonly<Record<RecommendationStanding, (count: string, one: boolean) => string>> =
  {
    'still stands': (count, one) => `${count} still ${one ? 'stands' : 'stand'}`,
    'stands but weaker': (count, one) => `${count} ${one ? 'stands' : 'stand'} on weaker evidence`,
    'newly borne out': (count, one) => `${count} ${one ? 'is' : 'are'} now borne out`,
    'no longer stands': (count, one) => `${count} no longer ${one ? 'stands' : 'stand'}`,
    'can no longer be told': (count) => `for ${count} the evidence can no longer tell`,
    'newly contradicted': (count, one) => `${count} ${one ? 'is' : 'are'} now contradicted`,
    'still contradicted': (count, one) => `${count} ${one ? 'is' : 'are'} contradicted as before`,
    'still cannot be told': (count) => `for ${count} the evidence cannot tell, as before`,
  };

const standingStill: readonly RecommendationStanding[] = [
  'still stands',
  'stands but weaker',
  'newly borne out',
];

function recommendationsSentence(recommendations: readonly RecommendationChange[]): string {
  const total = recommendations.length;
  const order = Object.keys(recommendationWords) as RecommendationStanding[];
  const tallied = tally(
    recommendations.map(({ standing }) => standing),
    order,
  );
  const parts = tallied.map(([kind, count], at) => {
    const what = at > 0 ? String(count) : `${count} of ${counted(total, 'recommendation')}`;
    return recommendationWords[kind](what, count === 1);
  });
  const upheld = recommendations.filter(({ standing }) => standingStill.includes(standing)).length;
  const answer = upheld === total ? 'Yes' : upheld === 0 ? 'No' : 'Not all';
  return `${answer}: ${listed(parts)}.`;
}

const conclusionWords: Readonly<Record<Standing, string>> = {
  changed: 'changed',
  'can no longer be told': 'can no longer be told',
  'newly answered': 'newly answered',
  'stands but weaker': 'weaker',
  'stands more firmly': 'firmer',
  'still stands': 'as before',
  'still cannot be told': 'still not to be told',
};

/** The answer at the very top: does what was recommended still stand, what flipped, what came in. */
export function headlineOf(
  changes: ReviewChanges,
  recommendations: readonly RecommendationChange[],
  conclusions: readonly ConclusionChange[],
): readonly string[] {
  if (changes.nothingChanged)
    return [
      'Nothing changed: the two versions hold the same data and the same rules, so every number and every conclusion is the same.',
    ];
  const sentences: string[] = [];
  if (recommendations.length > 0) {
    sentences.push(recommendationsSentence(recommendations));
  } else {
    sentences.push('The review states no recommendations, so this report answers for its conclusions.');
  }
  const order = Object.keys(conclusionWords) as Standing[];
  const parts = tally(
    conclusions.map(({ standing }) => standing),
    order,
  ).map(([kind, count]) => `${count} ${conclusionWords[kind]}`);
  sentences.push(
    conclusions.length === 0
      ? 'No study compares two sites, so there is no conclusion about a difference.'
      : `Of ${counted(conclusions.length, 'conclusion')} about one site against another: ${listed(parts)}.`,
  );
  const { studiesAdded, studiesRemoved, cells, rules } = changes;
  const ofStudies = cells.filter(({ study }) => study !== undefined).length;
  const work = [
    ...(studiesAdded.length > 0 ? [`${counted(studiesAdded.length, 'report')} added`] : []),
    ...(studiesRemoved.length > 0 ? [`${counted(studiesRemoved.length, 'report')} removed`] : []),
    ...(ofStudies > 0 ? [`${counted(ofStudies, 'cell')} changed`] : []),
    ...(rules.some(({ kind }) => kind === 'rule')
      ? [`${counted(rules.filter(({ kind }) => kind === 'rule').length, 'rule')} changed`]
      : []),
  ];
  if (work.length > 0) sentences.push(`Since the earlier version: ${listed(work)}.`);
  return sentences;
}
