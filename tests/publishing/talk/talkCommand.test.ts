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
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { runTalk } from '../../../src/publishing/talk/runTalk.ts';
import { readTalkCommandLine, talkHelp } from '../../../src/publishing/talk/talkCommandLine.ts';
import { writeTalk } from '../../../src/publishing/talk/writeTalk.ts';
import { demoFiles } from './reviews.ts';

describe('readTalkCommandLine', () => {
  it('reads folder and flags in any order, with and without an equals sign', () => {
    expect(
      readTalkCommandLine([
        '--outcome=revision',
        'mine',
        '--compare',
        'subpectoral,tenotomy',
        '--claim',
        'A is B',
        '--out',
        'there',
      ]),
    ).toEqual({
      folder: 'mine',
      out: 'there',
      help: false,
      outcome: 'revision',
      compare: ['subpectoral', 'tenotomy'],
      claim: 'A is B',
      slide: undefined,
    });
    expect(readTalkCommandLine([])).toMatchObject({
      folder: 'data-extraction/demo',
      out: 'out/demo',
      outcome: undefined,
    });
  });

  it.each([
    [['--outcom', 'x'], 'unknown flag --outcom. Did you mean --outcome?'],
    [['--compare', 'elbow,tenotomy'], 'elbow is no site; the sites are top-of-groove'],
    [['--compare', 'tenotomy'], 'two different sites'],
    [['--compare', 'tenotomy,tenotomy'], 'two different sites'],
    [['--compare', 'tenotomy,'], 'a site is missing'],
    [['--claim'], '--claim needs a sentence in quotation marks'],
    [['--claim', '--out'], '--claim needs a sentence'],
    [['--out', 'a', '--out', 'b'], '--out was given twice'],
    [['a', 'b'], 'one folder at a time: both a and b'],
    [['--slide', 'revision', '--claim', 'x'], '--slide and --claim cannot go together'],
  ])('refuses %j', (words, message) => {
    expect(() => readTalkCommandLine(words)).toThrow(message);
  });

  it('names every flag in its help', () => {
    for (const flag of ['--outcome', '--compare', '--claim', '--slide', '--out', '--help'])
      expect(talkHelp).toContain(flag);
  });
});

describe('npm run talk', () => {
  let folder = '';
  const said = { out: [] as string[], err: [] as string[] };
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'talk-'));
    said.out = [];
    said.err = [];
    vi.spyOn(console, 'log').mockImplementation((line) => void said.out.push(String(line)));
    vi.spyOn(console, 'error').mockImplementation((line) => void said.err.push(String(line)));
    vi.spyOn(process.stderr, 'write').mockImplementation(() => true);
  });
  afterEach(() => {
    rmSync(folder, { recursive: true, force: true });
    vi.restoreAllMocks();
  });
  const asked = (words: readonly string[]) => readTalkCommandLine([...words, '--out', join(folder, 'out')]);
  const written = () =>
    existsSync(join(folder, 'out'))
      ? readdirSync(join(folder, 'out'), { recursive: true, encoding: 'utf8' })
          .map((path) => path.replaceAll('\\', '/'))
          .filter((path) => !path.startsWith('.tenosite-products'))
          .sort()
      : [];

  it('writes the presentation and every slide, and says what each slide says', async () => {
    expect(
      await runTalk(asked(['--outcome', 'nerve-injury', '--claim', 'No injury in my series: 0 of 40'])),
    ).toBe(0);
    const slides = said.out.filter((line) => /^ ?\d+ {2}/.test(line));
    expect(slides).toHaveLength(5);
    expect(written()).toEqual(
      [
        '.tenosite-pages',
        'talk',
        'talk.pptx',
        ...[1, 2, 3, 4, 5].flatMap((at) => [`talk/slide-0${at}.png`, `talk/slide-0${at}.svg`]),
      ].sort(),
    );
    const png = readFileSync(join(folder, 'out/talk/slide-01.png'));
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([1920, 1080]);
  });

  it('leaves no slide of a longer talk behind, and nothing else is touched', () => {
    const out = join(folder, 'out');
    const slide = (number: number) => ({ path: `talk/slide-0${number}.svg`, content: String(number) });
    writeTalk(out, [slide(1), slide(2)]);
    writeFileSync(join(out, 'talk/mine.txt'), 'kept');
    writeTalk(out, [slide(1)]);
    expect(written()).toEqual(['.tenosite-pages', 'talk', 'talk/mine.txt', 'talk/slide-01.svg'].sort());
  });

  it('puts one answer on one slide', async () => {
    expect(await runTalk(asked(['--slide', 'revision']))).toBe(0);
    expect(written()).toEqual([
      '.tenosite-pages',
      'slide-revision.png',
      'slide-revision.pptx',
      'slide-revision.svg',
    ]);
  });

  it('prints every problem of a bad folder and writes nothing', async () => {
    const bad = join(folder, 'bad');
    mkdirSync(bad);
    const files = demoFiles();
    const broken = files['events.csv']!.replace('norholt-2009,top-of-groove', 'nobody,top-of-groove').replace(
      ',136,1004,',
      ',1360,1004,',
    );
    for (const [name, text] of Object.entries({ ...files, 'events.csv': broken }))
      writeFileSync(join(bad, name), text);
    expect(await runTalk(asked([bad]))).toBe(1);
    expect(said.err.filter((line) => / error: /.test(line)).length).toBeGreaterThanOrEqual(2);
    expect(said.err.at(-1)).toMatch(/\d errors?\. Nothing was written\.$/);
    expect(written()).toEqual([]);
  });

  it('writes nothing for a sentence it does not understand or an outcome there is not', async () => {
    await expect(runTalk(asked(['--claim', 'Tenotomy is bad']))).rejects.toThrow('Sentences that are:');
    await expect(runTalk(asked(['--outcome', 'elbow']))).rejects.toThrow('cosmetic-deformity');
    await expect(runTalk(asked(['--slide', '../elbow']))).rejects.toThrow('received ../elbow');
    expect(written()).toEqual([]);
  });
});

describe('slides run in a browser', () => {
  const source = 'src/publishing/talk';
  // Where files go hangs on what stands there already, so that reading a command line needs Node, too.
  const forNode = ['writeTalk.ts', 'runTalk.ts', 'talk.ts', 'talkCommandLine.ts'];
  const importsOf = (file: string): readonly string[] =>
    [...readFileSync(file, 'utf8').matchAll(/from '([^']+)'|import\('([^']+)'\)/g)].map(
      ([, one, other]) => (one ?? other)!,
    );

  it('nothing that makes, lays out or draws a talk reaches for Node', () => {
    const seen = new Set<string>();
    const visit = (file: string): void => {
      if (seen.has(file)) return;
      seen.add(file);
      for (const from of importsOf(file)) {
        expect(from, file).not.toMatch(/^node:/);
        if (from.startsWith('.')) visit(join(file, '..', from));
      }
    };
    const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter(
      (path) => path.endsWith('.ts') && !forNode.includes(path),
    );
    expect(files.length).toBeGreaterThan(12);
    for (const file of files) visit(join(source, file));
  });
});
