import { compareVersions } from '../../changes/compareVersions.ts';
import { softwareVersion } from '../factsOfReview.ts';
import { recordProduct } from '../products.ts';
import { openProgress } from '../progress.ts';
import { keptLines, replaceProduct } from '../writeFiles.ts';
import type { ChangesCommandLine } from './changesCommandLine.ts';
import { changesFiles } from './changesFiles.ts';
import { openVersion } from './openVersion.ts';
import { previousFolder } from './previousVersion.ts';
import { readSavedAnswers } from './savedAnswers.ts';

/**
 * One comparison: check both versions, compare, write every file or none.
 *
 * @returns the exit code: 1 when a version holds an error or the review has no earlier version
 * @throws in a plain sentence for a folder, revision or file that is not there
 */
export async function runChanges(asked: ChangesCommandLine): Promise<0 | 1> {
  const after = await openVersion(asked.after);
  const named =
    asked.before ??
    (after.version === undefined ? undefined : previousFolder(after.version.review, asked.after));
  if (named === undefined && after.version !== undefined)
    throw new Error(
      `${asked.after} names no earlier version: give it as the first of two folders, put it into ${asked.after}/previous, or name it as "previousVersion" in protocol.json`,
    );
  const opened = [...(named === undefined ? [] : [await openVersion(named)]), after];
  const [before] = opened;
  if (before?.version === undefined || after.version === undefined) {
    for (const { name, problemLines, errors } of opened.filter(({ version }) => version === undefined)) {
      for (const line of problemLines) console.error(line);
      console.error(`${name}: ${errors} ${errors === 1 ? 'error' : 'errors'}. Nothing was written.`);
    }
    return 1;
  }
  const saved = asked.saved === undefined ? undefined : readSavedAnswers(asked.saved, before.version);
  const progress = await openProgress();
  try {
    await progress.step('comparing the two versions');
    const report = compareVersions(before.version, after.version, {
      certainty: 'conclusions',
      software: softwareVersion(),
      ...(saved === undefined ? {} : { saved }),
    });
    await progress.step('writing the document');
    const files = await changesFiles(report);
    const kept = replaceProduct(asked.out, files, { by: 'changes', review: asked.after });
    recordProduct(asked.out, 'changes', report.changes.after.fingerprint);
    progress.end();
    console.log(`${before.name}, then ${after.name}`);
    for (const sentence of report.headline) console.log(sentence);
    for (const { statement, sentence } of report.recommendations) console.log(`- ${statement} ${sentence}`);
    for (const { sentence, standing } of report.conclusions)
      if (!standing.startsWith('still')) console.log(`- ${sentence}`);
    for (const line of keptLines(asked.out, kept)) console.log(line);
    console.log(`\n${asked.out}/changes.docx, changes.html, changes.md and changes.json`);
    return 0;
  } finally {
    progress.end();
  }
}
