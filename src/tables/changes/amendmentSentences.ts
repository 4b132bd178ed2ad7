import { ruleChanges } from '../../extraction/changes/ruleChanges.ts';
import { dateWords } from '../manuscript/words.ts';
import { ruleInWords } from './ruleInWords.ts';

/** One version of a protocol, as it stands in its file. */
export interface ProtocolVersion {
  readonly text: string;
  /** Day of its last search, which dates the version; undefined where the file does not give one. */
  readonly lastSearch: string | undefined;
}

/**
 * Which of its rules did a protocol change since the version before it?
 *
 * One dated sentence a changed rule, in the words of {@link ruleInWords}. The date is that of the two versions' last
 * searches: the sheets hold no other. Wordings, and the date of the search, are no rules.
 *
 * @example
 * amendmentSentences(lastYear, now)
 * // ['Amended between the last search of 30 June 2025 and that of 30 June 2026: groove pain, earliest month counted: 12 (before: 24).']
 */
export function amendmentSentences(before: ProtocolVersion, after: ProtocolVersion): readonly string[] {
  const [from, to] = [before, after].map(({ lastSearch }) => lastSearch && dateWords(lastSearch));
  const when =
    from === undefined || to === undefined
      ? 'Amended since the version before this one'
      : from === to
        ? `Amended with the last search of ${to} unchanged`
        : `Amended between the last search of ${from} and that of ${to}`;
  return ruleChanges(before.text, after.text)
    .filter(({ kind }) => kind === 'rule')
    .map((change) => `${when}: ${ruleInWords(change)}.`);
}
