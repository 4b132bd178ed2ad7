import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { BenchmarkEntry } from '../benchmark.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));

export const entry: BenchmarkEntry = () => [
  {
    kind: 'budget',
    name: 'npm run talk, every outcome of the demo, with PNGs',
    subject: {
      name: 'npm run --silent talk',
      batch() {
        const out = mkdtempSync(join(tmpdir(), 'talk-'));
        const began = performance.now();
        const { status, stderr } = spawnSync('npm', ['run', '--silent', 'talk', '--', '--out', out], {
          cwd: root,
          encoding: 'utf8',
        });
        const took = performance.now() - began;
        rmSync(out, { recursive: true, force: true });
        if (status !== 0) throw new Error(`npm run talk ended with code ${status}: ${stderr.slice(-500)}`);
        return took;
      },
    },
    budgetMilliseconds: 6000,
    rounds: 3,
  },
];
