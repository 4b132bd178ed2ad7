import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { LiveSource } from '../live/page/liveFacts.ts';
import { versions } from '../versions.ts';

/**
 * The files of a review's folder as the page carries them: text, or base 64 where a file is no UTF-8, so that the page
 * finds the same faults in them as the check.
 *
 * @throws when there is no such folder, in a sentence for the person who typed it
 */
export async function readSource(folder: string): Promise<LiveSource> {
  const about = await stat(folder).catch(() => undefined);
  if (about === undefined) throw new Error(`there is no folder ${folder}`);
  if (!about.isDirectory())
    throw new Error(`${folder} is a file; name the folder that holds protocol.json and the sheets`);
  const names = (await readdir(folder)).filter((name) => /\.(csv|json|tsv|txt)$/i.test(name)).sort();
  const files = await Promise.all(
    names.map(async (name) => [name, contentOf(await readFile(join(folder, name)))] as const),
  );
  const { tenosite, node } = versions();
  return {
    folder: folder.replaceAll('\\', '/'),
    files: Object.fromEntries(files),
    tenositeVersion: tenosite,
    nodeVersion: node,
  };
}

function contentOf(bytes: Uint8Array): LiveSource['files'][string] {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return { base64: Buffer.from(bytes).toString('base64') };
  }
}

/** JSON that can stand in a script element: no character in it can end the element or begin a comment. */
export const scriptSafeJson = (value: unknown): string =>
  JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
