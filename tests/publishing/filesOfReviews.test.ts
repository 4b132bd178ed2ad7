// Where runs write, and what they never delete: as a person meets it, in a folder of their own with two reviews.
import { spawn } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { filesUnder } from '../../src/publishing/writeFiles.ts';
import { projectRoot } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-files-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const at = (path: string): string => join(root, path);
const text = (path: string): string =>
  existsSync(at(path)) ? readFileSync(at(path), 'utf8') : `there is no ${path}`;
const write = (path: string, content: string): void => {
  mkdirSync(dirname(at(path)), { recursive: true });
  writeFileSync(at(path), content);
};

/** Runs a command of the project in the folder of this test, where the only notebook is a small one. */
function run(script: string, ...words: readonly string[]): Promise<{ code: number | null; said: string }> {
  const tsx = import.meta.resolve('tsx');
  const child = spawn(process.execPath, ['--import', tsx, join(projectRoot, script), ...words], {
    cwd: root,
  });
  let said = '';
  child.stdout.on('data', (data) => (said += String(data)));
  child.stderr.on('data', (data) => (said += String(data)));
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => resolve({ code, said }));
  });
}
const start = (...words: readonly string[]) => run('src/publishing/start.ts', ...words);
const slide = (...words: readonly string[]) =>
  run('src/publishing/talk/talk.ts', '--slide', 'stiffness', ...words);
const figures = (...words: readonly string[]) =>
  run('src/publishing/print/figures.ts', '--only', 'flow', '--format', 'svg', ...words);

const demo = join(projectRoot, 'data-extraction/demo');
const retitled = (folder: string, title: string): void => {
  const path = join(folder, 'protocol.json');
  writeFileSync(path, JSON.stringify({ ...JSON.parse(readFileSync(path, 'utf8')), title }));
};

beforeAll(() => {
  const notebook = readFileSync(
    join(projectRoot, 'tests/publishing/fixtures/notebooks/attribution.ts'),
    'utf8',
  );
  const index = JSON.stringify(join(projectRoot, 'src/index.ts'));
  write('package.json', '{ "type": "module" }');
  write('notebooks/one.ts', notebook.replace(/'(?:\.\.\/)+src\/index\.ts'/g, index));
  for (const folder of ['data-extraction/demo', 'data-extraction/mine', 'elsewhere/mine'])
    cpSync(demo, at(folder), { recursive: true });
  retitled(at('data-extraction/mine'), 'Mine');
  retitled(at('elsewhere/mine'), 'The other of that name');
});

describe('each review has its folder', () => {
  it('the demo out/demo, another out/ and its name; neither run touches the files of the other', async () => {
    const [mine, shown] = [await start('data-extraction/mine'), await slide('data-extraction/mine')];
    expect([mine.code, shown.code]).toEqual([0, 0]);
    expect(text('out/mine/index.html')).toContain('Mine');
    expect(mine.said).toContain('Pages: out/mine/index.html');
    expect(shown.said).toContain('out/mine/slide-stiffness.pptx');
    const before = filesUnder(at('out/mine'));
    const bare = await start();
    expect(bare.code).toBe(0);
    expect(text('out/demo/index.html')).toContain('invented demonstration review');
    expect(filesUnder(at('out/mine'))).toEqual(before);
    expect(existsSync(at('out/index.html'))).toBe(false);
  }, 120_000);

  it('two of one name at different places: the second gets the next name, every time and from every command', async () => {
    const before = filesUnder(at('out/mine'));
    const second = await start('elsewhere/mine');
    const drawn = await figures('elsewhere/mine');
    expect([second.code, drawn.code]).toEqual([0, 0]);
    expect(text('out/mine-2/index.html')).toContain('The other of that name');
    expect(existsSync(at('out/mine-2/figures/index.html'))).toBe(true);
    expect(filesUnder(at('out/mine'))).toEqual(before);
    expect((await start('data-extraction/mine')).said).toContain('Pages: out/mine/index.html');
  }, 120_000);

  it('a folder named with --out that is of another review is refused, and that review is named', async () => {
    const before = filesUnder(at('out/mine'));
    for (const command of [start, slide]) {
      const { code, said } = await command('data-extraction/demo', '--out', 'out/mine');
      expect(code).toBe(1);
      expect(said).toContain('out/mine holds what was made from data-extraction/mine; name another folder');
    }
    expect(filesUnder(at('out/mine'))).toEqual(before);
  }, 120_000);

  it('a review that was renamed away leaves its folder to the one that has its name now', async () => {
    cpSync(demo, at('data-extraction/moved'), { recursive: true });
    expect((await start('data-extraction/moved')).code).toBe(0);
    renameSync(at('data-extraction/moved'), at('data-extraction/other'));
    cpSync(at('data-extraction/other'), at('elsewhere/moved'), { recursive: true });
    expect((await start('elsewhere/moved')).said).toContain('Pages: out/moved/index.html');
  }, 120_000);
});

