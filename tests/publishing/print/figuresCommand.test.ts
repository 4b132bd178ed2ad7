// npm run figures as a person runs it.
import {
  cpSync,
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
import { parseHTML } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
import { figuresHelp, readFiguresCommandLine } from '../../../src/publishing/print/figuresCommandLine.ts';
import { pngResolution } from '../../../src/publishing/print/pngWithResolution.ts';
import { projectRoot, runScript } from '../helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-figures-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const figures = (...words: string[]) => runScript('src/publishing/print/figures.ts', words);

describe('what it can be asked', () => {
  it('without words: the demo at two columns, every format, 300 dpi', () => {
    expect(readFiguresCommandLine([])).toEqual({
      task: 'run',
      folder: 'data-extraction/demo',
      out: 'out/demo/figures',
      widths: ['190mm'],
      dotsPerInch: 300,
      formats: ['svg', 'pdf', 'png'],
      outcome: undefined,
      only: undefined,
    });
  });

  it('lists, and values behind an equals sign', () => {
    expect(
      readFiguresCommandLine(['mine', '--width=90mm,190mm', '--format', 'pdf, png,pdf', '--dpi', '1000']),
    ).toMatchObject({
      folder: 'mine',
      widths: ['90mm', '190mm'],
      formats: ['pdf', 'png'],
      dotsPerInch: 1000,
    });
  });

  it.each([
    [['--widht', '90mm'], 'unknown flag --widht. Did you mean --width? Known flags: --width, --dpi, '],
    [['--width', '100mm'], '--width must be one of 90mm, 190mm, received 100mm'],
    [['--dpi', '72'], '--dpi must be one of 150, 300, 500, 600, 1000, 1200, received 72'],
    [['--format', 'svg,eps'], '--format must be one of svg, pdf, png, received eps'],
    [
      ['--only', 'pie'],
      '--only must be one of overview, forest, funnel, network, site-against-site, pairs, reporting, quality, flow',
    ],
    [['--out'], '--out needs a value, as in --out pages/figures'],
    [['--dpi', '300', '--dpi', '500'], '--dpi was given twice'],
    [['one', 'two'], 'one folder at a time: both one and two were given'],
  ])('%j is refused', (words, problem) => {
    expect(() => readFiguresCommandLine(words)).toThrow(problem);
  });

  it('the help names every flag', () => {
    for (const flag of ['--width', '--dpi', '--format', '--outcome', '--only', '--out', '--help'])
      expect(figuresHelp).toContain(flag);
  });
});

describe('a run', () => {
  const out = join(root, 'figures');

  it('writes each figure in each format, a list with legends, and the same as text', async () => {
    const { code, out: said } = await figures(
      ...['--outcome', 'stiffness', '--only', 'forest', '--width', '90mm', '--dpi', '500', '--out', out],
    );
    expect(code).toBe(0);
    expect(said).toContain('4 figures as svg, pdf, png, with legends and alternative texts: ');
    const sites = ['subpectoral', 'suprapectoral', 'tenotomy', 'top-of-groove'];
    const expected = sites.flatMap((site) =>
      ['pdf', 'png', 'svg'].map((ending) => `forest-stiffness-${site}-90mm.${ending}`),
    );
    expect(
      readdirSync(out)
        .filter((file) => !file.startsWith('.'))
        .sort(),
    ).toEqual([...expected, 'index.html', 'legends.txt'].sort());
    const png = readFileSync(join(out, 'forest-stiffness-tenotomy-90mm.png'));
    expect([png.readUInt32BE(16), pngResolution(png)]).toEqual([1772, 19685]);
    expect(readFileSync(join(out, 'forest-stiffness-tenotomy-90mm.svg'), 'utf8')).toContain(
      'data:font/woff2',
    );
    const { document } = parseHTML(readFileSync(join(out, 'index.html'), 'utf8'));
    const links = [...document.querySelectorAll('a[href], img[src]')].map(
      (element) => element.getAttribute('href') ?? element.getAttribute('src') ?? '',
    );
    for (const link of links.filter((address) => !address.startsWith('#')))
      expect(existsSync(join(out, link)), link).toBe(true);
    const text = document.body.textContent ?? '';
    expect(text).toContain('Invented data.');
    expect(text).toContain('it is cut into 4 figures');
    expect(readFileSync(join(out, 'legends.txt'), 'utf8').match(/^Alternative text: ./gm)).toHaveLength(4);
  });

  it('an outcome the protocol does not have, sheets with errors, a folder of others: exit 1, nothing written', async () => {
    const unknown = await figures('--outcome', 'stifness', '--out', join(root, 'none'));
    expect(unknown.code).toBe(1);
    expect(unknown.err).toContain('--outcome must be one of cosmetic-deformity, ');
    const broken = join(root, 'broken');
    cpSync(join(projectRoot, 'data-extraction/demo'), broken, { recursive: true });
    const events = join(broken, 'events.csv');
    writeFileSync(events, `${readFileSync(events, 'utf8')}nonsense\n`);
    const spoilt = await figures(broken, '--out', join(root, 'none'));
    expect(spoilt.code).toBe(1);
    expect(spoilt.err).toMatch(/events\.csv:\d+/);
    expect(spoilt.err).toContain('Nothing was written.');
    expect(existsSync(join(root, 'none'))).toBe(false);
    const others = join(root, 'others');
    mkdirSync(others);
    writeFileSync(join(others, 'thesis.txt'), 'years of work');
    const refused = await figures(
      ...['--outcome', 'stiffness', '--only', 'funnel', '--format', 'svg', '--out', others],
    );
    expect(refused.code).toBe(1);
    expect(refused.err).toContain('holds files that no run of tenosite wrote');
    expect(readdirSync(others)).toEqual(['thesis.txt']);
  });
});
