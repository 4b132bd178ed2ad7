import type { Problem } from '../../../../src/extraction/problem.ts';
import { brokenEvents } from '../../../extraction/brokenEvents.ts';
import { brokenArms, brokenScores, brokenStudies } from '../../../extraction/brokenTables.ts';
import { smallReview } from '../../../extraction/smallReview.ts';

/** A small review with every slip the checks know of in one folder: each broken line stands beside the good one. */
export function folderOfSlips(): Readonly<Record<string, string>> {
  const files: Record<string, string> = { ...smallReview };
  for (const { file, from, to } of [...brokenStudies, ...brokenArms, ...brokenEvents, ...brokenScores]) {
    const good = smallReview[file]!.split('\n');
    const bad = smallReview[file]!.replace(from, to).split('\n');
    // A slip in the headings would hide the rest of the sheet.
    if (good[0] !== bad[0] || good.length !== bad.length) continue;
    files[file] += bad
      .filter((line, at) => line !== good[at])
      .map((line) => `${line}\n`)
      .join('');
  }
  return files;
}

/** Two problems are of one kind when they differ in numbers and names only. */
export const kindOf = ({ file, expected, cure }: Problem): string =>
  `${file} ${expected} ${cure}`.replace(/"[^"]*"|\d[\d.,]*/g, '…');
