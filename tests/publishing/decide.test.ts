// The command that writes certainty.csv: nothing a person typed is lost, and it says what is open.
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readDecideCommand, runDecide } from '../../src/publishing/decideRun.ts';
import { trialOfGroovePain, withRows } from '../certainty/reviewsOfDecisions.ts';
import { projectRoot } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-decide-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const sheets = ['studies.csv', 'arms.csv', 'events.csv', 'judgements.csv'];

function copyOfDemo(name: string): string {
  const folder = join(root, name);
  cpSync(join(projectRoot, 'data-extraction/demo'), folder, { recursive: true });
  return folder;
}
const at = (folder: string, file = 'certainty.csv'): string => readFileSync(join(folder, file), 'utf8');
async function decide(folder: string, ...words: string[]) {
  const said: string[] = [];
  const complained: string[] = [];
  const code = await runDecide(readDecideCommand([folder, ...words])!, {
    say: (text) => said.push(text),
    complain: (text) => complained.push(text),
  });
  return { code, said, complained };
}

describe('npm run decide', () => {
  it('adds what is to be decided, keeps the former file, and a second run changes nothing', async () => {
    const folder = copyOfDemo('added');
    const typed = `# the panel's own notes, kept\n${at(folder).replace('panel', '"the ""panel"", all of it"')}`;
    writeFileSync(join(folder, 'certainty.csv'), typed);
    const first = await decide(folder);
    expect(first.code).toBe(0);
    expect(at(folder).startsWith(typed)).toBe(true);
    expect(at(folder, 'certainty.csv.former-1')).toBe(typed);
    expect(first.said.at(-1)).toBe('Every decision that was taken counts.');
    const after = at(folder);
    const second = await decide(folder);
    expect(second.said[0]).toContain('nothing to add, left as it was');
    expect(at(folder)).toBe(after);
    expect(readdirSync(folder).filter((name) => name.startsWith('certainty'))).toEqual([
      'certainty.csv',
      'certainty.csv.former-1',
    ]);
  });

  it('lists every decision to take again after a trial came in, and confirms none of them unasked', async () => {
    const folder = copyOfDemo('trial');
    const changed = withRows(
      Object.fromEntries(sheets.map((name) => [name, at(folder, name)])),
      trialOfGroovePain,
    );
    for (const [name, text] of Object.entries(changed)) writeFileSync(join(folder, name), text);
    const { code, said } = await decide(folder, '--confirm');
    expect(code).toBe(1);
    expect(said.filter((line) => /^certainty\.csv:\d+ groove-pain/.test(line))).toHaveLength(15);
    expect(said).toContainEqual(
      expect.stringMatching(
        /^certainty\.csv:\d+ groove-pain, top of groove against suprapectoral, risk of bias: taken on another body, non-randomised studies$/,
      ),
    );
    expect(said.at(-1)).toMatch(/^15 decisions on certainty must be taken again: /);
  });

  it('writes nothing while the files hold an error', async () => {
    const folder = copyOfDemo('error');
    const typed = at(folder).replace(',risk of bias,-1,', ',risk of bias,-9,');
    writeFileSync(join(folder, 'certainty.csv'), typed);
    const { code, complained } = await decide(folder);
    expect(code).toBe(2);
    expect(complained.join('\n')).toMatch(/certainty\.csv:2:\d+ error: levels is "-9"/);
    expect(at(folder)).toBe(typed);
  });

  it('says what it can be asked', () => {
    expect(readDecideCommand(['--help'])).toBeUndefined();
    expect(() => readDecideCommand([])).toThrow('name the folder of the review');
    expect(() => readDecideCommand(['a', '--confrim'])).toThrow('unknown flag --confrim');
    expect(() => readDecideCommand(['a', 'b'])).toThrow('one folder at a time');
  });
});
