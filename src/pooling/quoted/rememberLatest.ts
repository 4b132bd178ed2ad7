/**
 * Answers that need not be worked out twice: the same counts are asked for by every page, and by both sides of a change.
 *
 * @param most answers kept; the one asked for longest ago goes first
 * @returns the answer of a key, made where it is not known
 *
 * @example
 * const square = rememberLatest<number>(100);
 * square('3', () => 3 * 3); // 9
 */
export function rememberLatest<Answer>(most: number): (key: string, make: () => Answer) => Answer {
  const known = new Map<string, { readonly answer: Answer }>();
  return (key, make) => {
    const kept = known.get(key) ?? { answer: make() };
    known.delete(key);
    known.set(key, kept);
    const [oldest] = known.size > most ? known.keys() : [];
    if (oldest !== undefined) known.delete(oldest);
    return kept.answer;
  };
}
