import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import JSZip from 'jszip';
import { DOMParser } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
import { compareVersions } from '../../src/changes/compareVersions.ts';
import { readChangesCommandLine } from '../../src/publishing/changes/changesCommandLine.ts';
import { changesFiles, documentOfChanges } from '../../src/publishing/changes/changesFiles.ts';
import { openVersion } from '../../src/publishing/changes/openVersion.ts';
import { previousFolder } from '../../src/publishing/changes/previousVersion.ts';
import { readSavedAnswers } from '../../src/publishing/changes/savedAnswers.ts';
import { CommandLineProblem } from '../../src/publishing/commandLine.ts';
import { smallReview } from '../extraction/smallReview.ts';
import { projectRoot, runScript } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-changes-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const write = (folder: string, files: Readonly<Record<string, string>>): string => {
  mkdirSync(folder, { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
};
const changes = (...words: string[]) => runScript('src/publishing/changes/changes.ts', words);
const sound = async (named: string) => (await openVersion(named)).version!;
const later = {
  ...smallReview,
  'events.csv': smallReview['events.csv']!.replace('24,4,38,10.5', '24,6,38,'),
};

describe('openVersion', () => {
  const repository = join(root, 'repository');
  const git = (...words: string[]) =>
    execFileSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@t', ...words], {
      cwd: repository,
      stdio: ['ignore', 'pipe', 'ignore'],
      encoding: 'utf8',
    }).trim();
  write(join(repository, 'reviews/mine'), smallReview);
  git('init', '--quiet');
  git('add', '.');
  git('commit', '--quiet', '-m', 'one');
  git('tag', 'v1');
  write(join(repository, 'reviews/mine'), later);
  git('commit', '--quiet', '-am', 'two');

  it('reads a folder as git holds it at a revision, and leaves what is checked out alone', async () => {
    const mine = join(repository, 'reviews/mine');
    const before = await sound(`${mine}@v1`);
    const after = await sound(mine);
    const report = compareVersions(before, after, { certainty: 'none' });
    const found = report.changes.cells.map(({ file, heading, placeAfter }) => [
      file,
      heading,
      placeAfter.line,
    ]);
    expect(found).toEqual([
      ['events.csv', 'events', 2],
      ['events.csv', 'percent', 2],
    ]);
    expect(readFileSync(join(mine, 'events.csv'), 'utf8')).toBe(later['events.csv']);
    expect(git('status', '--porcelain')).toBe('');
    expect((await sound(`${mine}@HEAD~1`)).review.events[0]?.events).toBe(4);
  });

  it('reads a folder that is gone, from the repository around it', async () => {
    git('mv', 'reviews/mine', 'reviews/renamed');
    git('commit', '--quiet', '-m', 'three');
    const gone = join(repository, 'reviews/mine');
    expect(existsSync(gone)).toBe(false);
    expect((await sound(`${gone}@v1`)).review.protocol.title).toBe('Small review');
  });

  it('says plainly what is not there', async () => {
    const mine = join(repository, 'reviews/renamed');
    await expect(openVersion(join(root, 'nowhere'))).rejects.toThrow('there is no folder');
    await expect(openVersion(`${mine}@v9`)).rejects.toThrow('has no revision v9');
    await expect(openVersion(`${mine}@--help`)).rejects.toThrow('has no revision --help');
    await expect(openVersion(`${join(repository, 'never')}@v1`)).rejects.toThrow(
      /no folder .*never with sheets/,
    );
    const outside = write(join(root, 'outside'), smallReview);
    const inGit = spawnSync('git', ['rev-parse', '--git-dir'], { cwd: outside }).status === 0;
    if (!inGit) await expect(openVersion(`${outside}@v1`)).rejects.toThrow('is not in a git repository');
  });

  it('takes a folder whose own name holds an @ as it is', async () => {
    const odd = write(join(root, 'mine@home'), smallReview);
    expect((await sound(odd)).review.protocol.title).toBe('Small review');
  });
});

describe('previousFolder', () => {
  it('is the one the protocol names, else "previous", else none', async () => {
    const folder = write(join(root, 'mine'), smallReview);
    const { review } = await sound(folder);
    expect(previousFolder(review, folder)).toBeUndefined();
    mkdirSync(join(folder, 'previous'));
    expect(previousFolder(review, folder)).toBe(join(folder, 'previous'));
    const named = { protocol: { ...review.protocol, previousVersion: '../older' } };
    expect(previousFolder(named, folder)).toBe(join(root, 'older'));
  });
});

describe('readChangesCommandLine', () => {
  it('reads versions, folder and saved numbers', () => {
    const none = { help: false, saved: undefined };
    expect(readChangesCommandLine([])).toEqual({
      ...none,
      before: undefined,
      after: 'data-extraction/demo',
      out: 'out/demo',
    });
    expect(readChangesCommandLine(['b'])).toEqual({ ...none, before: undefined, after: 'b', out: 'out/b' });
    expect(readChangesCommandLine(['a@v1', 'b', '--out=x', '--saved', 's.json'])).toEqual({
      help: false,
      before: 'a@v1',
      after: 'b',
      out: 'x',
      saved: 's.json',
    });
  });

  it.each([
    [['a', 'b', 'c'], 'two versions at most'],
    [['--out'], '--out needs a folder'],
    [['--sved', 'x'], 'unknown flag --sved. Known flags: --out, --saved, --help'],
  ])('refuses %j', (words, message) => {
    expect(() => readChangesCommandLine(words)).toThrow(CommandLineProblem);
    expect(() => readChangesCommandLine(words)).toThrow(message);
  });
});

