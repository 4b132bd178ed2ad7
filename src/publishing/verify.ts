// The command behind `npm run verify`: does a saved result still follow?
import { existsSync, readFileSync } from 'node:fs';
import { dirname, relative, resolve } from 'node:path';
import { answersFile } from '../answers/answersFile.ts';
import { answersOf } from '../answers/answersOf.ts';
import type { Provenance } from '../extraction/provenance/provenance.ts';
import { type VerifiedResult, verifyResult } from '../extraction/provenance/verifyResult.ts';
import { factsOfReview } from './factsOfReview.ts';
import { readNotebook } from './findNotebooks.ts';
import { jsonPage } from './jsonPage.ts';
import { openReview } from './openReview.ts';
import { runNotebook } from './runNotebook.ts';
import { readWritten } from './writtenFiles.ts';

const help = `npm run verify -- out/mine/cosmetic-deformity.json [folder]

Runs the notebook of a saved result again, on the folder it names or the one given, and compares data, rules,
software and every value. Of out/mine/answers.json every answer is worked out again. Ends with 0 when the result still follows, with 1 when it does not.`;

/** What a saved page says, as far as verifying needs it. */
interface SavedPage {
  readonly notebook: string;
  readonly review: { readonly folder: string };
  readonly provenance?: Provenance;
  readonly results: unknown;
  readonly shown: unknown;
}

function readJson(path: string): unknown {
  if (!existsSync(path)) throw new Error(`there is no file ${path}`);
  try {
    return JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    throw new Error(`${path} is not JSON: ${error instanceof Error ? error.message : String(error)}`);
  }
}

function readSaved(path: string, page: unknown): SavedPage {
  const { notebook, review, results } = (page ?? {}) as Partial<SavedPage>;
  if (typeof notebook !== 'string' || typeof review?.folder !== 'string' || results === undefined) {
    throw new Error(
      `${path} is not a result of a notebook: it names no notebook, no folder or holds no results`,
    );
  }
  return page as SavedPage;
}

/**
 * Runs a saved page's notebook again and compares.
 *
 * @param folder where the review is now; default the folder the page names
 * @throws in a plain sentence when the page, its notebook or the review cannot be used
 */
export async function verifyFile(
  path: string,
  folder?: string,
): Promise<VerifiedResult & { readonly folder: string }> {
  const content = readJson(path);
  if (Array.isArray(content)) return verifyAnswers(path, content, folder);
  const saved = readSaved(path, content);
  const found = `notebooks/${saved.notebook}.ts`;
  if (!/^[\w-]+$/.test(saved.notebook) || !existsSync(found)) {
    throw new Error(`${path} is of notebook "${saved.notebook}", which is not in notebooks/`);
  }
  const where = folder ?? saved.review.folder;
  const opened = await openReview(where);
  if (opened.review === undefined) {
    throw new Error([...opened.problemLines, `${where}: the review cannot be read`].join('\n'));
  }
  const facts = factsOfReview(opened.review, where, opened.fingerprint, opened.amendments);
  const run = await runNotebook({ ...readNotebook(found), review: opened.review, facts });
  const fresh = JSON.parse(jsonPage(run)) as SavedPage;
  if (facts.provenance === undefined) throw new Error('the files have no fingerprint');
  const values = ({ results, shown }: SavedPage) => ({ results, shown });
  const verified = verifyResult(
    { provenance: saved.provenance, results: values(saved) },
    { provenance: facts.provenance, fresh: values(fresh) },
  );
  return { ...verified, folder: where };
}

/** The answers of a run (`answers.json`) against those the review gives now; the review is the one the run was of. */
async function verifyAnswers(
  path: string,
  saved: readonly unknown[],
  folder: string | undefined,
): Promise<VerifiedResult & { readonly folder: string }> {
  const own = readWritten(dirname(path))?.review;
  const where = folder ?? (own === undefined ? undefined : relative('.', resolve(dirname(path), own)));
  if (where === undefined)
    throw new Error(`${path} does not say which review it is of: name the folder behind it`);
  const { review, problemLines, fingerprint, amendments } = await openReview(where);
  if (review === undefined)
    throw new Error([...problemLines, `${where}: the review cannot be read`].join('\n'));
  const { provenance } = factsOfReview(review, where, fingerprint, amendments);
  if (provenance === undefined) throw new Error('the files have no fingerprint');
  const fresh: unknown = JSON.parse(answersFile(answersOf(review)));
  return { ...verifyResult({ results: saved }, { provenance, fresh }), folder: where };
}

const mostShown = 20;

async function main(words: readonly string[]): Promise<0 | 1> {
  const unknown = words.find((word) => word.startsWith('-') && word !== '--help');
  if (words.includes('--help')) {
    console.log(help);
    return 0;
  }
  if (unknown !== undefined || words.length === 0 || words.length > 2) {
    console.error(unknown === undefined ? help : `unknown flag ${unknown}. Known flags: --help`);
    return 1;
  }
  const [path = '', folder] = words;
  const result = await verifyFile(path, folder);
  console.log(`${relative('.', path)} against ${result.folder}`);
  for (const sentence of result.sentences) console.log(sentence);
  for (const { path: place, saved, now } of result.differing.slice(0, mostShown)) {
    console.log(`  ${place}: saved ${short(saved)}, now ${short(now)}`);
  }
  const more = result.differing.length - mostShown;
  if (more > 0) console.log(`  and ${more} more`);
  return result.verdict === 'follows' ? 0 : 1;
}

const short = (text: string | undefined): string =>
  text === undefined ? 'nothing' : text.length > 80 ? `${text.slice(0, 80)}…` : text;

if (process.argv[1]?.endsWith('verify.ts')) {
  Error.stackTraceLimit = 50;
  try {
    process.exitCode = await main(process.argv.slice(2));
  } catch (error) {
    console.error(error instanceof Error ? error.message : String(error));
    process.exitCode = 1;
  }
}
