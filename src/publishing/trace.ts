// The command behind `npm run trace -- [folder] events.csv:17`: which outputs does a row of the sheets feed?
import { defaultFolder } from './commandLine.ts';
import { factsOfReview } from './factsOfReview.ts';
import { findNotebooks } from './findNotebooks.ts';
import { openReview } from './openReview.ts';
import { runNotebooks } from './runNotebooks.ts';
import { traceOfRuns } from './traceOfRuns.ts';
import { readRowName, traceText } from './traceText.ts';

Error.stackTraceLimit = 50;
const words = process.argv.slice(2);
const names = words.flatMap((word) => readRowName(word) ?? []);
const folders = words.filter((word) => readRowName(word) === undefined);

async function main(): Promise<0 | 1> {
  if (names.length === 0 || folders.length > 1) {
    console.error(
      'npm run trace -- [folder] events.csv:17 names the outputs that line 17 of events.csv feeds.',
    );
    return 1;
  }
  const folder = folders[0] ?? defaultFolder;
  const opened = await openReview(folder);
  if (opened.review === undefined) {
    for (const line of opened.problemLines) console.error(line);
    console.error(`${folder} cannot be used before its ${opened.errors} errors are cured`);
    return 1;
  }
  const facts = factsOfReview(opened.review, folder);
  const { runs, failures } = await runNotebooks(findNotebooks('notebooks'), opened.review, facts);
  for (const { message } of failures) console.error(message);
  const index = traceOfRuns(opened.review, runs);
  for (const name of names) for (const line of traceText(index, name)) console.log(line);
  return failures.length > 0 ? 1 : 0;
}

try {
  process.exitCode = await main();
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
