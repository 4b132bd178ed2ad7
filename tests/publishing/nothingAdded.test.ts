// Neither a review that starts from the template nor the demonstration adds anything to a cell: events nobody saw are not
// counted. The amount moves rare rates upwards (Sweeting MJ, Sutton AJ, Lambert PC. Stat Med 2004;23:1351-1375).
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
import { answersOf } from '../../src/answers/answersOf.ts';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import { projectRoot, runScript } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-nothing-added-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const said =
  /\badded 0?\.\d|\b0?\.\d+ (was |were )?added|\badded to (both|all|each|the counts|arms)\b|half added/i;

describe('nothing is added to a cell', () => {
  it.each(['template', 'demo', 'demo-2025'])('by the protocol of %s', (folder) => {
    const { analysis } = JSON.parse(
      readFileSync(join(projectRoot, 'data-extraction', folder, 'protocol.json'), 'utf8'),
    );
    expect(analysis.zeroEvents).toBe('leave-out');
  });

  it.each(['demo', 'demo-2025'])('in any pool of rates or of comparisons of %s', async (folder) => {
    const { review } = await readReviewFolder(join(projectRoot, 'data-extraction', folder));
    let arms = 0;
    let bare = 0;
    for (const { id, kind } of review!.protocol.outcomes) {
      if (kind !== 'events') continue;
      for (const { pool } of answersOf(review!).counts(id).pools.sites) {
        for (const { study, addedToEachCell } of pool.twoStep.estimates)
          expect(addedToEachCell, `${id} ${study}`).toBe(0);
        arms += pool.arms.length;
        bare += pool.arms.filter(({ events, total }) => events === 0 || events === total).length;
        // On arcsines every arm has a value, so none is lost either.
        expect(pool.twoStep.estimates.length, id).toBe(pool.arms.length);
        expect(pool.methodsSentence).not.toMatch(said);
      }
    }
    let compared = 0;
    for (const { id, behind } of answersOf(review!).all())
      for (const { study, addedToEachCell } of behind.pair?.pool.estimates ?? []) {
        expect(addedToEachCell, `${id} ${study}`).toBe(0);
        compared += 1;
      }
    expect(compared).toBeGreaterThan(10);
    expect(bare).toBeGreaterThan(10);
    expect(arms).toBeGreaterThan(bare);
  });

  it.each(['revision', 'rare-events', 'manuscript-text'])(
    'and no word of the page %s says so',
    async (notebook) => {
      const folder = join(projectRoot, 'data-extraction/demo');
      const { code } = await runScript(`notebooks/${notebook}.ts`, [folder, '--out', root]);
      expect(code).toBe(0);
      const { document } = parseHTML(readFileSync(join(root, `${notebook}.html`), 'utf8'));
      for (const code of document.querySelectorAll('pre, script, style')) code.remove();
      const text = (document.body.textContent ?? '').replace(/\s+/g, ' ');
      expect(text).toMatch(/DerSimonian-Laird/);
      expect(said.exec(text)?.[0]).toBeUndefined();
    },
    60_000,
  );
});
