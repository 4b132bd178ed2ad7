import { escapeMarkdown } from '../tables/escapeMarkdown.ts';

/** Markdown made from a template: the words are the author's, the values are computed and escaped. */
export interface Prose {
  readonly kind: 'prose';
  readonly markdown: string;
}

/**
 * A reading with its numbers interpolated, so that no number in prose is ever typed.
 *
 * @param values text from results (escaped, so that a study's name stays a name), whole numbers, or
 *   another piece of prose (kept as it is). Decimals must be rounded to text first, by the caller, who
 *   knows how many digits they deserve.
 * @throws when a value is undefined or a number that is not whole
 * @example
 * prose`About ${perHundred(rate)} in 100 shoulders, from ${studies} studies.`
 */
export function prose(words: TemplateStringsArray, ...values: readonly (string | number | Prose)[]): Prose {
  const pieces = words.map((text, at) => {
    if (at === values.length) return text;
    return text + valueText(values[at]);
  });
  return { kind: 'prose', markdown: dedent(pieces.join('')) };
}

/** Several pieces of prose as one, each its own paragraph or joined into one. */
export function joinProse(pieces: readonly Prose[], between: 'paragraph' | 'space' = 'space'): Prose {
  const markdown = pieces
    .map((piece) => piece.markdown)
    .filter((text) => text !== '')
    .join(between === 'paragraph' ? '\n\n' : ' ');
  return { kind: 'prose', markdown };
}

/** Sentences as a list, each escaped; a single one is a paragraph. */
export function bulletList(sentences: readonly string[]): Prose {
  const [only, second] = sentences;
  if (only !== undefined && second === undefined) return { kind: 'prose', markdown: escapeMarkdown(only) };
  return { kind: 'prose', markdown: sentences.map((text) => `- ${escapeMarkdown(text)}`).join('\n') };
}

function valueText(value: string | number | Prose | undefined): string {
  if (typeof value === 'string') return escapeMarkdown(value);
  if (typeof value === 'object') return value.markdown;
  if (typeof value === 'number' && Number.isInteger(value)) return wholeNumber(value);
  throw new RangeError(`prose: a value must be text, a whole number or prose, not ${value}`);
}

/** Whole numbers with a comma between thousands, as English pages print them. */
export function wholeNumber(value: number): string {
  return String(value).replace(/\B(?=(\d{3})+$)/g, ',');
}

/** Template lines keep the indentation of the code around them; Markdown must not. */
function dedent(text: string): string {
  return text
    .split('\n')
    .map((line) => line.trim())
    .join('\n')
    .trim();
}