describe('npm run changes', () => {
  it('writes the four files, and a broken version writes none and names every problem', async () => {
    const out = join(root, 'out');
    const first = write(join(root, 'first'), smallReview);
    const second = write(join(root, 'second'), later);
    const made = await changes(first, second, '--out', out);
    expect(made.err.replace(/^(?:comparing|writing) .*\n/gm, '')).toBe('');
    expect(made.code).toBe(0);
    expect(made.out).toContain('2 cells changed');
    for (const name of ['changes.docx', 'changes.html', 'changes.md', 'changes.json'])
      expect(existsSync(join(out, name)), name).toBe(true);
    // The same file says what the software moved: nothing, since it is this software.
    const saved = readSavedAnswers(join(out, 'changes.json'), await sound(second));
    const again = compareVersions(await sound(second), await sound(first), { saved, certainty: 'none' });
    const parts = again.answers.flatMap(({ split }) => split?.parts ?? []);
    const software = parts.filter(({ cause }) => cause === 'software');
    expect(software.length).toBeGreaterThan(3);
    expect(software.every(({ value }) => value === 0)).toBe(true);
    await expect(async () => readSavedAnswers(join(out, 'changes.json'), await sound(first))).rejects.toThrow(
      'made from other data or rules',
    );

    const broken = write(join(root, 'broken'), {
      ...smallReview,
      'events.csv': smallReview['events.csv']!.replace('24,4,38', '24,four,38').replace(
        '24,0,40',
        '24,0,-40',
      ),
    });
    const never = join(root, 'never');
    const failed = await changes(broken, second, '--out', never);
    expect(failed.code).toBe(1);
    expect(failed.err).toMatch(/broken: events\.csv:2:\d+ error: events is "four"/);
    expect(failed.err).toMatch(/broken: events\.csv:3:\d+ error: eligible_shoulders is "-40"/);
    expect(failed.err).toContain('Nothing was written.');
    expect(existsSync(never)).toBe(false);
  });
});

describe('the document', () => {
  const demo = async () => {
    const [before, after] = [
      await sound(join(projectRoot, 'data-extraction/demo-2025')),
      await sound(join(projectRoot, 'data-extraction/demo')),
    ];
    return compareVersions(before, after);
  };

  it('answers on its first page, opens as Word, and that page fits one sheet where LibreOffice can tell', async () => {
    const report = await demo();
    const { blocks } = documentOfChanges(report);
    const pageBreak = blocks.findIndex(({ kind }) => kind === 'page-break');
    expect(blocks[0]).toEqual({ kind: 'heading', level: 1, text: 'Does our recommendation still stand?' });
    expect(blocks[1]).toMatchObject({ emphasis: 'lead', text: report.headline[0] });
    expect(blocks.slice(0, pageBreak).filter(({ kind }) => kind === 'table')).toHaveLength(2);

    const files = await changesFiles(report);
    const docx = files.find(({ path }) => path === 'changes.docx')!.content as Uint8Array;
    const zip = await JSZip.loadAsync(docx);
    const xml = await zip.file('word/document.xml')!.async('string');
    expect(
      new DOMParser().parseFromString(xml, 'text/xml').querySelectorAll('w\\:tbl, tbl').length,
    ).toBeGreaterThan(6);
    for (const words of ['Does our recommendation still stand?', 'Stellamar 2024', 'Zennmark 2019'])
      expect(xml).toContain(words);
    const html = files.find(({ path }) => path === 'changes.html')!.content as string;
    expect(html).toContain(report.headline[0]);
    expect(html).toContain('Invented data');

    if (spawnSync('soffice', ['--version']).status !== 0 || spawnSync('pdftotext', ['-v']).status !== 0)
      return;
    writeFileSync(join(root, 'changes.docx'), docx);
    const profile = `-env:UserInstallation=file://${join(root, 'office')}`;
    spawnSync('soffice', [profile, '--headless', '--convert-to', 'pdf', 'changes.docx'], { cwd: root });
    const page = (number: number) =>
      spawnSync('pdftotext', ['-f', String(number), '-l', String(number), 'changes.pdf', '-'], {
        cwd: root,
        encoding: 'utf8',
      }).stdout;
    expect(page(1)).toContain('Does our recommendation still stand?');
    expect(page(1).replace(/\s+/g, ' ')).toContain('Waiting: 2 reports found and not yet taken in.');
    expect(page(2)).toContain('Details');
  });

  it('of identical versions says so and is short', async () => {
    const folder = write(join(root, 'same'), smallReview);
    const report = compareVersions(await sound(folder), await sound(folder), { certainty: 'none' });
    const { blocks } = documentOfChanges(report);
    expect(blocks[0]).toMatchObject({ text: 'Nothing changed' });
    expect(blocks.some(({ kind }) => kind === 'table' || kind === 'figure')).toBe(false);
  });

  it('shows hostile text as the characters it is made of', async () => {
    const label = '<img src=x onerror=alert(1)>|**b**';
    const folder = write(join(root, 'hostile'), {
      ...later,
      'studies.csv': `${smallReview['studies.csv']}dora-2021,"${label}",2021,,primary,case series,,\n`,
      'flow.csv': '',
    });
    rmSync(join(folder, 'flow.csv'));
    cpSync(join(folder, 'studies.csv'), join(folder, 'copy.txt'));
    const report = compareVersions(await sound(write(join(root, 'plain'), smallReview)), await sound(folder));
    const files = await changesFiles(report);
    const text = (path: string) => files.find((file) => file.path === path)!.content as string;
    expect(text('changes.html')).toContain('&lt;img src=x');
    expect(text('changes.html')).not.toContain('<img');
    expect(text('changes.md')).not.toMatch(/(?<!\\)<img/);
    expect(report.changes.studiesAdded[0]?.label).toBe(label);
  });
});
