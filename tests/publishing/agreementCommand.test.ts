import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readAgreementCommand, runAgreement } from '../../src/publishing/agreementRun.ts';

const demo = 'data-extraction/demo';
const [first, second] = [`${demo}/extractors/first`, `${demo}/extractors/second`];
const decisions = `${demo}/extractors/decisions.csv`;
let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'tenosite-agreement-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const run = (words: readonly string[]) => {
  const said: string[] = [];
  const complaints: string[] = [];
  const command = readAgreementCommand(words)!;
  const code = runAgreement(command, {
    say: (text) => said.push(text),
    complain: (text) => complaints.push(text),
  });
  return {
    code,
    said: said.join('\n'),
    complaints: complaints.filter((text) => text !== 'comparing …').join('\n'),
  };
};

describe('npm run agreement', () => {
  it('ends with 1 while something is to be settled, and writes the work list', () => {
    const list = join(folder, 'work-list.csv');
    const { code, said, complaints } = run([first, second, '--work-list', list]);
    expect([code, complaints]).toEqual([1, '']);
    expect(said).toContain('are to be settled');
    expect(readFileSync(list, 'utf8')).toContain('Taken from');
  });

  it('ends with 0 when all is decided, and writes a consensus that is the demo', () => {
    const target = join(folder, 'consensus');
    const { code, said } = run([first, second, '--decisions', decisions, '--write', target]);
    expect(code).toBe(0);
    expect(said).toContain('settle every disagreement');
    for (const file of ['studies.csv', 'arms.csv', 'events.csv', 'scores.csv', 'judgements.csv'])
      expect(readFileSync(join(target, file), 'utf8')).toBe(readFileSync(join(demo, file), 'utf8'));
    expect(() => run([first, second, '--decisions', decisions, '--write', target])).toThrow('is not empty');
  });

  it('writes nothing when a decision is missing', () => {
    const some = join(folder, 'some.csv');
    writeFileSync(some, readFileSync(decisions, 'utf8').split('\n').slice(0, -2).join('\n'));
    const target = join(folder, 'consensus');
    const { code, complaints } = run([first, second, '--decisions', some, '--write', target]);
    expect(code).toBe(1);
    expect(complaints).toContain('expected a decision about');
    expect(existsSync(target)).toBe(false);
  });

  it('ends with 2 for a folder that cannot be read, and says what words it knows', () => {
    expect(run([first, folder]).code).toBe(2);
    expect(() => run([first, join(folder, 'nowhere')])).toThrow('there is no folder');
    expect(() => readAgreementCommand([first])).toThrow('two folders are needed');
    expect(() => readAgreementCommand([first, second, '--out', 'x'])).toThrow('Known flags');
    expect(() => readAgreementCommand([first, second, '--decisions'])).toThrow('needs a file');
    expect(() => readAgreementCommand([first, second, '--write', 'x'])).toThrow('needs --decisions');
    expect(readAgreementCommand(['--help'])).toBeUndefined();
  });
});
