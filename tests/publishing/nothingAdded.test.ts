// Neither a review that starts from the template nor the demonstration adds anything to a cell: events nobody saw are not
// counted. The amount moves rare rates upwards (Sweeting MJ, Sutton AJ, Lambert PC. Stat Med 2004;23:1351-1375).
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
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
