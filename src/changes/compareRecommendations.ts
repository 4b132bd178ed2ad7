import { turnVerdict } from '../answers/pairToTell.ts';
import { answerId, questionName } from '../answers/question.ts';
import { isReported } from '../extraction/reported.ts';
import type { RecommendationRow, Review } from '../extraction/review.ts';
import type { RecommendationClaim } from '../extraction/sheets/recommendationsSheet.ts';
import { siteNames } from '../extraction/site.ts';
import type { AnswerTold } from './answerTold.ts';
import type {
  PremiseChange,
  PremiseSide,
  PremiseState,
  RecommendationChange,
  RecommendationStanding,
} from './changeReport.ts';
import { type Cuts, differenceCuts, type Reach, type Region, reachOfAnswer, within } from './reaches.ts';
import { compareCertainty } from './standing.ts';

/** The answers of one version. */
export interface VersionAnswers {
  readonly answers: ReadonlyMap<string, AnswerTold>;
}

const askedBy: Readonly<Record<RecommendationClaim, readonly Region[]>> = {
  fewer: ['below'],
  'not more': ['below', 'between'],
  'no difference that matters': ['between'],
  'not fewer': ['between', 'above'],
  more: ['above'],
  'at most': ['below'],
  'at least': ['above'],
};

/**
 * Does each recommendation still rest on what the evidence says?
 *
 * A premise is borne out when what the answer leaves open lies wholly where the recommendation needs it, contradicted when
 * it lies wholly elsewhere, and cannot be told otherwise; at very low certainty everything is left open. A recommendation needs all of its premises; one of them contradicted
 * contradicts it. Recommendations are those of the later version, or of the earlier one where the later makes none.
 */
export function compareRecommendations(
  review: Review,
  before: VersionAnswers,
  after: VersionAnswers,
): readonly RecommendationChange[] {
  const byName = new Map<string, RecommendationRow[]>();
  for (const row of review.recommendations) {
    byName.set(row.recommendation, [...(byName.get(row.recommendation) ?? []), row]);
  }
  return [...byName].map(([recommendation, rows]) => {
    const statement = rows.map((row) => row.statement).find(isReported) ?? recommendation;
    const premises = rows.map((row) => premiseOf(row, review, before, after));
    const standing = standingOfRecommendation(premises);
    return { recommendation, statement, premises, standing, sentence: sentenceOf(standing, premises) };
  });
}

function premiseOf(
  row: RecommendationRow,
  review: Review,
  before: VersionAnswers,
  after: VersionAnswers,
): PremiseChange {
  const { outcome, site, claim } = row;
  const comparator = isReported(row.comparator) ? row.comparator : undefined;
  const bound = isReported(row.per100) ? row.per100 : 0;
  const rules = review.protocol.outcomes.find((each) => each.id === outcome);
  const material = rules?.kind === 'events' ? rules.thresholdsPer100.materialDifference : 0;
  const cuts: Cuts = comparator === undefined ? { lower: bound, upper: bound } : differenceCuts(material);
  const asked = askedBy[claim];
  const side = (version: VersionAnswers): PremiseSide => {
    const answer = findAnswer(version, outcome, site, comparator);
    const reach = reachOfAnswer(answer, cuts);
    return { answer, reach, state: stateOf(reach, asked), certainty: answer?.certainty };
  };
  const one = siteNames[site].toLowerCase();
  const what = comparator === undefined ? '' : ` than after ${siteNames[comparator].toLowerCase()}`;
  const by = comparator === undefined ? `${bound} in 100` : `${material} or more in 100`;
  const claims: Readonly<Record<RecommendationClaim, string>> = {
    fewer: `fewer after ${one}${what}, by ${by}`,
    'not more': `not more after ${one}${what}, by ${by}`,
    'no difference that matters': `no difference of ${by} between ${one} and ${siteNames[comparator ?? site].toLowerCase()}`,
    'not fewer': `not fewer after ${one}${what}, by ${by}`,
    more: `more after ${one}${what}, by ${by}`,
    'at most': `at most ${by} after ${one}`,
    'at least': `more than ${by} after ${one}`,
  };
  return {
    name: rules?.name ?? outcome,
    claim: claims[claim],
    asked,
    cuts,
    before: side(before),
    after: side(after),
  };
}

