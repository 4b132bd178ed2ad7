import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { decodeText } from '../extraction/decodeText.ts';
import { amendmentSentences, type ProtocolVersion } from '../tables/changes/amendmentSentences.ts';
import { previousFolder } from './changes/previousVersion.ts';

interface FoundVersion extends ProtocolVersion {
  readonly previousVersion: string | undefined;
}

/**
 * What did a review change of its protocol, from its first version at hand to this one?
 *
 * Follows `previousVersion` (or a folder `previous`) back as far as it leads; the latest amendments stand first. A version
 * that is named and cannot be read is said, so that nobody takes silence for "none".
 */
export function amendmentsOfFolder(folder: string): readonly string[] {
  const sentences: string[] = [];
  const seen = new Set<string>();
  let [at, now] = [folder, readVersion(folder)];
  while (now !== undefined && !seen.has(resolve(at))) {
    seen.add(resolve(at));
    const before = previousFolder({ protocol: { previousVersion: now.previousVersion } }, at);
    if (before === undefined) break;
    const earlier = readVersion(before);
    if (earlier === undefined) {
      sentences.push(
        `The earlier version ${before} has no protocol that can be read, so what was amended since is not listed.`,
      );
      break;
    }
    sentences.push(...amendmentSentences(earlier, now));
    [at, now] = [before, earlier];
  }
  return sentences;
}

function readVersion(folder: string): FoundVersion | undefined {
  const path = join(folder, 'protocol.json');
  if (!existsSync(path)) return undefined;
  const { text } = decodeText('protocol.json', readFileSync(path));
  try {
    const { lastSearch, previousVersion } = JSON.parse(text ?? '');
    const word = (value: unknown): string | undefined => (typeof value === 'string' ? value : undefined);
    return { text: text ?? '', lastSearch: word(lastSearch), previousVersion: word(previousVersion) };
  } catch {
    return undefined;
  }
}
