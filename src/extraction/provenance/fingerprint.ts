import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { decodeText } from '../decodeText.ts';
import { readJson } from '../jsonPlaces.ts';
import { sheetNames, sheets } from '../sheets/sheets.ts';
import { canonicalJson } from './canonicalJson.ts';
import { canonicalSheet } from './canonicalSheet.ts';

/** Hashes that stand for the contents of a review: equal hashes, equal contents. SHA-256, as 64 hexadecimal digits. */
export interface ReviewFingerprint {
  /** Every sheet together. */
  readonly data: string;
  /** Each sheet that is there, by file name. */
  readonly files: Readonly<Record<string, string>>;
  /** protocol.json. */
  readonly rules: string;
}

const hash = (text: string): string => bytesToHex(sha256(utf8ToBytes(text)));

/**
 * Which contents are these, in one short text that can be printed and compared?
 *
 * Each sheet is hashed in the form of {@link canonicalSheet}, the protocol in that of {@link canonicalJson}; the hash of
 * the data is taken over one line a sheet, `file hash`, in alphabetical order. A file that is no text is hashed by its
 * bytes, a protocol that is no JSON by its text.
 *
 * @param files the files of a review by name, as {@link readReview} takes them; others than the review's own are ignored
 * @see FIPS PUB 180-4, Secure Hash Standard (SHA-256); RFC 8785 for the idea of a canonical JSON text.
 * @example
 * reviewFingerprint({ 'protocol.json': protocol, 'events.csv': events }).data.slice(0, 12)
 */
export function reviewFingerprint(files: Readonly<Record<string, string | Uint8Array>>): ReviewFingerprint {
  const bySheet: Record<string, string> = {};
  for (const name of sheetNames) {
    const { file, columns } = sheets[name];
    const content = Object.hasOwn(files, file) ? files[file] : undefined;
    if (content === undefined) continue;
    const text = canonicalSheet(file, content, Object.keys(columns.shape));
    bySheet[file] = text === undefined ? bytesToHex(sha256(content as Uint8Array)) : hash(text);
  }
  const lines = Object.keys(bySheet)
    .sort()
    .map((file) => `${file} ${bySheet[file]}\n`);
  return { data: hash(lines.join('')), files: bySheet, rules: rulesHash(files['protocol.json'] ?? '') };
}

function rulesHash(content: string | Uint8Array): string {
  const { text } = decodeText('protocol.json', content);
  if (text === undefined) return bytesToHex(sha256(content as Uint8Array));
  const { json } = readJson(text);
  return hash(json === undefined ? text : canonicalJson(json.value));
}
