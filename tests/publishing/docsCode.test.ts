import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { projectRoot, runScript } from './helpers/runScript.ts';

interface CodeBlock {
  readonly file: string;
  readonly line: number;
  readonly language: string;
  readonly code: string;
}

/** Fenced blocks of a Markdown text, with the line each opens on. */
function codeBlocks(file: string, text: string): readonly CodeBlock[] {
  const blocks = text.matchAll(/^(?<fence>`{3,})(?<language>\w*)[^\n]*\n(?<code>[\s\S]*?)^\k<fence>\s*$/gm);
  return [...blocks].map(({ index, groups }) => ({
    file,
    line: text.slice(0, index).split('\n').length,
    language: groups?.language ?? '',
    code: groups?.code ?? '',
  }));
}

const files = [
  ...readdirSync(projectRoot).filter((name) => name.endsWith('.md')),
  ...(existsSync(join(projectRoot, 'docs'))
    ? readdirSync(join(projectRoot, 'docs'))
        .filter((name) => name.endsWith('.md'))
        .map((name) => `docs/${name}`)
    : []),
];
const blocks = files.flatMap((file) => codeBlocks(file, readFileSync(join(projectRoot, file), 'utf8')));
const label = ({ file, line }: CodeBlock) => `${file}:${line}`;

// Inside the project, so that `tenosite` and the packages resolve as they do for a reader's own script.
const folder = mkdtempSync(join(projectRoot, 'tests/publishing/code-of-docs-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('code in the README and the docs', () => {
  it('finds blocks and their lines', () => {
    expect(codeBlocks('x.md', 'a\n\n```ts\nconst a = 1;\n```\n\n```sh\nnpm start\n```\n')).toEqual([
      { file: 'x.md', line: 3, language: 'ts', code: 'const a = 1;\n' },
      { file: 'x.md', line: 7, language: 'sh', code: 'npm start\n' },
    ]);
  });

  const typescript = blocks.filter(({ language }) => language === 'ts');
  it.each(typescript.map((block) => [label(block), block] as const))('%s runs', async (_, block) => {
    const path = join(folder, `block-${typescript.indexOf(block)}.ts`);
    writeFileSync(path, `${block.code}\nexport {};\n`);
    const { code, err } = await runScript(path);
    expect(`${code} ${err}`).toBe('0 ');
  });

  it('all of it type-checks', () => {
    if (typescript.length === 0) return;
    typescript.forEach((block, at) => {
      writeFileSync(join(folder, `block-${at}.ts`), `${block.code}\nexport {};\n`);
    });
    const config = join(folder, 'tsconfig.json');
    writeFileSync(
      config,
      JSON.stringify({ extends: '../../../tsconfig.json', include: ['.', '../../../src/**/*.d.ts'] }),
    );
    const { stdout, status } = spawnSync('npx', ['tsc', '-p', config], {
      cwd: projectRoot,
      encoding: 'utf8',
    });
    expect(`${status} ${stdout}`).toBe('0 ');
  });

  const shell = blocks.filter(({ language }) => language === 'sh');
  it.each(shell.map((block) => [label(block), block] as const))('%s: the commands exist', (_, block) => {
    const { scripts } = JSON.parse(readFileSync(join(projectRoot, 'package.json'), 'utf8'));
    for (const line of block.code.split('\n').map((text) => text.replace(/#.*/, '').trim())) {
      if (line === '') continue;
      const npm = /^npm (?:run )?(?<script>[\w:-]+)/.exec(line)?.groups?.script;
      if (npm !== undefined && npm !== 'install' && npm !== 'ci') expect(scripts, line).toHaveProperty([npm]);
      const path = /(?:npx tsx |node |cp -r )(?<path>[\w./<>-]+)/.exec(line)?.groups?.path;
      if (path !== undefined && !path.includes('<'))
        expect(existsSync(join(projectRoot, path)), line).toBe(true);
    }
  });

  it('uses no fence without a language it can check', () => {
    const known = ['ts', 'sh', 'csv', 'json', 'text'];
    expect(blocks.filter(({ language }) => !known.includes(language)).map(label)).toEqual([]);
  });
});
