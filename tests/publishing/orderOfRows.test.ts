import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { csvFormatRows, csvParseRows } from 'd3-dsv';
import { afterAll, describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { seededUniform } from '../../src/numerics/seededUniform.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { auditReview } from '../../src/robustness/audit/auditReview.ts';
import { whatWouldChange } from '../../src/robustness/influence/whatWouldChange.ts';
import { runScript } from './helpers/runScript.ts';

const place = mkdtempSync(join(tmpdir(), 'order-of-rows-'));
afterAll(() => rmSync(place, { recursive: true, force: true }));

/** The demonstration with the rows of every sheet in another order. */
function shuffled(files: Readonly<Record<string, string>>, seed: number): Record<string, string> {
  const next = seededUniform(seed);
  return Object.fromEntries(
    Object.entries(files).map(([name, text]) => {
      if (!name.endsWith('.csv')) return [name, text];
      const [head, ...rows] = csvParseRows(text.replace(/^\ufeff/, ''));
      for (let last = rows.length - 1; last > 0; last--) {
        const other = Math.floor(next() * (last + 1));
        [rows[last], rows[other]] = [rows[other]!, rows[last]!];
      }
      return [name, `${csvFormatRows([head!, ...rows])}\n`];
    }),
  );
}

async function folderOf(name: string, files: Readonly<Record<string, string>>): Promise<string> {
  for (const [file, text] of Object.entries(files)) {
    const path = join(place, name, file);
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, text);
  }
  return join(place, name);
}

/**
 * What says where a row stands, and what a network keeps of the order of a study's arms: contrasts with the arm met first,
 * the same model whichever that is.
 */
const placeKeys = new Set([
  ...['rows', 'row', 'provenance', 'review', 'sources', 'code', 'html', 'merged'],
  ...['solution', 'values', 'covariance'],
]);

/** Every number and every text of a result by the keys that lead to it, whatever the order of lists and of names in a list. */
function leaves(value: unknown, path = '', found = new Map<string, (number | string)[]>()) {
  if (Array.isArray(value)) for (const each of value) leaves(each, path, found);
  else if (typeof value === 'object' && value !== null) {
    for (const [key, each] of Object.entries(value))
      if (!placeKeys.has(key)) leaves(each, `${path}.${key}`, found);
  } else {
    const leaf =
      typeof value === 'number'
        ? value
        : String(value)
            .replace(/\(line \d+\)/g, '')
            .split(/[\s,;.:|]+/)
            .sort()
            .join(' ');
    found.set(path, [...(found.get(path) ?? []), leaf]);
  }
  return found;
}

const inOrder = (found: readonly (number | string)[]): (number | string)[] =>
  [...found].sort((a, b) =>
    typeof a === 'number' && typeof b === 'number' ? a - b : String(a) < String(b) ? -1 : 1,
  );

/** Values that differ by more than the rounding of sums taken in another order. */
function differences(given: unknown, other: unknown): string[] {
  const [one, two] = [leaves(given), leaves(other)];
  return [...new Set([...one.keys(), ...two.keys()])].flatMap((path) => {
    const [a, b] = [inOrder(one.get(path) ?? []), inOrder(two.get(path) ?? [])];
    if (a.length !== b.length) return [`${path}: ${a.length} and ${b.length} values`];
    return a.flatMap((value, i) => {
      const same =
        typeof value === 'number' && typeof b[i] === 'number'
          ? Math.abs(value - b[i]) <= 1e-6 * Math.max(1e-3, Math.abs(value))
          : value === b[i];
      return same ? [] : [`${path}: ${value} and ${b[i]}`];
    });
  });
}

const files = demoFiles();
const other = shuffled(files, 11);

describe('the order of the rows in the sheets changes no result', async () => {
  const folders = [await folderOf('given', files), await folderOf('shuffled', other)];

  // One that once took the first arm met, and one that compares sites in every way; each as a person runs it.
  it.each(['moderators', 'site-against-site'])('of the page %s', { timeout: 120_000 }, async (name) => {
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
      auditReview(readReview(sheets).review!).findings.map(({ counts, verdict }) => ({ counts, verdict })),
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
