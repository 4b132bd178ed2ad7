import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import allowed from './arrows.json' with { type: 'json' };

const root = fileURLToPath(new URL('../..', import.meta.url));

const scripts = (folder: string): readonly string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((path) => /\.(?:ts|mjs)$/.test(path))
    .map((path) => `${folder}/${path.replaceAll('\\', '/')}`)
    .sort();

const read = (path: string): string => readFileSync(join(root, path), 'utf8');

/** What a file imports, re-exports or loads later; comments and the words inside them do not count. */
function importsOf(text: string): readonly string[] {
  const code = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  return [...code.matchAll(/(?:\bfrom|\bimport|\brequire)\s*\(?\s*(['"])(?<from>[^'"\s]+)\1/g)].map(
    (match) => match.groups?.from ?? '',
  );
}

const sources = scripts('src');
const stageOf = (path: string): string => path.split('/')[1] ?? '';

describe('importsOf', () => {
  it('sees every way to import and no comment', () => {
    const text = `import a from 'one';
import type { B } from "two";
export { c } from './three.ts';
import './four.ts';
const d = await import('./five.ts');
const words = { a: 'taken from', b: 'no' };
// import e from 'no'
/* from 'no' */
import {
  f,
} from './six.ts';`;
    expect(importsOf(text)).toEqual(['one', 'two', './three.ts', './four.ts', './five.ts', './six.ts']);
  });
});

describe('the picture the code shows', () => {
  it('every folder of src is a stage that arrows.json knows', () => {
    const folders = sources.map((path) => path.split('/')).filter((parts) => parts.length > 2);
    for (const [, folder] of folders) expect(Object.keys(allowed)).toContain(folder);
  });

  it('arrows point one way: no stage may reach itself through others', () => {
    const arrows: Readonly<Record<string, readonly string[]>> = allowed;
    const reaches = (from: string, to: string): boolean =>
      (arrows[from] ?? []).some((next) => next === to || reaches(next, to));
    for (const stage of Object.keys(arrows)) expect(reaches(stage, stage), stage).toBe(false);
  });

  it.each(sources.filter((path) => path !== 'src/index.ts'))('%s imports earlier stages only', (path) => {
    const mayImport: readonly string[] = (allowed as Record<string, readonly string[]>)[stageOf(path)] ?? [];
    for (const from of importsOf(read(path)).filter((name) => name.startsWith('.'))) {
      const target = relative(root, join(root, dirname(path), from)).replaceAll('\\', '/');
      expect(target, `${path} imports ${from}`).toMatch(/^src\/./);
      const stage = stageOf(target);
      if (stage !== stageOf(path)) expect(mayImport, `${path} imports ${from}`).toContain(stage);
    }
  });

  it('only file reading and publishing know Node', () => {
    const withNode = sources.filter((path) => importsOf(read(path)).some((name) => /^node:/.test(name)));
    const others = withNode.filter(
      (path) => !path.startsWith('src/publishing/') && path !== 'src/extraction/readReviewFolder.ts',
    );
    expect(others).toEqual([]);
  });

  it('src/index.ts is re-exports and nothing else', () => {
    const code = read('src/index.ts').replace(/^\s*\/\/.*$/gm, '');
    const rest = code.replace(/export (?:type )?\{[^}]*\} from '\.\/[\w/]+\.ts';/g, '');
    expect(rest.trim()).toBe('');
  });

  it('notebooks import the index and their own data only', () => {
    for (const path of scripts('notebooks')) {
      for (const from of importsOf(read(path)))
        expect(from, path).toMatch(/^(?:\.\.\/src\/index\.ts|\.\/data\/\w+\.ts)$/);
    }
  });

  // The table of contents holds no concept of its own and grows with the library.
  it('no source file but the table of contents is longer than 300 lines', () => {
    const long = sources
      .map((path) => ({ path, lines: read(path).split('\n').length - 1 }))
      .filter(({ path, lines }) => lines > 300 && path !== 'src/index.ts');
    expect(long).toEqual([]);
  });
});
