/** A text as a file name or anchor: lower case, letters and digits, hyphens between. */
export function slug(text: string): string {
  const plain = text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return plain === '' ? 'part' : plain;
}

/** Gives each text a slug of its own: a repeated one gets a number. */
export function slugMaker(taken: Iterable<string> = []): (text: string) => string {
  const used = new Set(taken);
  return (text) => {
    const base = slug(text);
    let candidate = base;
    for (let copy = 2; used.has(candidate); copy += 1) candidate = `${base}-${copy}`;
    used.add(candidate);
    return candidate;
  };
}
