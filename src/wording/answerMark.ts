// Three characters of Unicode's private use area that no sheet can bring in: `decodeText` refuses them.
const [open, middle, close] = ['\uE000', '\uE001', '\uE002'];
const marked = /\uE000([^\uE000-\uE002]*)\uE001([^\uE000-\uE002]*)\uE002/g;

/** One piece of a text: with the id of the answer it prints, or without. */
export interface MarkedPiece {
  readonly text: string;
  readonly answer: string | undefined;
}

/**
 * Text that carries the id of the answer it prints. Every writer turns the mark into its own: an attribute in HTML, a
 * bookmark in Word, nothing in plain text.
 *
 * @example
 * withoutAnswerMarks(markAnswer('rate:revision:tenotomy', '1.2 (0.4 to 3.1)')) // '1.2 (0.4 to 3.1)'
 */
export function markAnswer(id: string | undefined, text: string): string {
  return id === undefined || text === '' ? text : `${open}${id}${middle}${withoutAnswerMarks(text)}${close}`;
}

/** The same text for a reader who sees no marks. */
export const withoutAnswerMarks = (text: string): string => text.replace(marked, '$2');

/** Puts something in place of each mark. */
export const replaceAnswerMarks = (text: string, mark: (id: string, text: string) => string): string =>
  text.replace(marked, (_, id: string, words: string) => mark(id, words));

/** A text cut where marks begin and end. */
export function splitAnswerMarks(text: string): readonly MarkedPiece[] {
  const pieces: MarkedPiece[] = [];
  let from = 0;
  for (const match of text.matchAll(marked)) {
    if (match.index > from) pieces.push({ text: text.slice(from, match.index), answer: undefined });
    pieces.push({ text: match[2]!, answer: match[1] });
    from = match.index + match[0].length;
  }
  if (from < text.length) pieces.push({ text: text.slice(from), answer: undefined });
  return pieces;
}

/** Ids of the answers a text prints, in order, each once. */
export const answersIn = (text: string): readonly string[] => [
  ...new Set([...text.matchAll(marked)].map((match) => match[1]!)),
];

/**
 * The id as a bookmark's name: letters, digits and underscores, begun by a letter, at most 35 characters so that a
 * number for its second and later places still fits into Word's 40.
 *
 * @see ECMA-376 part 1, section 17.13.6.2 (bookmarkStart); Word's own limit of 40 characters: common practice, no source.
 */
export function bookmarkOf(id: string): string {
  const plain = id.replace(/[^A-Za-z0-9]/g, '_');
  if (plain.length <= 28 && /^[a-z0-9:-]+$/.test(id)) return `answer_${plain}`;
  // Two ids that differ only in what was replaced or cut, or in case, must not share a name.
  let hash = 0x811c9dc5;
  for (const character of id) hash = Math.imul(hash ^ character.codePointAt(0)!, 0x01000193) >>> 0;
  return `answer_${plain.slice(0, 19)}_${hash.toString(16).padStart(8, '0')}`;
}
