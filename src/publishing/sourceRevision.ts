import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * The revision of tenosite's own source, with `+changes` when files under version control differ from it; undefined
 * where the package is not a checkout of its own or there is no git.
 */
export function sourceRevision(): string | undefined {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  // A repository around an installed package is somebody else's: its revision says nothing about this source.
  if (!existsSync(join(root, '.git'))) return undefined;
  try {
    const words = ['describe', '--always', '--abbrev=12', '--exclude=*', '--dirty=+changes'];
    const told = execFileSync('git', words, {
      cwd: root,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    return told.trim() === '' ? undefined : told.trim();
  } catch {
    return undefined;
  }
}
