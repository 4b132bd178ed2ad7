import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { verifyFile } from '../../src/publishing/verify.ts';
import { runScript } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-verify-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const page = join(root, 'rare-events.json');
const verify = (...words: string[]) => runScript('src/publishing/verify.ts', words);

beforeAll(async () => {
  const { code } = await runScript('notebooks/rare-events.ts', ['--out', root]);
  expect(code).toBe(0);
}, 60_000);

describe('npm run verify', () => {
  it('a saved page records its data, rules and software', () => {
    const { provenance } = JSON.parse(readFileSync(page, 'utf8'));
    expect(provenance.data).toMatch(/^[0-9a-f]{64}$/);
    expect(provenance.rules).toMatch(/^[0-9a-f]{64}$/);
    expect(provenance.files['events.csv']).toMatch(/^[0-9a-f]{64}$/);
    expect(provenance.software.tenosite).toMatch(/^\d+\.\d+\.\d+/);
    const html = readFileSync(page.replace('.json', '.html'), 'utf8');
    expect(html).toContain(`data ${provenance.data.slice(0, 12)}, rules ${provenance.rules.slice(0, 12)}`);
  });

  it('everything else still follows, a number altered by hand is found with its place, and it ends with 1', async () => {
    const saved = JSON.parse(readFileSync(page, 'utf8'));
    const [name = ''] = Object.keys(saved.results);
    const spoilt: { at: string | undefined } = { at: undefined };
    const spoil = (value: unknown, path: string): void => {
      if (typeof value !== 'object' || value === null || spoilt.at !== undefined) return;
      for (const [key, member] of Object.entries(value)) {
        if (spoilt.at !== undefined) return;
        if (typeof member === 'number' && !Number.isInteger(member)) {
          (value as Record<string, unknown>)[key] = member * 1.000001;
          spoilt.at = key;
        } else spoil(member, `${path}.${key}`);
      }
    };
    spoil(saved.results[name], name);
    const altered = join(root, 'altered.json');
    writeFileSync(altered, JSON.stringify(saved));
    const { code, out } = await verify(altered);
    expect(code).toBe(1);
    expect(out).toContain('does not follow');
    expect(out).toMatch(/values were computed again; 1 differ/);
    expect(out).toContain(String(spoilt.at));
  });

  it('what is no saved page is refused in one sentence', async () => {
    await expect(verifyFile(join(root, 'nowhere.json'))).rejects.toThrow('there is no file');
    await expect(verifyFile('package.json')).rejects.toThrow('package.json is not a result of a notebook');
    await expect(verifyFile('README.md')).rejects.toThrow('README.md is not JSON');
  });
});
