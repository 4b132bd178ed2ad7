// The command behind `npm run manuscript -- [folder]`: methods and results as text, with flow diagram and checklists.
import { checklistReading } from '../../tables/checklist/checklistTable.ts';
import { sentencesToSupply } from '../../tables/manuscript/manuscriptText.ts';
import { CommandLineProblem, readCommandLine } from '../commandLine.ts';
import { findNotebooks } from '../findNotebooks.ts';
import { openReview } from '../openReview.ts';
import { recordProduct } from '../products.ts';
import { versions } from '../versions.ts';
import { keptLines, replaceProduct } from '../writeFiles.ts';
import { agreementOfFolder } from './agreementOfFolder.ts';
import { manuscriptFiles, manuscriptOfReview } from './manuscriptFiles.ts';
import { manuscriptResults } from './manuscriptResults.ts';
import { notebookHeadings } from './notebookHeadings.ts';

const help = `npm run manuscript -- [folder] [--out folder]

Writes methods and results of a review as text, with the flow diagram and the reporting checklists: Word, page and
Markdown, and every sentence with the rows it was written from as JSON. The files go to out/<review>/manuscript/,
or to manuscript/ in the folder --out names. A file you have changed is kept as manuscript.edited-1.docx.`;

async function main(words: readonly string[]): Promise<0 | 1> {
  const asked = readCommandLine(words);
  if (asked.task === 'help') {
    console.log(help);
    return 0;
  }
  if (asked.task !== 'run')
    throw new CommandLineProblem('npm run manuscript takes a folder and --out, nothing else');
  const opened = await openReview(asked.folder);
  if (opened.review === undefined) {
    for (const line of opened.problemLines) console.error(line);
    console.error(`${asked.folder}: ${opened.errors} errors to cure first. Nothing was written.`);
    return 1;
  }
  const agreement = agreementOfFolder(asked.folder);
  const input = manuscriptResults(opened.review, {
    software: { name: 'tenosite', version: versions().tenosite },
    ...(agreement === undefined ? {} : { agreement }),
    amendments: opened.amendments,
  });
  const made = manuscriptOfReview(input, notebookHeadings(findNotebooks('notebooks')));
  const files = await manuscriptFiles(made);
  const kept = replaceProduct(
    asked.out,
    files.map(({ path, content }) => ({ path: `manuscript/${path}`, content })),
    { by: 'manuscript', review: asked.folder },
  );
  recordProduct(asked.out, 'manuscript', opened.fingerprint);
  for (const line of checklistReading(made.checklist)) console.log(line);
  console.log(`Sentences with something to supply: ${sentencesToSupply(made.manuscript).length}`);
  for (const line of keptLines(asked.out, kept)) console.log(line);
  console.log(`\nWritten to ${asked.out}/manuscript: ${files.map(({ path }) => path).join(', ')}`);
  return 0;
}

try {
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
