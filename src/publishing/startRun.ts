import { answersFile } from '../answers/answersFile.ts';
import { answersOf } from '../answers/answersOf.ts';
import type { CommandLine } from './commandLine.ts';
import { companionDifferences, companionFolder, replaceCompanions } from './companionFolder.ts';
import { factsOfReview } from './factsOfReview.ts';
import { findNotebooks } from './findNotebooks.ts';
import { jsonPage } from './jsonPage.ts';
import { openReview } from './openReview.ts';
import { overviewPage } from './overview/overviewPage.ts';
import { pageLook } from './pageLook.ts';
import { figuresToDraw, type OutFile, pagesOfRun } from './pagesOfRun.ts';
import { openPngMaker } from './pngMaker.ts';
import { currentProducts, staleProducts } from './products.ts';
import { openProgress } from './progress.ts';
import { type FailedPage, runNotebooks } from './runNotebooks.ts';
import { stillToFillIn } from './stillToFillIn.ts';
import { summaryLines } from './summaryLines.ts';
import { traceOfRuns } from './traceOfRuns.ts';
import { tracePage } from './tracePage.ts';
import { keptLines, replaceFolder } from './writeFiles.ts';
import { outFolderOf, refuseOtherReview } from './writtenFiles.ts';

/** Where the notebooks and their committed companions stand. */
export interface Places {
  readonly notebooks: string;
  readonly companions: string;
}

const ownPlaces: Places = { notebooks: 'notebooks', companions: companionFolder };

/**
 * One run: check the files, run every notebook, write the pages, print the rates.
 *
 * A notebook that stops costs its own page only: the overview says at its place what happened, and the others are written.
 *
 * @returns the exit code: 1 when the files hold an error, a notebook stops or a companion differs
 * @throws when the folder to write to holds another review's files, or files of nobody knows whom
 */
export async function startRun(asked: CommandLine, places: Places = ownPlaces): Promise<0 | 1> {
  const opened = await openReview(asked.folder);
  for (const line of opened.problemLines) console.error(line);
  const found = `${count(opened.errors, 'error')}, ${count(opened.warnings, 'warning')}`;
  if (opened.review === undefined) {
    console.error(`${asked.folder}: ${found}. Nothing was written.`);
    return 1;
  }
  console.log(`${asked.folder}: ${found}`);
  for (const line of stillToFillIn(opened.review)) console.log(line);
  if (asked.task === 'check') return 0;
  if (asked.task === 'run') refuseOtherReview(asked.out, asked.folder);

  const progress = await openProgress();
  const pngMaker = asked.task === 'run' ? openPngMaker() : undefined;
  try {
    const facts = factsOfReview(opened.review, asked.folder, opened.fingerprint, opened.amendments);
    const { runs, skipped, failures } = await runNotebooks(
      findNotebooks(places.notebooks),
      opened.review,
      facts,
      {
        onStart: (name) => progress.step(`running notebooks/${name}.ts`),
        onRun: (run) => void figuresToDraw(run).map((svg) => pngMaker?.make(svg)),
      },
    );
    if (failures.length > 0 && asked.task !== 'run') {
      progress.end();
      for (const { message } of failures) console.error(message);
      console.error('Nothing was written.');
      return 1;
    }
    if (asked.task === 'check-companions') {
      progress.end();
      return reportDifferences(companionDifferences(places.companions, runs), places.companions);
    }
    if (asked.task === 'write-companions') {
      replaceCompanions(places.companions, runs);
      progress.end();
      console.log(`${count(runs.length, 'companion')} written to ${places.companions}/`);
      return 0;
    }
    if (pngMaker === undefined) return 0;
    const index = traceOfRuns(opened.review, runs);
    const traceText = `${JSON.stringify(index)}\n`;
    const jsons = runs.map(jsonPage);
    const look = await pageLook(runs, [...jsons, traceText]);
    const pages: OutFile[] = [];
    const unwritten: FailedPage[] = [];
    for (const [at, run] of runs.entries()) {
      await progress.step(`writing ${asked.out}/${run.name}.html`);
      try {
        pages.push(...(await pagesOfRun(run, pngMaker, { json: jsons[at]!, look })));
      } catch (error) {
        const reason = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
        const message = `notebook ${run.name} ran, and its page could not be written: ${reason}`;
        unwritten.push({ name: run.name, title: run.source.title, message });
      }
    }
    const failed = [...failures, ...unwritten];
    const overview = overviewPage({
      facts,
      review: opened.review,
      runs: runs.filter(({ name }) => unwritten.every((page) => page.name !== name)),
      skipped,
      failures: failed,
      products: currentProducts(asked.out, opened.fingerprint),
      staleProducts: staleProducts(asked.out, opened.fingerprint),
      today: new Date().toISOString().slice(0, 10),
      style: look.style,
    });
    const files = [
      { path: 'index.html', content: overview },
      ...pages,
      { path: 'trace.html', content: tracePage(index, facts, look.style) },
      { path: 'trace.json', content: traceText },
      { path: 'answers.json', content: answersFile(answersOf(opened.review)) },
    ];
    const amongOthers = asked.out === outFolderOf(asked.folder);
    const kept = replaceFolder(asked.out, files, { review: asked.folder, amongOthers });
    progress.end();
    for (const notebook of skipped) console.log(`Left out: ${notebook.name}: ${notebook.reason}`);
    for (const line of summaryLines(opened.review)) console.log(line);
    for (const line of keptLines(asked.out, kept)) console.log(line);
    const names = pages.flatMap(({ path }) => (path.endsWith('.html') ? [path] : []));
    console.log(`\nPages: ${[`${asked.out}/index.html`, ...names].join(', ')}`);
    for (const { message } of failed) console.error(message);
    if (failed.length > 0) console.error(`${count(failed.length, 'page')} not made; the others are written.`);
    return failed.length > 0 ? 1 : 0;
  } finally {
    await pngMaker?.close();
    progress.end();
  }
}

function reportDifferences(differences: readonly string[], folder: string): 0 | 1 {
  if (differences.length === 0) {
    console.log(`${folder} is what a fresh run gives`);
    return 0;
  }
  for (const line of differences) console.error(line);
  console.error('npm run companions writes them anew; look at the changes before committing them.');
  return 1;
}

function count(number: number, word: string): string {
  return `${number} ${word}${number === 1 ? '' : 's'}`;
}