function stateOf(reach: Reach, asked: readonly Region[]): PremiseState {
  if (reach === undefined) return 'cannot be told';
  if (within(reach, asked)) return 'borne out';
  return reach.some((region) => asked.includes(region)) ? 'cannot be told' : 'contradicted';
}

/** The answer for a site (against a comparator), turned round where the review tells the pair the other way about. */
function findAnswer(
  { answers }: VersionAnswers,
  outcome: string,
  site: RecommendationRow['site'],
  comparator: RecommendationRow['site'] | undefined,
): AnswerTold | undefined {
  if (comparator === undefined) return answers.get(answerId({ kind: 'rate', outcome, site }));
  const question = { kind: 'comparison', outcome, site, comparator } as const;
  const direct = answers.get(answerId(question));
  if (direct !== undefined) return direct;
  const mirror = answers.get(answerId({ ...question, site: comparator, comparator: site }));
  if (mirror === undefined) return undefined;
  const minus = (value: number | undefined): number | undefined =>
    value === undefined ? undefined : 0 - value;
  return {
    ...mirror,
    question,
    key: answerId(question),
    name: questionName(question),
    value: minus(mirror.value),
    lower: minus(mirror.upper),
    upper: minus(mirror.lower),
    verdict: turnVerdict(mirror.verdict),
  };
}

/** All premises borne out, one contradicted, or neither. */
function whole(premises: readonly PremiseChange[], when: 'before' | 'after'): PremiseState {
  const states = premises.map((premise) => premise[when].state);
  if (states.includes('contradicted')) return 'contradicted';
  return states.includes('cannot be told') ? 'cannot be told' : 'borne out';
}

function standingOfRecommendation(premises: readonly PremiseChange[]): RecommendationStanding {
  const [was, is] = [whole(premises, 'before'), whole(premises, 'after')];
  if (is === 'borne out') {
    if (was !== 'borne out') return 'newly borne out';
    const weaker = premises.some(
      ({ before, after }) =>
        compareCertainty(before.certainty, after.certainty) < 0 ||
        (before.reach !== undefined && after.reach !== undefined && after.reach.length > before.reach.length),
    );
    return weaker ? 'stands but weaker' : 'still stands';
  }
  if (is === 'contradicted')
    return was === 'borne out'
      ? 'no longer stands'
      : was === 'contradicted'
        ? 'still contradicted'
        : 'newly contradicted';
  return was === 'cannot be told' ? 'still cannot be told' : 'can no longer be told';
}

function sentenceOf(standing: RecommendationStanding, premises: readonly PremiseChange[]): string {
  const named = (state: PremiseState, when: 'before' | 'after' = 'after'): string =>
    premises
      .filter((premise) => premise[when].state === state)
      .map(({ name, claim }) => `${name.charAt(0).toLowerCase()}${name.slice(1)} ${claim}`)
      .join('; ');
  switch (standing) {
    case 'still stands':
      return `Still stands. The evidence still shows what it rests on: ${named('borne out')}.`;
    case 'newly borne out':
      return `Now borne out: ${named('borne out')}. In the earlier version that was ${whole(premises, 'before') === 'contradicted' ? 'contradicted' : 'not to be told'}.`;
    case 'stands but weaker':
      return `Stands, but on weaker evidence than before: ${named('borne out')}.`;
    case 'no longer stands':
    case 'newly contradicted':
    case 'still contradicted':
      return `${standing === 'still contradicted' ? 'Still contradicted' : standing === 'newly contradicted' ? 'Now contradicted' : 'No longer stands'}. The evidence contradicts what it rests on: ${named('contradicted')}.`;
    default:
      return `${standing === 'can no longer be told' ? 'Can no longer be told' : 'Still cannot be told'}. The evidence leaves open what it rests on: ${named('cannot be told')}.`;
  }
}
