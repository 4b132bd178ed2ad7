import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from './runScript.ts';

/** Some of the project's notebooks in a folder of their own, for a run that asks no others. */
export function notebooksApart(names: readonly string[]): {
  readonly folder: string;
  readonly remove: () => void;
} {
  // Within the project, so that packages resolve.
  const folder = mkdtempSync(join(projectRoot, 'tests/publishing/notebooks-apart-'));
  for (const name of names) {
    const source = readFileSync(join(projectRoot, 'notebooks', `${name}.ts`), 'utf8');
    writeFileSync(join(folder, `${name}.ts`), source.replaceAll("'../src/", "'../../../src/"));
  }
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}
