import { fileURLToPath } from 'node:url';
import { tableToText } from '../tables/tableToText.ts';
import { readCommandLine } from './commandLine.ts';
import { factsOfReview } from './factsOfReview.ts';
import { readNotebook } from './findNotebooks.ts';
import { type Notebook, NotebookSkipped } from './notebook.ts';
import { failureMessage } from './notebookFailed.ts';
import type { NotebookOutput } from './notebookRun.ts';
import type { NotebookOptions } from './openNotebook.ts';
import { openReview } from './openReview.ts';
import { pagesOfRun } from './pagesOfRun.ts';
import { openPngMaker } from './pngMaker.ts';
import { recordNotebook } from './recordNotebook.ts';
import { addPages, keptLines } from './writeFiles.ts';

/**
 * Opens a notebook that is run by itself: reads the review named on the command line, prints what the
 * cells show, and writes the page when the script has ended. A notebook that throws writes nothing, says in
 * which cell it stopped and ends the process with 1.
 */
export async function openStandalone(url: string, options: NotebookOptions): Promise<Notebook> {
  Error.stackTraceLimit = 50;
  const found = readNotebook(fileURLToPath(url));
  const stop = (error: unknown): never => {
    if (error instanceof NotebookSkipped) {
      console.log(`notebook ${found.name} has nothing to show: ${error.message}`);
      process.exit(0);
    }
    console.error(failureMessage(found.name, url, found.source, error));
    process.exit(1);
  };
  process.once('uncaughtException', stop);
  const { folder, out } = readCommandLine(process.argv.slice(2));
  const opened = await openReview(folder).catch(stop);
  for (const line of opened.problemLines) console.error(line);
  if (opened.review === undefined) {
    console.error(`${folder} cannot be used before its ${opened.errors} errors are cured`);
    process.exit(1);
  }
  const facts = {
    ...factsOfReview(opened.review, folder, opened.fingerprint, opened.amendments),
    dataFrom: options.dataFrom,
  };
  const recording = recordNotebook({ ...found, review: opened.review, facts, onOutput: print });
  process.once('beforeExit', async () => {
    const pngMaker = openPngMaker();
    const kept = addPages(out, await pagesOfRun(recording.run(), pngMaker), { review: folder });
    await pngMaker.close();
    for (const line of keptLines(out, kept)) console.log(line);
    console.log(`\nPage: ${out}/${found.name}.html`);
  });
  return recording.notebook;
}

function print(output: NotebookOutput): void {
  if (output.kind === 'table') console.log(`\n${tableToText(output.table)}`);
  if (output.kind === 'prose') console.log(`\n${output.markdown}`);
  if (output.kind === 'figure') console.log(`\n[figure: ${output.title}]`);
  if (output.kind === 'document') console.log(`\n[document: ${output.document.title}]`);
  if (output.kind === 'claim') {
    console.log(`${output.claim.status === 'holds' ? 'Holds' : 'Not checked'}: ${output.claim.statement}`);
  }
}
