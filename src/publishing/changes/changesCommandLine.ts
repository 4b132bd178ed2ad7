import { CommandLineProblem, defaultFolder, defaultOut } from '../commandLine.ts';
import { outFolderOf } from '../writtenFiles.ts';

/** What `npm run changes` was asked. */
export interface ChangesCommandLine {
  readonly help: boolean;
  /** Undefined: the version before {@link after}, by the rule of the review. */
  readonly before: string | undefined;
  readonly after: string;
  readonly out: string;
  /** changes.json of the earlier version, for the part of the software. */
  readonly saved: string | undefined;
}

export const changesHelp = `npm run changes -- [before] [after] [--out folder] [--saved file]

Compares two versions of a review and writes what changed: changes.docx, changes.html, changes.md and changes.json.

npm run changes                                      the demonstration against the version before it
npm run changes -- data-extraction/mine              a review against the version before it: the folder that
                                                     "previousVersion" in its protocol.json names, or "previous" in it
npm run changes -- data-extraction/mine-2025 data-extraction/mine
npm run changes -- data-extraction/mine@v1 data-extraction/mine      a folder as git holds it at a revision

--out <folder>        where the files go (default ${defaultOut}, by the name of the later version's folder)
--saved <file>        answers.json or changes.json of the earlier version: tells what the software moved since
--help                this text`;

const flags = ['--out', '--saved', '--help'];

/**
 * Reads the words after `npm run changes --`.
 *
 * @throws {CommandLineProblem} for an unknown flag, a flag without its value, or more than two versions
 */
export function readChangesCommandLine(words: readonly string[]): ChangesCommandLine {
  const named: string[] = [];
  const values = new Map<string, string>();
  let help = false;
  const waiting = [...words];
  for (let word = waiting.shift(); word !== undefined; word = waiting.shift()) {
    const [flag = '', inline] = word.startsWith('--') ? word.split(/=(.*)/s) : [''];
    if (flag === '--help') help = true;
    else if (flag === '--out' || flag === '--saved') {
      const value = inline ?? waiting.shift();
      if (value === undefined || value === '' || value.startsWith('-'))
        throw new CommandLineProblem(`${flag} needs a ${flag === '--out' ? 'folder' : 'file'}`);
      values.set(flag, value);
    } else if (word.startsWith('-')) {
      throw new CommandLineProblem(`unknown flag ${flag || word}. Known flags: ${flags.join(', ')}`);
    } else named.push(word);
  }
  if (named.length > 2) throw new CommandLineProblem(`two versions at most, received ${named.length}`);
  const [first, second] = named;
  const after = second ?? first ?? defaultFolder;
  return {
    help,
    before: second === undefined ? undefined : first,
    after,
    out: values.get('--out') ?? outFolderOf(after),
    saved: values.get('--saved'),
  };
}
