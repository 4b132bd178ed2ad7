import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readReview } from '../../../src/extraction/readReview.ts';
import type { Review } from '../../../src/extraction/review.ts';
import { projectRoot } from '../helpers/runScript.ts';

export const demoFolder = join(projectRoot, 'data-extraction/demo');

/** The files of the demo, by name. */
export const demoFiles = (): Record<string, string> =>
  Object.fromEntries(
    readdirSync(demoFolder)
      .filter((name) => /\.(?:csv|json)$/.test(name))
      .map((name) => [name, readFileSync(join(demoFolder, name), 'utf8')]),
  );

export function readOrThrow(files: Readonly<Record<string, string>>): Review {
  const { review, problems } = readReview(files);
  if (review === undefined) throw new Error(`the files have problems: ${JSON.stringify(problems[0])}`);
  return review;
}

export const demo: Review = readOrThrow(demoFiles());
