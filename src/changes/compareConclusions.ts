import { bodyName } from '../certainty/bodyInWords.ts';
import { capital, listed } from '../wording/words.ts';
import type { AnswerTold } from './answerTold.ts';
import type { AnswerChange, ConclusionChange, ConclusionSide } from './changeReport.ts';
import { conclusionClause, cutsOf, shortConclusion } from './conclusionWords.ts';
import type { ChangeCause } from './mixReviews.ts';
import { type Cuts, reachOfAnswer, sameReach } from './reaches.ts';
import { compareCertainty, type Standing, standingOf, standings } from './standing.ts';

/**
 * What became of every conclusion about two sites?
 *
 * The conclusion is the answer's verdict: where the interval of the difference lies against the protocol's smallest
 * difference that matters, and nothing at very low certainty,
 * told as {@link standingOf} tells it. Of a conclusion that did not stay, `sufficient` names the causes that alone would
 * have led to the later one.
 *
 * @param answerUnder an answer when only these causes have been at work
 */
export function compareConclusions(
  answers: readonly AnswerChange[],
  causes: readonly ChangeCause[],
  answerUnder: (key: string, applied: ReadonlySet<ChangeCause>) => AnswerTold | undefined,
): readonly ConclusionChange[] {
  const conclusions = answers
    .filter(({ before, after }) => (after ?? before)?.question.kind === 'comparison')
    .filter(({ before, after }) => (before?.studies ?? 0) + (after?.studies ?? 0) > 0)
    .map((change): ConclusionChange => {
      const { key, before, after } = change;
      const answer = (after ?? before) as AnswerTold;
      // Each version is read against its own threshold, which is one of its rules.
      const cutsBefore = cutsOf(before ?? answer);
      const cuts = cutsOf(answer);
      const side = (own: AnswerTold | undefined, ownCuts: Cuts): ConclusionSide => {
        const reach = reachOfAnswer(own, ownCuts);
        return {
          reach,
          short: shortConclusion(reach, ownCuts),
          clause: conclusionClause(own ?? answer, reach),
          certainty: own?.certainty,
          body: own?.body,
        };
      };
      const sides = {
        before: side(before, cutsBefore),
        after: side(after, cuts),
      };
      const standing = standingOf(sides.before, sides.after, cuts);
      // A first number that tells nothing moves no conclusion.
      const moved = standing !== 'still cannot be told' && !sameReach(sides.before.reach, sides.after.reach);
      const sufficient = !moved
        ? []
        : causes.filter((cause) => {
            if (cause === 'software') return false;
            const alone = answerUnder(key, new Set([cause]));
            const aloneCuts = cutsOf(alone ?? answer);
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

/** Causes as the subject of a sentence. */
export const causeWords: Readonly<Record<ChangeCause, string>> = {
  'studies added': 'the added studies',
  'studies removed': 'the removed studies',
  'cells corrected': 'the corrected cells',
  rules: 'the changed rules',
  software: 'the changed software',
};

function sentenceOf(
  answer: AnswerTold,
  { before, after }: { readonly before: ConclusionSide; readonly after: ConclusionSide },
  standing: Standing,
  moved: boolean,
  sufficient: readonly ChangeCause[],
  causes: readonly ChangeCause[],
): string {
  const words = (items: readonly ChangeCause[]): string[] => items.map((cause) => causeWords[cause]);
  const sure = compareCertainty(before.certainty, after.certainty);
  const certainty = sure === 0 ? '' : ` Certainty went from ${before.certainty} to ${after.certainty}.`;
  const [only, ...more] = sufficient;
  const why = !moved
    ? ''
    : only === undefined
      ? causes.length > 1
        ? ` No cause alone leads there; it takes several of these together: ${listed(words(causes), 'and')}.`
        : ''
      : more.length === 0
        ? ` ${capital(causeWords[only])} alone lead there.`
        : ` Each of these alone leads there: ${listed(words(sufficient), 'and')}.`;
  const firmer = moved ? `, which leaves less open than before (${before.clause})` : '';
  const weaker = moved ? `, which leaves more open than before (${before.clause})` : '';
  const texts: Readonly<Record<Standing, string>> = {
    changed: `before, ${before.clause}; now, ${after.clause}`,
    'can no longer be told': `before, ${before.clause}; now that cannot be told`,
    'newly answered': `now, ${after.clause}; before, that could not be told`,
    'stands but weaker': `${after.clause}${weaker}`,
    'stands more firmly': `${after.clause}${firmer}`,
    'still stands': `as before, ${after.clause}`,
    'still cannot be told': `as before, ${after.clause}`,
  };
  const body =
    before.body === undefined || after.body === undefined || before.body === after.body
      ? ''
      : ` Another body answers now: ${bodyName(after.body)}, before ${bodyName(before.body)}.`;
  return `${answer.outcomeName}: ${texts[standing]}.${why}${body}${certainty}`;
}
