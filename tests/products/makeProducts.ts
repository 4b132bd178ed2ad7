import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type AnswerRecord, answersFile } from '../../src/answers/answersFile.ts';
import { answersOf } from '../../src/answers/answersOf.ts';
import { openReview } from '../../src/publishing/openReview.ts';
import { filesUnder } from '../../src/publishing/writeFiles.ts';
import { runScript } from '../publishing/helpers/runScript.ts';
import type { ReviewOfProof } from './reviewsOfProof.ts';

/** The commands that make products, and the words each takes. */
const commands = {
  pages: ({ folder }: ReviewOfProof, out: string) => ['src/publishing/start.ts', folder, '--out', out],
  document: ({ folder }: ReviewOfProof, out: string) => ['src/publishing/document.ts', folder, '--out', out],
  manuscript: ({ folder }: ReviewOfProof, out: string) => [
    'src/publishing/manuscript/manuscript.ts',
    folder,
    '--out',
    out,
  ],
  talk: ({ folder }: ReviewOfProof, out: string) => ['src/publishing/talk/talk.ts', folder, '--out', out],
  figures: ({ folder }: ReviewOfProof, out: string) => [
    'src/publishing/print/figures.ts',
    folder,
    '--format',
    'svg',
    '--out',
    join(out, 'figures'),
  ],
  changes: ({ folder, before }: ReviewOfProof, out: string) => [
    'src/publishing/changes/changes.ts',
    before,
    folder,
    '--out',
    out,
  ],
  live: ({ folder }: ReviewOfProof, out: string) => [
    'src/publishing/liveServer/live.ts',
    '--build',
    folder,
    '--out',
    join(out, 'live.html'),
  ],
} as const;
export type Product = keyof typeof commands;
export const products = Object.keys(commands) as readonly Product[];

/** What the commands left behind. */
export interface MadeProducts {
  readonly out: string;
  readonly answers: readonly AnswerRecord[];
  /** What `npm start` printed. */
  readonly said: string;
  /** Every file, by its path in the folder. */
  readonly files: readonly string[];
  readonly text: (path: string) => string;
  readonly bytes: (path: string) => Uint8Array;
}

/** Makes products of a review as a person does, command after command, into a folder of its own. */
export async function makeProducts(
  review: ReviewOfProof,
  out: string,
  wanted: readonly Product[] = products,
): Promise<MadeProducts> {
  let said = '';
  for (const product of wanted) {
    const [script, ...words] = commands[product](review, out);
    const ended = await runScript(script!, words);
    if (ended.code !== 0)
      throw new Error(`${script} ${words.join(' ')} ended with ${ended.code}: ${ended.err}`);
    if (product === 'pages') said = ended.out;
  }
  const bytes = (path: string) => readFileSync(join(out, path));
  const text = (path: string) => readFileSync(join(out, path), 'utf8');
  // Without a run of npm start, whose file it is, the same text from the library.
  const answers = JSON.parse(
    existsSync(join(out, 'answers.json'))
      ? text('answers.json')
      : answersFile(answersOf((await openReview(review.folder)).review!)),
  ) as AnswerRecord[];
  return { out, answers, said, files: [...filesUnder(out).keys()].sort(), text, bytes };
}
