import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { filesUnder } from '../../src/publishing/writeFiles.ts';
import { projectRoot, runScript, start } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-start-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const demo = 'data-extraction/demo';
const fixtures = 'tests/publishing/fixtures';
const startIn = (notebooks: string, ...words: string[]) =>
  runScript('tests/publishing/helpers/startIn.ts', [notebooks, join(root, 'companions'), ...words]);

describe('npm start', () => {
  it('--help names every flag and ends with 0', async () => {
    const { code, out } = await start('--help');
    expect(code).toBe(0);
    for (const flag of ['--check', '--out', '--write-companions', '--check-companions', '--help']) {
      expect(out).toContain(flag);
    }
  });

  it('an unknown flag ends with 1 and names the known ones', async () => {
    const { code, err } = await start('--chek');
    expect(code).toBe(1);
    expect(err).toContain('unknown flag --chek. Did you mean --check? Known flags: --check, ');
  });

  it('a folder that is not there, or is a file, ends with 1 and one plain sentence', async () => {
    const missing = await start('data-extraction/nowhere');
    expect(missing).toMatchObject({ code: 1, out: '', err: 'there is no folder data-extraction/nowhere\n' });
    const file = await start('package.json');
    expect(file.code).toBe(1);
    expect(file.err).toBe(
      'package.json is a file; name the folder that holds protocol.json and the sheets\n',
    );
  });

  it('--check reads the files, says what it found and writes nothing', async () => {
    const { code, out } = await start('--check', demo, '--out', join(root, 'checked'));
    expect(code).toBe(0);
    expect(out).toMatch(/^data-extraction\/demo: 0 errors, \d+ warnings?\n$/);
    expect(existsSync(join(root, 'checked'))).toBe(false);
  });

  it('files with errors: all of them at once, exit 1, nothing written', async () => {
    const broken = join(root, 'broken');
    cpSync(join(projectRoot, demo), broken, { recursive: true });
    const events = readFileSync(join(broken, 'events.csv'), 'utf8').split('\n');
    const headings = events[0]?.split(',') ?? [];
    const spoil = (line: number, heading: string, text: string) => {
      const cells = events[line - 1]?.split(',') ?? [];
      cells[headings.indexOf(heading)] = text;
      events[line - 1] = cells.join(',');
    };
    spoil(2, 'events', 'twelve');
    spoil(3, 'eligible_shoulders', '-3');
    writeFileSync(join(broken, 'events.csv'), events.join('\n'));
    const { code, out, err } = await start(broken, '--out', join(root, 'never'));
    expect(code).toBe(1);
    expect(err).toMatch(/events\.csv:2:\d+ error: events is "twelve"/);
    expect(err).toMatch(/events\.csv:3:\d+ error: eligible_shoulders is "-3"/);
    expect(err).toContain('Nothing was written.');
    expect(out).toBe('');
    expect(existsSync(join(root, 'never'))).toBe(false);
  });

  it('a notebook that stops names its cell and line; the others are tried; it has no page, and the exit code is 1', async () => {
    const out = join(root, 'stopped');
    const { code, err } = await startIn(`${fixtures}/failing`, demo, '--out', out);
    expect(code).toBe(1);
    expect(err).toContain('notebook throws stopped in cell 4 ("The cell that stops"), line 15: TypeError: ');
    expect(err).toContain(
      'notebook claims stopped in cell 2 ("A notebook whose claim does not hold"), line 8: ' +
        'ClaimFailed: claim does not hold: Two is more than three.',
    );
    expect([...filesUnder(out).keys()].sort()).toEqual([
      '.tenosite-pages',
      'answers.json',
      'index.html',
      'trace.html',
      'trace.json',
    ]);
  });

  it('a notebook run by itself that stops says so alike and writes nothing', async () => {
    const out = join(root, 'stopped-alone');
    const { code, err } = await runScript(`${fixtures}/failing/throws.ts`, ['--out', out]);
    expect(code).toBe(1);
    expect(err).toContain('notebook throws stopped in cell 4 ("The cell that stops"), line 15: TypeError: ');
    expect(existsSync(out)).toBe(false);
  });

  it('a notebook without its outcome is left out with the reason', async () => {
    const out = join(root, 'skipped');
    const ended = await startIn(`${fixtures}/skipping`, demo, '--out', out);
    expect(ended.code).toBe(0);
    expect(ended.out).toContain(
      'Left out: skips: protocol.json has no outcome "levitation" counted as events',
    );
    expect([...filesUnder(out).keys()].sort()).toEqual([
      '.tenosite-pages',
      'answers.json',
      'index.html',
      'trace.html',
      'trace.json',
    ]);
  });

  it('companions are written on request, found equal, and a change is named', async () => {
    const companions = join(root, 'companions');
    const written = await startIn(`${fixtures}/notebooks`, '--write-companions');
    expect(written.code).toBe(0);
    const text = filesUnder(companions).get('attribution.md') ?? '';
    expect(text).toContain('![7](attribution/figure.svg)');
    expect(text).not.toContain(process.versions.node);
    const same = await startIn(`${fixtures}/notebooks`, '--check-companions');
    expect(same.code).toBe(0);
    writeFileSync(join(companions, 'attribution/figure.svg'), '<svg/>');
    writeFileSync(join(companions, 'gone.md'), '# Gone');
    const changed = await startIn(`${fixtures}/notebooks`, '--check-companions');
    expect(changed.code).toBe(1);
    expect(changed.err).toContain('attribution/figure.svg differs from a fresh run');
    expect(changed.err).toContain('gone.md belongs to no notebook');
  });
});
