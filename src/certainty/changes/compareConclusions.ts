import type { CertaintyRating } from '../certaintyRating.ts';
import type { Answer } from './answer.ts';
import type { AnswerChange, ConclusionChange, ConclusionSide } from './changeReport.ts';
import { certaintyKey } from './compareCertainty.ts';
import { conclusionClause, differenceCuts, shortConclusion } from './conclusionWords.ts';
import type { ChangeCause } from './mixReviews.ts';
import { type Cuts, type Reach, reachOf, sameReach } from './regions.ts';
import { compareCertainty, type Standing, standingOf, standings } from './standing.ts';

/** Levels of certainty by question, for one version. */
export type CertaintyByQuestion = ReadonlyMap<string, CertaintyRating>;

export const certaintyByQuestion = (ratings: readonly CertaintyRating[]): CertaintyByQuestion =>
  new Map(ratings.map((rating) => [certaintyKey(rating.question), rating]));

/** The parts of the line an answer's interval reaches. */
export function reachOfAnswer(answer: Answer | undefined, cuts: Cuts): Reach {
  const { lower, upper } = answer ?? {};
  return lower === undefined || upper === undefined ? undefined : reachOf({ lower, upper }, cuts);
}

/**
 * What became of every conclusion about two sites?
 *
 * The conclusion is where the interval of the difference lies against the protocol's smallest difference that matters,
 * told as {@link standingOf} tells it. Of a conclusion that did not stay, `sufficient` names the causes that alone would
 * have led to the later one.
 *
 * @param answerUnder an answer when only these causes have been at work
 */
export function compareConclusions(
  answers: readonly AnswerChange[],
  certainty: { readonly before: CertaintyByQuestion; readonly after: CertaintyByQuestion },
  causes: readonly ChangeCause[],
  answerUnder: (key: string, applied: ReadonlySet<ChangeCause>) => Answer | undefined,
): readonly ConclusionChange[] {
  const conclusions = answers
    .filter(({ before, after }) => (after ?? before)?.question.kind === 'difference')
    .filter(({ before, after }) => (before?.studies ?? 0) + (after?.studies ?? 0) > 0)
    .map((change): ConclusionChange => {
      const { key, before, after } = change;
      const answer = (after ?? before) as Answer;
      // Each version is read against its own threshold, which is one of its rules.
      const cutsBefore = differenceCuts((before ?? answer).material);
      const cuts = differenceCuts(answer.material);
      const side = (own: Answer | undefined, ownCuts: Cuts, ratings: CertaintyByQuestion): ConclusionSide => {
        const reach = reachOfAnswer(own, ownCuts);
        return {
          reach,
          short: shortConclusion(reach, ownCuts),
          clause: conclusionClause(own ?? answer, reach),
          certainty: ratings.get(key)?.level,
        };
      };
      const sides = {
        before: side(before, cutsBefore, certainty.before),
        after: side(after, cuts, certainty.after),
      };
      const standing = standingOf(sides.before, sides.after, cuts);
      const moved = !sameReach(sides.before.reach, sides.after.reach);
      const sufficient = !moved
        ? []
        : causes.filter((cause) => {
            if (cause === 'software') return false;
            const alone = answerUnder(key, new Set([cause]));
            const aloneCuts = differenceCuts((alone ?? answer).material);
            return sameReach(reachOfAnswer(alone, aloneCuts), sides.after.reach);
          });
      const sentence = sentenceOf(answer, sides, standing, moved, sufficient, causes);
      return { key, answer, cuts, ...sides, standing, sufficient, sentence };
    });
  const rank = ({ standing }: ConclusionChange): number => standings.indexOf(standing);
  return conclusions
    .map((each, at) => ({ each, at }))
    .sort((a, b) => rank(a.each) - rank(b.each) || a.at - b.at)
    .map(({ each }) => each);
}

/** `studies added, rules` as words in a sentence. */
const listed = (items: readonly string[], joint: string): string =>
  items.length <= 1 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} ${joint} ${items.at(-1)}`;

function sentenceOf(
  answer: Answer,
  { before, after }: { readonly before: ConclusionSide; readonly after: ConclusionSide },
  standing: Standing,
  moved: boolean,
  sufficient: readonly ChangeCause[],
  causes: readonly ChangeCause[],
): string {
  const outcome = answer.outcomeName;
  const sure = compareCertainty(before.certainty, after.certainty);
  const certainty = sure === 0 ? '' : ` Certainty went from ${before.certainty} to ${after.certainty}.`;
  const why = !moved
    ? ''
    : sufficient.length > 0
      ? ` ${sufficient.length > 1 ? 'Each of these alone' : 'This alone'} leads there: ${listed(sufficient, 'and')}.`
      : causes.length > 1
        ? ` No one cause alone leads there; it takes ${listed(causes, 'and')} together.`
        : '';
  const texts: Readonly<Record<Standing, string>> = {
    changed: `Before, ${before.clause}; now ${after.clause}.`,
    'can no longer be told': `Before, ${before.clause}; now that can no longer be told.`,
    'newly answered': `Now ${after.clause}; before, that could not be told.`,
    'stands but weaker': moved
      ? `Weaker than before: ${after.clause}; before, ${before.clause}.`
      : `Still, ${after.clause}.`,
    'stands more firmly': moved
      ? `Firmer than before: ${after.clause}; before, ${before.clause}.`
      : `Still, ${after.clause}.`,
    'still stands': `Still, ${after.clause}.`,
    'still cannot be told': `As before, ${after.clause}.`,
  };
  return `${outcome}: ${texts[standing]}${why}${certainty}`;
}
