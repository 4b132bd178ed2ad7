// What the gate brings along, what a documented command installs first, and what a test does without a face it needs.
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { projectRoot } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-gate-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** A folder of programs that stand in for those of the machine, put before them on the path. */
function standIns(name: string, programs: Readonly<Record<string, string>>): NodeJS.ProcessEnv {
  const folder = join(root, name);
  mkdirSync(folder);
  for (const [program, script] of Object.entries(programs)) {
    writeFileSync(join(folder, program), `#!/bin/sh\n${script}\n`);
    chmodSync(join(folder, program), 0o755);
  }
  return { ...process.env, PATH: `${folder}${delimiter}${process.env.PATH}` };
}

describe('.ci/run', () => {
  it.each([
    ['DejaVu Sans', true],
    ['Liberation Sans Narrow', true],
    ['Liberation Sans', false],
    ['Arial', false],
  ])('where %s stands in for Arial, fonts-liberation is installed: %s', (face, wanted) => {
    const asked = join(root, `asked-${face}`);
    const env = standIns(`gate-${face}`, {
      'fc-match': `printf '%s' '${face}'`,
      soffice: 'exit 0',
      pdftoppm: 'exit 0',
      'apt-get': `echo "$@" >> '${asked}'`,
      // The gate itself is not run within itself.
      npm: 'exit 9',
    });
    expect(spawnSync('bash', ['.ci/run'], { cwd: projectRoot, env }).status).toBe(9);
    const installed = existsSync(asked) ? readFileSync(asked, 'utf8') : '';
    expect(installed.includes('fonts-liberation')).toBe(wanted);
  });
});

describe('a test that needs a face as wide as Arial', () => {
  it('skips where there is none, and prints which face would stand in', () => {
    const env = standIns('faces', {
      'fc-match': "printf '%s' 'DejaVu Sans'",
      soffice: 'exit 0',
      pdftotext: 'exit 0',
    });
    const words = ['vitest', 'run', '--maxWorkers=1', 'tests/publishing/talk/libreOffice.test.ts'];
    const { status, stdout } = spawnSync('npx', words, { cwd: projectRoot, env, encoding: 'utf8' });
    expect([status, /Tests +(\d+ skipped)/.exec(stdout.replace(/\p{Cc}\[\d+m/gu, ''))?.[1]]).toEqual([
      0,
      '3 skipped',
    ]);
    expect(stdout).toContain('no face as wide as Arial is installed (DejaVu Sans would stand in');
  }, 60_000);
});

/** Files under a folder of the project whose names end so. */
const under = (folder: string, ending: string): readonly string[] =>
  readdirSync(join(projectRoot, folder), { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith(ending))
    .map((path) => `${folder}/${path}`);

describe('documented commands', () => {
  const documents = [
    ...['README.md', 'DEVELOPERS.md', 'data-extraction/README.md', 'data-extraction/codebook.md'],
    // The text versions of the notebooks are made from the notebooks, which are read below.
    ...under('docs', '.md').filter((path) => !path.startsWith('docs/notebooks/')),
  ];
  // Help and error texts stand in the source.
  const sources = [...under('src', '.ts'), ...under('notebooks', '.ts'), ...under('data-extraction', '.ts')];
  const texts = [...documents, ...sources].map((path) => readFileSync(join(projectRoot, path), 'utf8'));
  const { scripts } = JSON.parse(readFileSync(join(projectRoot, 'package.json'), 'utf8')) as {
    scripts: Readonly<Record<string, string>>;
  };
  const named = texts.flatMap((text) =>
    [...text.matchAll(/\bnpm (?:(start|test)\b|run (?:--silent )?([a-z]+(?::[a-z]+)*))/g)].map(
      ([, short, long]) => short ?? long ?? '',
    ),
  );
  const commands = [...new Set(named)].sort();

  it('are scripts of package.json', () => {
    expect(commands.length).toBeGreaterThan(14);
    expect(commands.filter((command) => !(command in scripts))).toEqual([]);
  });

  it('install what they need first', () => {
    const without = commands.filter(
      (command) => scripts[`pre${command}`] !== 'node src/publishing/installWhenNeeded.mjs',
    );
    expect(without).toEqual([]);
  });

  it('name no program that only an installation brings', () => {
    const bare = [...documents, ...under('notebooks', '.ts')].filter((path) =>
      /\bnpx (?:tsx|vitest|biome|tsc)\b/.test(readFileSync(join(projectRoot, path), 'utf8')),
    );
    expect(bare).toEqual([]);
  });
});
