import { distance } from 'fastest-levenshtein';

const plain = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[\s_-]+/g, ' ')
    .trim();

/**
 * Which known name was probably meant?
 *
 * The smallest edit distance (Levenshtein 1966) after case, spaces, hyphens and underscores are
 * ignored. When more than a third of the letters (two in a short name) would have to change, a name that begins with
 * the text, or else undefined, because a far-fetched suggestion misleads.
 *
 * @example
 * nearestName('grove pain', ['groove-pain', 'revision']) // 'groove-pain'
 */
export function nearestName(name: string, known: readonly string[]): string | undefined {
  const wanted = plain(name).slice(0, 80);
  let best: string | undefined;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const steps = distance(wanted, plain(candidate));
    if (steps < bestDistance) {
      best = candidate;
      bestDistance = steps;
    }
  }
  if (best === undefined) return undefined;
  const letters = Math.max(wanted.length, best.length);
  const most = letters <= 5 ? 2 : Math.floor(letters / 3);
  if (bestDistance <= most && bestDistance < wanted.length) return best;
  return wanted.length < 3 ? undefined : known.find((candidate) => plain(candidate).startsWith(wanted));
}

/** "Did you mean "x"? " or nothing, ready to stand before a cure. */
export function didYouMean(name: string, known: readonly string[]): string {
  const nearest = nearestName(name, known);
  return nearest === undefined ? '' : `Did you mean "${nearest}"? `;
}

/** Names as a list in words: "a", "b" or "c"; long lists are cut, with the count said. */
export function listNames(names: readonly string[], most = 14): string {
  const shown = names.slice(0, most).map((name) => `"${name}"`);
  if (names.length > most) return `${shown.join(', ')} … (${names.length} in all)`;
  if (shown.length < 2) return shown[0] ?? 'nothing yet';
  return `${shown.slice(0, -1).join(', ')} or ${shown.at(-1)}`;
}
