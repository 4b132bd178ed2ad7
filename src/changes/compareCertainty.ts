import { answerId } from '../answers/question.ts';
import type { CertaintyQuestion } from '../certainty/certaintyQuestion.ts';
import { type CertaintyRating, certaintyDomains } from '../certainty/certaintyRating.ts';
import type { Review } from '../extraction/review.ts';
import { siteNames } from '../extraction/site.ts';
import type { CertaintyChange, DomainChange } from './changeReport.ts';

/** One text for a question about certainty: the id of its answer. */
export const certaintyKey = (question: CertaintyQuestion): string => answerId(question);

function nameOf(question: CertaintyQuestion, review: Review): string {
  const outcome =
    review.protocol.outcomes.find(({ id }) => id === question.outcome)?.name ?? question.outcome;
  const against = question.kind === 'rate' ? '' : ` against ${siteNames[question.comparator].toLowerCase()}`;
  return `${outcome}, ${siteNames[question.site].toLowerCase()}${against}`;
}

/**
 * Whose certainty moved, and in which domain?
 *
 * Ratings are paired by their question; one that only a version has counts as moved. Domains are compared by the levels
 * that count: a person's decision, or the proposal until there is one.
 */
export function compareCertaintyRatings(
  before: readonly CertaintyRating[],
  after: readonly CertaintyRating[],
  review: Review,
): readonly CertaintyChange[] {
  const earlier = new Map(before.map((rating) => [certaintyKey(rating.question), rating]));
  const later = new Map(after.map((rating) => [certaintyKey(rating.question), rating]));
  return [...new Set([...later.keys(), ...earlier.keys()])].flatMap((key) => {
    const [old, now] = [earlier.get(key), later.get(key)];
    const { question } = (now ?? old)!;
    const domains = certaintyDomains.flatMap((domain): readonly DomainChange[] => {
      const [one, other] = [old, now].map((rating) => rating?.domains.find((each) => each.domain === domain));
      const [was, is] = [one?.levels ?? 0, other?.levels ?? 0];
      if (was === is || old === undefined || now === undefined) return [];
      const why = other?.reason ?? (other?.decisive ?? other?.evidence.slice(0, 2))?.join(' ') ?? '';
      return [{ domain, before: was, after: is, why }];
    });
    if (old?.level === now?.level && domains.length === 0) return [];
    return [{ question, name: nameOf(question, review), before: old?.level, after: now?.level, domains }];
  });
}
