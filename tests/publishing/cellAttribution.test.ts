import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callLine } from '../../src/publishing/callSite.ts';
import { runScript } from './helpers/runScript.ts';

interface Page {
  readonly shown: readonly {
    readonly cell: number;
    readonly kind: string;
    readonly markdown?: string;
    readonly title?: string;
    readonly table?: { readonly caption: string };
    readonly claim?: { readonly statement: string };
  }[];
  readonly results: Readonly<Record<string, unknown>>;
}

const folder = mkdtempSync(join(tmpdir(), 'tenosite-attribution-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const read = (path: string): Page => JSON.parse(readFileSync(join(folder, path), 'utf8'));

describe('every output lands under the cell that led to it', () => {
  let alone: Page;
  let underRunner: Page;
  beforeAll(async () => {
    const notebook = 'tests/publishing/fixtures/notebooks/attribution.ts';
    const first = await runScript(notebook, ['--out', join(folder, 'alone')]);
    expect(first.err.split('\n').filter((line) => line !== '' && !line.includes(' warning: '))).toEqual([]);
    const second = await runScript('tests/publishing/helpers/startIn.ts', [
      'tests/publishing/fixtures/notebooks',
      join(folder, 'companions'),
      '--out',
      join(folder, 'runner'),
    ]);
    expect(second.code).toBe(0);
    alone = read('alone/attribution.json');
    underRunner = read('runner/attribution.json');
  }, 60_000);

  it('run by itself', () => {
    expect(alone.shown.length).toBe(10);
    for (const { cell, markdown, title, table, claim } of alone.shown) {
      expect(String(cell)).toBe(markdown ?? title ?? table?.caption ?? claim?.statement);
    }
  });

  it('run by the runner, with the same outputs', () => {
    expect(underRunner.shown).toEqual(alone.shown);
    expect(underRunner.results).toEqual({ eight: { value: 8 } });
  });
});

describe('callLine', () => {
  const url = 'file:///home/a%20b/(copy)/note.ts';

  it('takes the outermost frame of the notebook', () => {
    const stack = [
      'Error: call site',
      '    at show (/home/a b/src/x.ts:3:1)',
      '    at helper (/home/a b/(copy)/note.ts:4:3)',
      '    at async <anonymous> (/home/a b/(copy)/note.ts:20:1)',
      '    at async run (/home/a b/src/run.ts:9:1)',
    ].join('\n');
    expect(callLine(url, stack)).toBe(20);
  });

  it('reads addresses with a query and frames without a name', () => {
    expect(callLine(url, `Error\n    at ${url}?run=2:7:5`)).toBe(7);
    expect(callLine(url, 'Error\n    at async /home/a b/(copy)/note.ts:8:1')).toBe(8);
  });

  it('does not mistake a file whose path ends alike', () => {
    expect(callLine(url, 'Error\n    at x (/other/home/a b/(copy)/note.ts:7:5)')).toBeUndefined();
  });
});
