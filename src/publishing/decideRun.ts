import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { openDecisions } from '../answers/openDecisions.ts';
import type { OpenDecision } from '../certainty/certaintyDecision.ts';
import type { CertaintyQuestion } from '../certainty/certaintyQuestion.ts';
import { decisionsFile } from '../certainty/decisionsFile.ts';
import { formatProblem } from '../extraction/problem.ts';
import { readFolderFiles, readReviewFiles } from '../extraction/readReviewFolder.ts';
import { sheets } from '../extraction/sheets/sheets.ts';
import { siteNames } from '../extraction/site.ts';
import { counted } from '../wording/words.ts';
import { addToFolder } from './writeFiles.ts';

const { file } = sheets.certainty;

export const decideHelp = `npm run decide -- <folder> [--confirm]

Writes what people must decide on into ${file} of a review: a row for every question, body of evidence and domain that has
none, with the levels the data propose in proposed_then and no decision. Fill in levels and reason. Says which decisions
must be taken again, because another body of evidence answers now or the body has changed.

--confirm   record what each body holds now beside the decisions that have no such record (held_when_decided is blank):
            they count from then on, until the body changes. Look at them first. To take an older decision again, mend
            levels and reason, empty held_when_decided, and run this.
--help      this text

No row, cell or comment is removed. The file as it was is kept beside it, as ${file}.former-1, -2 and so on.
Ends with 0, with 1 when decisions must be taken again, and with 2 when files or words cannot be read.`;

export interface DecideCommand {
  readonly folder: string;
  readonly confirm: boolean;
}

/**
 * Reads the words after `npm run decide --`.
 *
 * @returns undefined when help was asked for
 * @throws RangeError naming what is wrong and what is known
 */
export function readDecideCommand(words: readonly string[]): DecideCommand | undefined {
  if (words.includes('--help')) return undefined;
  const unknown = words.find((word) => word.startsWith('-') && word !== '--confirm');
  if (unknown !== undefined) throw new RangeError(`unknown flag ${unknown}. Known flags: --confirm, --help`);
  const [folder, more] = words.filter((word) => !word.startsWith('-'));
  if (folder === undefined) throw new RangeError('name the folder of the review');
  if (more !== undefined) throw new RangeError(`one folder at a time: both ${folder} and ${more} were given`);
  return { folder, confirm: words.includes('--confirm') };
}

/** Where the command says what it did. */
export interface DecideOutput {
  readonly say: (text: string) => void;
  readonly complain: (text: string) => void;
}

/**
 * Brings certainty.csv of a folder up to date and says what is open.
 *
 * @returns the exit code: 0, 1 when decisions must be taken again, 2 when the files hold an error
 */
export async function runDecide(
  { folder, confirm }: DecideCommand,
  { say, complain }: DecideOutput,
): Promise<0 | 1 | 2> {
  const found = await readFolderFiles(folder);
  const { review, problems } = readReviewFiles(found);
  // The check of the sheets has its own command; here only what stands in the way, and what is said of this sheet.
  for (const problem of problems)
    if (problem.severity === 'error' || problem.file === file) complain(formatProblem(problem));
  if (review === undefined) {
    complain(`${folder}: nothing was written, because the files hold an error.`);
    return 2;
  }
  const before = found.files[file];
  const { text, changed, added, confirmed, unbound } = decisionsFile(review, before, { confirm });
  if (changed) {
    const former = before === undefined ? undefined : freeName(folder);
    addToFolder(folder, [
      ...(former === undefined ? [] : [{ path: former, content: before! }]),
      { path: file, content: text },
    ]);
    say(
      `${join(folder, file)}: ${counted(added, 'row')} added, ${counted(confirmed, 'decision')} confirmed.${former === undefined ? '' : ` The file as it was: ${former}.`}`,
    );
  } else say(`${join(folder, file)}: nothing to add, left as it was.`);
  for (const { line, cure } of unbound) complain(`${file}:${line} not confirmed. ${cure}`);
  const now = readReviewFiles({
    ...found,
    files: { ...found.files, [file]: new TextEncoder().encode(text) },
  });
  const open = openDecisions(now.review!);
  const lines = open.questions.flatMap(({ question, open: rows }) =>
    rows.map((row) => `${file}:${row.row!.line} ${nameOf(question)}, ${row.domain}: ${told(row)}`),
  );
  for (const line of lines) say(line);
  say(open.sentence ?? 'Every decision that was taken counts.');
  return open.count === 0 ? 0 : 1;
}

/** The first name of a copy that no earlier copy has. */
function freeName(folder: string): string {
  for (let at = 1; ; at += 1) {
    const name = `${file}.former-${at}`;
    if (!existsSync(join(folder, name))) return name;
  }
}

const nameOf = (question: CertaintyQuestion): string =>
  question.kind === 'rate'
    ? `${question.outcome}, ${siteNames[question.site].toLowerCase()}`
    : `${question.outcome}, ${siteNames[question.site].toLowerCase()} against ${siteNames[question.comparator].toLowerCase()}`;

const told = ({ why, body }: OpenDecision): string =>
  why === 'another body' ? `taken on another body, ${body}` : why;
