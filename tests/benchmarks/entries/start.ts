import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { BenchmarkEntry } from '../benchmark.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const name = 'npm start, all notebooks, packages installed';

export const entry: BenchmarkEntry = () => {
  const scripts = (
    JSON.parse(readFileSync(`${root}package.json`, 'utf8')) as { scripts?: { start?: string } }
  ).scripts;
  if (!existsSync(`${root}notebooks`) || !scripts?.start) {
    return [{ kind: 'skipped', name, reason: 'there is no start script or no notebook yet' }];
  }
  return [
    {
      kind: 'budget',
      name,
      subject: {
        name: 'npm start --silent',
        batch() {
          const began = performance.now();
          const { status, stderr } = spawnSync('npm', ['start', '--silent'], { cwd: root, encoding: 'utf8' });
          if (status !== 0) throw new Error(`npm start ended with code ${status}: ${stderr.slice(-500)}`);
          return performance.now() - began;
        },
      },
      // Six seconds were set for five notebooks. The twenty there are now, with Word files, a trace of every row and type
      // inside each page, take 9 to 11 on a quiet machine of two cores: half a second a notebook.
      budgetMilliseconds: 11_000,
      rounds: 3,
    },
  ];
};
