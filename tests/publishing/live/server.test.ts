import {
  appendFileSync,
  cpSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readReview } from '../../../src/extraction/readReview.ts';
import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';
import { filesOf } from '../../../src/publishing/live/page/liveFacts.ts';
import { withContentSecurity } from '../../../src/publishing/liveServer/contentSecurity.ts';
import { readLiveCommandLine } from '../../../src/publishing/liveServer/liveCommandLine.ts';
import { readSource, scriptSafeJson } from '../../../src/publishing/liveServer/readSource.ts';
import { serveLive } from '../../../src/publishing/liveServer/serveLive.ts';
import { projectRoot, runScript } from '../helpers/runScript.ts';
import { demoFiles, demoFolder } from './demo.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-live-server-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const command = 'src/publishing/liveServer/live.ts';

/** Every file of the page, in the browser, and what it imports. */
const browserFiles = readdirSync(join(projectRoot, 'src/publishing/live'), {
  recursive: true,
  encoding: 'utf8',
})
  .filter((path) => path.endsWith('.ts'))
  .map((path) => [path, readFileSync(join(projectRoot, 'src/publishing/live', path), 'utf8')] as const);

describe('what the page is made of', () => {
  it.each(browserFiles)('%s asks nothing of Node and holds no statistics', (_, text) => {
    expect(text).not.toMatch(/from '(?:node:|linkedom)/);
    expect(text).not.toMatch(/\bMath\.(?:log|exp|sqrt|pow)\b|numerics\/(?!interval)/);
  });

  it('puts no text into markup but what the library has escaped', () => {
    const users = browserFiles.filter(([, text]) =>
      /innerHTML|outerHTML|insertAdjacentHTML|document\.write/.test(text),
    );
    expect(users.map(([path]) => path)).toEqual(['page/element.ts']);
    const callers = browserFiles.filter(([, text]) => /putMarkup\(/.test(text)).map(([path]) => path);
    expect(callers.sort()).toEqual(['page/element.ts', 'page/viewPart.ts']);
  });
});

describe('the style of the page', () => {
  it('names nothing that a figure names, so that it never paints over one', () => {
    const words = (text: string, pattern: RegExp) =>
      new Set([...text.matchAll(pattern)].map(([, word]) => word));
    const css = words(
      readFileSync(join(projectRoot, 'src/publishing/live/live.css'), 'utf8'),
      /\.([a-z][\w-]*)/g,
    );
    const figures = readdirSync(join(projectRoot, 'src/figures'), { recursive: true, encoding: 'utf8' })
      .filter((path) => path.endsWith('.ts'))
      .map((path) => readFileSync(join(projectRoot, 'src/figures', path), 'utf8'))
      .join('\n');
    const drawn = words(figures, /class(?:Name)?: '([a-z][\w-]*)'/g);
    expect(drawn.size).toBeGreaterThan(10);
    expect([...css].filter((word) => drawn.has(word))).toEqual([]);
  });
});

describe('the data in the page', () => {
  it('are the files byte for byte, also where one is no UTF-8', async () => {
    const folder = join(root, 'odd');
    cpSync(demoFolder, folder, { recursive: true });
    const bytes = Uint8Array.from([0x61, 0xe9, 0xff, 0x0a]);
    writeFileSync(join(folder, 'flow.csv'), bytes);
    const files = filesOf(JSON.parse(scriptSafeJson(await readSource(folder))));
    expect(files['flow.csv']).toEqual(bytes);
    expect(files['events.csv']).toBe(demoFiles()['events.csv']);
  });

  it('give the same problems as the check of the folder', async () => {
    const { problems } = readReview(filesOf(await readSource(demoFolder)));
    expect(problems).toEqual((await readReviewFolder(demoFolder)).problems);
  });

  it('cannot end the element they stand in', () => {
    const hostile = { a: '</script><!--<script>\u2028&' };
    expect(scriptSafeJson(hostile)).not.toMatch(/[<>&\u2028]/);
    expect(JSON.parse(scriptSafeJson(hostile))).toEqual(hostile);
  });

  it('the rule of the page names the hash of its script, and refuses a script from outside', () => {
    // From `printf 'go()' | openssl dgst -sha256 -binary | openssl base64`.
    expect(withContentSecurity('<meta charset="utf-8"><script type="module">go()</script>')).toContain(
      "script-src 'sha256-5KYv+PUboo5h+0+YAtGRPbwv5d/QxzHslP4YGnUaxRw='",
    );
    expect(() => withContentSecurity('<script src="x.js"></script>')).toThrow('outside');
    expect(() => withContentSecurity('<p></p>')).toThrow('no script');
  });
});

describe('npm run live:build', () => {
  it('says what is wrong with a folder and writes nothing', async () => {
    const folder = join(root, 'wrong');
    cpSync(demoFolder, folder, { recursive: true });
    appendFileSync(join(folder, 'studies.csv'), 'broken\n');
    const { code, err } = await runScript(command, ['--build', folder, '--out', join(root, 'out/live.html')]);
    expect(code).toBe(1);
    expect(err).toMatch(/studies\.csv:\d+:\d+ error: /);
    expect(err).toContain('Nothing was written.');
    expect(readdirSync(root)).not.toContain('out');
  });

  it.each([
    [['a', 'b'], 'one folder at a time: both a and b were given'],
    [['--port', 'x'], '--port needs a whole number from 1 to 65535, received x'],
    [['--colour'], "Unknown option '--colour'"],
  ])('%j is answered in words', (words, answer) => {
    expect(() => readLiveCommandLine(words)).toThrow(answer);
  });

  it('takes the demo unless told otherwise', () => {
    expect(readLiveCommandLine([])).toEqual({
      task: 'serve',
      folder: 'data-extraction/demo',
      out: 'out/demo/live.html',
      port: 5180,
    });
    expect(readLiveCommandLine(['--build', 'data-extraction/mine', '--out', 'x.html'])).toMatchObject({
      task: 'build',
      folder: 'data-extraction/mine',
      out: 'x.html',
    });
  });

  it('refuses a folder that is not there', async () => {
    await expect(serveLive(join(root, 'nowhere'))).rejects.toThrow(/^there is no folder .*nowhere$/);
  });
});
