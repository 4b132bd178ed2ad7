import { distance } from 'fastest-levenshtein';
import { outFolderOf } from './writtenFiles.ts';

/** What a run was asked to do. */
export interface CommandLine {
  readonly folder: string;
  readonly out: string;
  readonly task: 'run' | 'check' | 'help' | 'write-companions' | 'check-companions';
}

export const defaultFolder = 'data-extraction/demo';
/** How help names the folder that {@link outFolderOf} gives. */
export const defaultOut = 'out/<review>';

const tasks = {
  '--check': 'check',
  '--help': 'help',
  '--write-companions': 'write-companions',
  '--check-companions': 'check-companions',
} as const;
const knownFlags = [...Object.keys(tasks), '--out'];

export const helpText = `tenosite: pooled rates by biceps fixation site, from extraction sheets to pages.

npm start                                read ${defaultFolder}, run every notebook, write pages to out/demo/
npm start -- data-extraction/mine        the same for your own folder, to out/mine/
npm start -- --check data-extraction/mine   only check the files
npm start -- data-extraction/mine --out pages/mine   write the pages somewhere else
npm run notebook -- notebooks/revision.ts data-extraction/mine   run one notebook

--check              check the files, write nothing
--out <folder>       where the pages go (default ${defaultOut}, by the name of the review's folder)
--write-companions  write docs/notebooks from the demo
--check-companions   compare docs/notebooks with a fresh run of the demo; exit 1 when they differ
--help               this text`;

/** A command line that cannot be followed, with what would be. */
export class CommandLineProblem extends Error {
  override readonly name = 'CommandLineProblem';
}

/**
 * Reads the words after `npm start --`.
 *
 * @throws {CommandLineProblem} for an unknown flag (naming the nearest and all known ones), a second
 *   folder, two tasks at once, or `--out` without a folder
 */
export function readCommandLine(words: readonly string[]): CommandLine {
  let folder: string | undefined;
  let out: string | undefined;
  const asked = new Set<CommandLine['task']>();
  const waiting = [...words];
  for (let word = waiting.shift(); word !== undefined; word = waiting.shift()) {
    const [flag = '', inline] = word.startsWith('--') ? splitFlag(word) : [];
    if (flag === '--out') {
      out = inline ?? waiting.shift();
      if (out === undefined || out === '' || out.startsWith('-')) {
        throw new CommandLineProblem('--out needs a folder, as in --out pages/mine');
      }
    } else if (flag in tasks && inline === undefined) {
      asked.add(tasks[flag as keyof typeof tasks]);
    } else if (word.startsWith('-')) {
      throw new CommandLineProblem(unknownFlag(flag === '' ? word : flag));
    } else if (folder === undefined) {
      folder = word;
    } else {
      throw new CommandLineProblem(`one folder at a time: both ${folder} and ${word} were given`);
    }
  }
  const given = { folder: folder ?? defaultFolder, out: out ?? outFolderOf(folder ?? defaultFolder) };
  if (asked.has('help')) return { ...given, task: 'help' };
  const [task = 'run', second] = asked;
  if (second !== undefined) throw new CommandLineProblem(`--${task} and --${second} cannot go together`);
  if (task.endsWith('companions') && folder !== undefined) {
    throw new CommandLineProblem(`--${task} always runs ${defaultFolder}; leave ${folder} out`);
  }
  return { ...given, task };
}

function splitFlag(word: string): [string, string | undefined] {
  const at = word.indexOf('=');
  return at === -1 ? [word, undefined] : [word.slice(0, at), word.slice(at + 1)];
}

function unknownFlag(flag: string): string {
  const nearest = [...knownFlags].sort((a, b) => distance(flag, a) - distance(flag, b))[0] ?? '';
  const guess = distance(flag, nearest) <= 3 ? ` Did you mean ${nearest}?` : '';
  return `unknown flag ${flag}.${guess} Known flags: ${knownFlags.join(', ')}`;
}
