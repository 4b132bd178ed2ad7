import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Comparison, compareExtractions } from '../../extraction/agreement/compareExtractions.ts';
import { readExtraction } from '../../extraction/agreement/readExtraction.ts';

/**
 * How well did the two people agree who extracted this review? Their sheets stand in two folders under `extractors/`.
 *
 * @returns undefined without exactly two such folders, or when one of them cannot be read
 */
export function agreementOfFolder(folder: string): Comparison | undefined {
  const extractors = join(folder, 'extractors');
  if (!existsSync(extractors)) return undefined;
  const people = readdirSync(extractors, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => name)
    .sort();
  if (people.length !== 2) return undefined;
  const [first, second] = people.map((name) => {
    const own = join(extractors, name);
    const files = readdirSync(own).map((file): [string, Uint8Array] => [file, readFileSync(join(own, file))]);
    return readExtraction(name, Object.fromEntries(files)).extraction;
  });
  return first === undefined || second === undefined ? undefined : compareExtractions(first, second);
}
