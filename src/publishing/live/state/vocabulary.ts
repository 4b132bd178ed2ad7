import type { EventsOutcome } from '../../../extraction/protocol.ts';
import type { Review } from '../../../extraction/review.ts';

/** Words the sheet uses for one outcome, the protocol's own first. */
export interface Vocabulary {
  readonly definitions: readonly string[];
  readonly assessors: readonly string[];
}

/** What a review holds that a link or a control may name. */
export type Choosable = Pick<Review, 'protocol' | 'events' | 'studies'>;

/** Definitions and assessors that may be chosen for an outcome: the protocol's, then those found in the sheet. */
export function vocabularyOf(review: Choosable, outcome: EventsOutcome): Vocabulary {
  const rows = review.events.filter((row) => row.outcome === outcome.id);
  return {
    definitions: withFound(
      outcome.definitions,
      rows.map((row) => row.definition),
    ),
    assessors: withFound(
      outcome.assessors,
      rows.map((row) => row.assessor),
    ),
  };
}

function withFound(accepted: readonly string[], found: readonly string[]): readonly string[] {
  const all = [...accepted];
  for (const word of found)
    if (word !== '' && !all.some((each) => each.toLowerCase() === word.toLowerCase())) all.push(word);
  return all;
}

/** The ways an outcome can have been noticed, told from the words for the assessor. */
const kinds = [
  { name: 'Only examined', pattern: /examin|clinician|surgeon/i },
  { name: 'Only asked', pattern: /patient|asked|question|phone|telephone/i },
  { name: 'Only from records', pattern: /chart|record|registr/i },
  { name: 'Only from photographs', pattern: /photo|image|video/i },
] as const;

/** One-click choices of who looked: each names the assessors of one kind, where the sheet has more kinds than one. */
export function assessorShortcuts(
  assessors: readonly string[],
): readonly { readonly name: string; readonly assessors: readonly string[] }[] {
  const found = kinds
    .map(({ name, pattern }) => ({ name, assessors: assessors.filter((word) => pattern.test(word)) }))
    .filter((shortcut) => shortcut.assessors.length > 0 && shortcut.assessors.length < assessors.length);
  return found;
}
