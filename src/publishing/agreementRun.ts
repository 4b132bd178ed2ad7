import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { applyDecisions } from '../extraction/agreement/applyDecisions.ts';
import { compareExtractions } from '../extraction/agreement/compareExtractions.ts';
import { consensusFiles } from '../extraction/agreement/consensusFiles.ts';
import { readDecisions } from '../extraction/agreement/readDecisions.ts';
import type { Extraction } from '../extraction/agreement/readExtraction.ts';
import { formatProblem } from '../extraction/problem.ts';
import { readReview } from '../extraction/readReview.ts';
import { agreementReading, differencesTable, kappaTable, workListTable } from '../tables/agreementTables.ts';
import { tableToCsv } from '../tables/tableToCsv.ts';
import { tableToText } from '../tables/tableToText.ts';
import { readExtractionFolder } from './extractionFolder.ts';
import { addToFolder, writeBesideOthers } from './writeFiles.ts';

export const agreementHelp = `npm run agreement -- <first folder> <second folder> [options]

Compares what two people extracted, each from the same papers: agreement by column, and a work list of every cell on
which they differ.

--work-list <file>    write the work list as CSV; fill in its last columns and give it back as --decisions
                      (a file of that name that holds something else is kept as work-list.edited-1.csv)
--decisions <file>    apply what was decided
--write <folder>      write the consensus, with a decisions.csv of who decided what, into a new or empty folder
--help                this text

Ends with 0 when nothing is left to settle, with 1 when something is, and with 2 when files or words cannot be read.`;

export interface AgreementCommand {
  readonly first: string;
  readonly second: string;
  readonly workList?: string;
  readonly decisions?: string;
  readonly write?: string;
}

const flags = { '--work-list': 'workList', '--decisions': 'decisions', '--write': 'write' } as const;

/**
 * Reads the words after `npm run agreement --`.
 *
 * @returns undefined when help was asked for
 * @throws RangeError naming what is wrong and what is known
 */
export function readAgreementCommand(words: readonly string[]): AgreementCommand | undefined {
  const folders: string[] = [];
  const options: Partial<Record<(typeof flags)[keyof typeof flags], string>> = {};
  const waiting = [...words];
  for (let word = waiting.shift(); word !== undefined; word = waiting.shift()) {
    if (word === '--help') return undefined;
    const [flag = '', inline] = word.startsWith('--') ? word.split(/=(.*)/s) : [];
    const key = flags[flag as keyof typeof flags];
    if (key !== undefined) {
      const value = inline ?? waiting.shift();
      if (value === undefined || value === '' || value.startsWith('--'))
        throw new RangeError(`${flag} needs a ${key === 'write' ? 'folder' : 'file'}`);
      options[key] = value;
    } else if (word.startsWith('-')) {
      throw new RangeError(`unknown flag ${word}. Known flags: ${Object.keys(flags).join(', ')}, --help`);
    } else folders.push(word);
  }
  const [first, second, more] = folders;
  if (first === undefined || second === undefined || more !== undefined)
    throw new RangeError(`two folders are needed, one for each person; received ${folders.length}`);
  if (options.write !== undefined && options.decisions === undefined)
    throw new RangeError('--write needs --decisions: a consensus says who decided what');
  return { first, second, ...options };
}

/** Where the command says what it found. */
export interface AgreementOutput {
  readonly say: (text: string) => void;
  readonly complain: (text: string) => void;
}

/**
 * Runs the comparison.
 *
 * @returns the exit code: 0 nothing to settle, 1 something, 2 files that cannot be read
 * @throws in a plain sentence for a folder or file that is not there, or a folder to write into that holds something
 */
export function runAgreement(command: AgreementCommand, { say, complain }: AgreementOutput): number {
  const started = performance.now();
  const target = command.write;
  if (target !== undefined && existsSync(target) && readdirSync(target).length > 0)
    throw new Error(`${target} is not empty; name a new folder for the consensus`);
  if (command.decisions !== undefined && !existsSync(command.decisions))
    throw new Error(`there is no file ${command.decisions}`);
  const extractions: Extraction[] = [];
  for (const folder of [command.first, command.second]) {
    const { extraction, problems } = readExtractionFolder(folder);
    for (const problem of problems) complain(`${folder}/${formatProblem(problem)}`);
    if (extraction !== undefined) extractions.push(extraction);
  }
  const [first, second] = extractions;
  if (first === undefined || second === undefined) return 2;
  if (performance.now() - started > 1000) complain('comparing …');
  const comparison = compareExtractions(first, second);
  for (const sentence of agreementReading(comparison)) say(sentence);
  for (const table of [kappaTable(comparison), differencesTable(comparison)])
    if (table.rows.length > 0) say(`\n${tableToText(table)}`);
  const workList = workListTable(comparison);
  if (command.workList !== undefined) {
    const kept = writeBesideOthers(command.workList, tableToCsv(workList));
    for (const { path, now } of kept) say(`Kept: ${path} held something else and is now ${now}`);
    say(`\nWork list: ${command.workList}`);
  }
  if (command.decisions === undefined) return comparison.disagreements.length === 0 ? 0 : 1;
  const { consensus, problems } = applyDecisions(comparison, readDecisions(readFileSync(command.decisions)));
  for (const problem of problems) complain(formatProblem(problem));
  if (consensus === undefined) {
    complain('Nothing was written: every disagreement needs a decision that still fits.');
    return 1;
  }
  say(`\n${consensus.decided.length} decisions settle every disagreement.`);
  if (target === undefined) return 0;
  const files = consensusFiles(consensus);
  addToFolder(
    target,
    Object.entries(files).map(([path, content]) => ({ path, content })),
  );
  say(`Consensus: ${target}`);
  const errors = readReview(files).problems.filter(({ severity }) => severity === 'error');
  for (const problem of errors) complain(`${target}/${formatProblem(problem)}`);
  return errors.length === 0 ? 0 : 1;
}