describe('nothing a person made is deleted', () => {
  it('a new run with other sheets keeps edited files, copies, notes and the products of every command', async () => {
    const folder = at('data-extraction/kept');
    cpSync(demo, folder, { recursive: true });
    const [out, elsewhere] = ['pages/kept', ['--out', 'pages/kept']] as const;
    for (const command of [start, slide]) expect((await command(folder, ...elsewhere)).code).toBe(0);
    expect((await figures(folder, '--out', `${out}/figures`)).code).toBe(0);
    write(`${out}/slide-stiffness for Thursday.pptx`, 'an edited copy');
    write(`${out}/figures/my notes.txt`, 'notes');
    write(`${out}/manuscript/manuscript.docx`, 'years of work');
    write(`${out}/slide-stiffness.svg`, 'drawn over');
    write(`${out}/one.json`, 'edited by hand');
    retitled(folder, 'With other words');
    const again = await start(folder, ...elsewhere);
    expect(again.code).toBe(0);
    expect(text(`${out}/index.html`)).toContain('With other words');
    expect(text(`${out}/slide-stiffness for Thursday.pptx`)).toBe('an edited copy');
    expect(text(`${out}/figures/my notes.txt`)).toBe('notes');
    expect(text(`${out}/manuscript/manuscript.docx`)).toBe('years of work');
    expect(text(`${out}/slide-stiffness.svg`)).toBe('drawn over');
    expect(existsSync(at(`${out}/slide-stiffness.pptx`))).toBe(true);
    expect(existsSync(at(`${out}/figures/index.html`))).toBe(true);
    // What was in the way stands under another name, and the run says which.
    expect(text(`${out}/one.edited-1.json`)).toBe('edited by hand');
    expect(JSON.parse(text(`${out}/one.json`)).review.title).toBe('With other words');
    expect(again.said).toContain(`Kept: ${out}/one.json`);
    expect(again.said).toContain(`${out}/one.edited-1.json`);
    // The product made from the earlier sheets is told apart.
    expect(text(`${out}/index.html`)).toContain('figures/index.html was made from other sheets or rules');

    const drawn = await slide(folder, ...elsewhere);
    expect(text(`${out}/slide-stiffness.edited-1.svg`)).toBe('drawn over');
    expect(drawn.said).toContain(`${out}/slide-stiffness.edited-1.svg`);
    const figured = await figures(folder, '--out', `${out}/figures`);
    expect(figured.code).toBe(0);
    expect(text(`${out}/figures/my notes.txt`)).toBe('notes');
    expect(text(`${out}/one.edited-1.json`)).toBe('edited by hand');
    // A second edit gets the next name.
    write(`${out}/one.json`, 'edited again');
    expect((await start(folder, ...elsewhere)).code).toBe(0);
    expect(text(`${out}/one.edited-2.json`)).toBe('edited again');
    expect(text(`${out}/one.edited-1.json`)).toBe('edited by hand');
  }, 240_000);

  it('what a run wrote, nobody changed and no run writes any more is removed; what version 0.1 left is not', async () => {
    write('out/index.html', 'a page of 0.1');
    write('out/.tenosite-pages', 'Pages written by tenosite; replaced by the next run.\n');
    write('out/talk.pptx', 'slides of 0.1');
    write('notebooks/two.ts', text('notebooks/one.ts'));
    expect((await start()).code).toBe(0);
    expect(existsSync(at('out/demo/two.html'))).toBe(true);
    rmSync(at('notebooks/two.ts'));
    write('out/demo/two.json', 'edited by hand');
    expect((await start()).code).toBe(0);
    expect([existsSync(at('out/demo/two.html')), text('out/demo/two.json')]).toEqual([
      false,
      'edited by hand',
    ]);
    expect([text('out/index.html'), text('out/talk.pptx')]).toEqual(['a page of 0.1', 'slides of 0.1']);
  }, 120_000);

  it('files that stood in the folder before its first run are kept, whatever they are', async () => {
    cpSync(demo, at('data-extraction/first'), { recursive: true });
    write('out/first/index.html', 'a page of my own');
    write('out/first/trace.json/inside.txt', 'a folder where a file has to be');
    expect((await start('data-extraction/first')).code).toBe(0);
    expect(text('out/first/index.edited-1.html')).toBe('a page of my own');
    expect(text('out/first/trace.edited-1.json/inside.txt')).toBe('a folder where a file has to be');
    expect(text('out/first/index.html')).toContain('invented demonstration review');
  }, 120_000);
});

describe('npm run agreement --work-list', () => {
  it('keeps a work list somebody has filled in', async () => {
    const folders = ['first', 'second'].map((name) => join(demo, 'extractors', name));
    const list = 'work-list.csv';
    await run('src/publishing/agreement.ts', ...folders, '--work-list', list);
    const filled = `${text(list)}# my decisions\n`;
    write(list, filled);
    const { said } = await run('src/publishing/agreement.ts', ...folders, '--work-list', list);
    expect([text(list), text('work-list.edited-1.csv')].includes(filled)).toBe(true);
    expect(said).toContain('work-list.edited-1.csv');
  }, 60_000);
});
