import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { addPages, filesUnder, replaceFolder } from '../../src/publishing/writeFiles.ts';

let root = '';
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'tenosite-write-'));
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

describe('replaceFolder', () => {
  it('leaves nothing of the earlier run and nothing beside the folder', () => {
    const out = join(root, 'out');
    replaceFolder(out, [{ path: 'old.html', content: 'old' }]);
    replaceFolder(out, [{ path: 'sub/new.html', content: 'new' }]);
    expect([...filesUnder(out).keys()].sort()).toEqual(['.tenosite-pages', 'sub/new.html']);
    expect(readdirSync(root)).toEqual(['out']);
  });

  it('refuses a folder that holds something else, and does not touch it', () => {
    const mine = join(root, 'mine');
    mkdirSync(mine);
    writeFileSync(join(mine, 'thesis.docx'), 'years of work');
    expect(() => replaceFolder(mine, [])).toThrow('holds files that no run of tenosite wrote');
    expect(readFileSync(join(mine, 'thesis.docx'), 'utf8')).toBe('years of work');
    expect(readdirSync(root)).toEqual(['mine']);
  });

  it('keeps the earlier pages when writing fails half-way', () => {
    const out = join(root, 'out');
    replaceFolder(out, [{ path: 'page.html', content: 'old' }]);
    const clash = [
      { path: 'page.html', content: 'new' },
      { path: 'page.html/below-a-file', content: '' },
    ];
    expect(() => replaceFolder(out, clash)).toThrow();
    expect(filesUnder(out).get('page.html')).toBe('old');
    expect(readdirSync(root)).toEqual(['out']);
  });
});

describe('addPages', () => {
  it('adds to pages that stand there, and a later run may replace what it started', () => {
    const out = join(root, 'out');
    addPages(out, [{ path: 'a.html', content: 'a' }]);
    addPages(out, [{ path: 'b.html', content: 'b' }]);
    expect([...filesUnder(out).keys()].sort()).toEqual(['.tenosite-pages', 'a.html', 'b.html']);
    replaceFolder(out, []);
    expect(existsSync(join(out, 'a.html'))).toBe(false);
  });
});
