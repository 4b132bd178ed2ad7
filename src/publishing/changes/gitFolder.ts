import { execFileSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { dirname, relative, resolve } from 'node:path';

/** A folder as version control held it. */
export interface FolderAtRevision {
  readonly files: Readonly<Record<string, Uint8Array>>;
  /** The revision in full. */
  readonly revision: string;
}

const told = (cwd: string, words: readonly string[]): Buffer =>
  execFileSync('git', words, { cwd, stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 256 * 1024 * 1024 });

/**
 * The sheets and the protocol of a folder at a git revision, without touching what is checked out.
 *
 * The folder need not exist any more; the repository is that of the nearest folder around it that does.
 *
 * @throws in a plain sentence when there is no git, no repository, no such revision, or no such folder in it
 */
export function readFolderAtRevision(folder: string, revision: string): FolderAtRevision {
  let cwd = resolve(folder);
  while (!(existsSync(cwd) && statSync(cwd).isDirectory()) && dirname(cwd) !== cwd) cwd = dirname(cwd);
  const ask = (words: readonly string[], problem: string): Buffer => {
    try {
      return told(cwd, words);
    } catch (error) {
      const missing = (error as { readonly code?: unknown }).code === 'ENOENT';
      throw new Error(missing ? 'git is needed to read an earlier revision, and was not found' : problem);
    }
  };
  ask(['rev-parse', '--git-dir'], `${folder} is not in a git repository, so it has no revision ${revision}`);
  const commit = ask(
    ['rev-parse', '--verify', '--quiet', '--end-of-options', `${revision}^{commit}`],
    `the repository of ${folder} has no revision ${revision}`,
  )
    .toString('utf8')
    .trim();
  const path = relative(cwd, resolve(folder)).replaceAll('\\', '/');
  const inside = path === '' ? './' : `./${path}/`;
  const listed = ask(
    ['ls-tree', '-z', commit, inside],
    `${folder} cannot be listed at revision ${revision}`,
  ).toString('utf8');
  const names = listed
    .split('\0')
    .map((line) => /^\d+ blob \S+\t(.*)$/s.exec(line)?.[1]?.split('/').at(-1) ?? '')
    .filter((name) => /\.(csv|json|tsv|txt)$/i.test(name));
  if (names.length === 0) throw new Error(`there is no folder ${folder} with sheets at revision ${revision}`);
  const files = names.sort().map((name): [string, Uint8Array] => {
    const content = ask(
      ['show', `${commit}:${inside}${name}`],
      `${folder}/${name} cannot be read at ${revision}`,
    );
    return [name, new Uint8Array(content)];
  });
  return { files: Object.fromEntries(files), revision: commit };
}
