import { describe, expect, it } from 'vitest';
import { CommandLineProblem, readCommandLine } from '../../src/publishing/commandLine.ts';

describe('readCommandLine', () => {
  it.each([
    [[], { folder: 'data-extraction/demo', out: 'out/demo', task: 'run' }],
    [['mine'], { folder: 'mine', out: 'out/mine', task: 'run' }],
    [['--check', 'mine'], { folder: 'mine', out: 'out/mine', task: 'check' }],
    [['mine', '--check'], { folder: 'mine', out: 'out/mine', task: 'check' }],
    [['mine', '--out', 'pages'], { folder: 'mine', out: 'pages', task: 'run' }],
    [['--out=pages'], { folder: 'data-extraction/demo', out: 'pages', task: 'run' }],
    [['--help', '--check'], { folder: 'data-extraction/demo', out: 'out/demo', task: 'help' }],
    [['--check-companions'], { folder: 'data-extraction/demo', out: 'out/demo', task: 'check-companions' }],
  ])('reads %j', (words, expected) => {
    expect(readCommandLine(words)).toEqual(expected);
  });

  it.each([
    [['--chekc'], 'unknown flag --chekc. Did you mean --check? Known flags: --check, --help, '],
    [['-v'], 'unknown flag -v.'],
    [['--verbose=1'], 'unknown flag --verbose.'],
    [['--check=yes'], 'unknown flag --check'],
    [['a', 'b'], 'one folder at a time: both a and b were given'],
    [['--out'], '--out needs a folder'],
    [['--out', '--check'], '--out needs a folder'],
    [['--check', '--write-companions'], '--check and --write-companions cannot go together'],
    [['--check-companions', 'mine'], '--check-companions always runs data-extraction/demo; leave mine out'],
  ])('refuses %j', (words, message) => {
    expect(() => readCommandLine(words)).toThrow(CommandLineProblem);
    expect(() => readCommandLine(words)).toThrow(message);
  });
});
