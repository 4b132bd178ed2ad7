import { readFileSync } from 'node:fs';

/** The versions a page names: this package's, and Node's. */
export function versions(): { readonly tenosite: string; readonly node: string } {
  const manifest: unknown = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));
  const version = (manifest as { readonly version?: unknown }).version;
  if (typeof version !== 'string') throw new Error('package.json names no version');
  return { tenosite: version, node: process.versions.node };
}
