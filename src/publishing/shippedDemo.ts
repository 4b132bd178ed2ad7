import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Protocol } from '../extraction/protocol.ts';
import { reviewFingerprint } from '../extraction/provenance/fingerprint.ts';
import { demoTitle } from './pageFacts.ts';

/** What `npm run demo` notes of the demonstration it has made, beside the source it makes it from. */
const noted = fileURLToPath(
  new URL('../../data-extraction/demo-source/demoFingerprint.json', import.meta.url),
);

/** Folders that are part of the demonstration, seen from its own: what two people extracted, and the year before. */
const folders = ['.', 'extractors/first', 'extractors/second', '../demo-2025'] as const;
const decisions = 'extractors/decisions.csv';

/**
 * One text for all that the pages of a review's folder read, of the demonstration's folders those that are there.
 * Line endings and the like make no difference: the sheets count by what they hold.
 */
export function demoFingerprint(folder: string): Readonly<Record<string, string>> {
  const found: Record<string, string> = {};
  for (const each of folders) {
    const path = join(folder, each);
    if (!existsSync(path) || !statSync(path).isDirectory()) continue;
    const names = readdirSync(path).filter((name) => /\.(?:csv|json)$/.test(name));
    const files = Object.fromEntries(names.map((name) => [name, readFileSync(join(path, name))]));
    const { data, rules } = reviewFingerprint(files);
    found[each] = `${data} ${rules}`;
  }
  if (existsSync(join(folder, decisions))) {
    const text = readFileSync(join(folder, decisions), 'utf8').replaceAll('\r\n', '\n');
    found[decisions] = createHash('sha256').update(text).digest('hex');
  }
  return found;
}

/**
 * Is this the demonstration, wherever it lies, with every cell and rule as shipped? A copy without the extractors or
 * the year before is; a copy with anything changed in what it holds is a review like any other.
 */
export function isShippedDemo(
  { inventedData, title }: Pick<Protocol, 'inventedData' | 'title'>,
  folder: string,
): boolean {
  if (!inventedData || title !== demoTitle || !existsSync(noted)) return false;
  const shipped: Readonly<Record<string, string>> = JSON.parse(readFileSync(noted, 'utf8'));
  const found = Object.entries(demoFingerprint(folder));
  return found.length > 0 && found.every(([part, hash]) => shipped[part] === hash);
}
