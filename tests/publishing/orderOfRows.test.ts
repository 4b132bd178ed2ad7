import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { auditReview } from '../../src/robustness/audit/auditReview.ts';
import { whatWouldChange } from '../../src/robustness/influence/whatWouldChange.ts';
import { differences, leaves, shuffled } from '../helpers/orderOfRows.ts';
import { runScript } from './helpers/runScript.ts';

const place = mkdtempSync(join(tmpdir(), 'order-of-rows-'));
afterAll(() => rmSync(place, { recursive: true, force: true }));

async function folderOf(name: string, files: Readonly<Record<string, string>>): Promise<string> {
  for (const [file, text] of Object.entries(files)) {
    const path = join(place, name, file);
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, text);
  }
  return join(place, name);
}

const files = demoFiles();
const other = shuffled(files, 11);

describe('the order of the rows in the sheets changes no result', async () => {
  const folders = [await folderOf('given', files), await folderOf('shuffled', other)];

  // The page that once took the first arm met, run as a person runs it.
  it('of the page on moderators', { timeout: 120_000 }, async () => {
    const name = 'moderators';
    const [given, after] = await Promise.all(
      folders.map(async (folder) => {
        const out = `${folder}-pages`;
        const { code, err } = await runScript(`notebooks/${name}.ts`, [folder, '--out', out]);
        expect(code, err).toBe(0);
        return (JSON.parse(readFileSync(join(out, `${name}.json`), 'utf8')) as { results: unknown }).results;
      }),
    );
    expect(leaves(given).size).toBeGreaterThan(50);
    expect(differences(given, after).slice(0, 10)).toEqual([]);
  });

  it('of the audit of what is printed', () => {
    const findings = [files, other].map((sheets) =>
      auditReview(readReview(sheets).review!).findings.map(({ counts, strength }) => ({ counts, strength })),
    );
    expect(findings[0]!.length).toBeGreaterThan(0);
    expect(differences(findings[0], findings[1])).toEqual([]);
  });

  it('of a sample of subsets of more arms than are pooled in full', () => {
    const { arms } = selectEvents(readReview(files).review!, 'groove-pain');
    const turned = [...arms].reverse();
    const [given, after] = [arms, turned].map((each) => {
      const changes = whatWouldChange(poolRates(each), { exhaustiveUpTo: 6 })!;
      return { subsets: changes.subsetRates, share: changes.description?.means };
    });
    expect(differences(given, after)).toEqual([]);
  });
});
