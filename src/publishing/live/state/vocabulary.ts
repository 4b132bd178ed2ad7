import { sameDefinition } from '../../../extraction/definitions.ts';
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
    if (word !== '' && !all.some((each) => sameDefinition(each, word))) all.push(word);
  return all;
}

/** The ways an outcome can have been noticed, told from the words for the assessor. */
const kinds = [
  { name: 'Only what was examined', pattern: /examin|clinician|surgeon/i },
  { name: 'Only what patients said', pattern: /patient|asked|question|phone|telephone/i },
  { name: 'Only what records say', pattern: /chart|record|registr/i },
  { name: 'Only what photographs show', pattern: /photo|image|video/i },
] as const;

/** A one-click choice of who looked, with the definitions it needs to find anything. */
export interface AssessorShortcut {
  readonly name: string;
  readonly assessors: readonly string[];
  readonly definitions: readonly string[];
}

/**
 * One-click choices of who looked: each names the assessors of one kind, where rows of the sheet have that kind and
 * others.
 *
 * Patients notice by other words than examiners do: where none of a kind's rows uses a definition the protocol accepts,
 * the words of those rows are accepted with it.
 */
export function assessorShortcuts(review: Choosable, outcome: EventsOutcome): readonly AssessorShortcut[] {
  const { assessors, definitions } = vocabularyOf(review, outcome);
  const rows = review.events.filter((row) => row.outcome === outcome.id);
  return kinds.flatMap(({ name, pattern }): readonly AssessorShortcut[] => {
    const own = assessors.filter((word) => pattern.test(word));
    const found = rows.filter((row) => has(own, row.assessor));
    if (found.length === 0 || own.length === assessors.length) return [];
    const accepted = found.some((row) => has(outcome.definitions, row.definition));
    const theirs = definitions.filter((word) => found.some((row) => has([word], row.definition)));
    return [
      {
        name,
        assessors: own,
        definitions: accepted ? outcome.definitions : [...outcome.definitions, ...theirs],
      },
    ];
  });
}

const has = (words: readonly string[], word: string): boolean =>
  words.some((each) => sameDefinition(each, word));
