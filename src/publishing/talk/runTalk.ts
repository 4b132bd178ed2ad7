import { openDecisions } from '../../answers/openDecisions.ts';
import { openReview } from '../openReview.ts';
import { recordProduct } from '../products.ts';
import { openProgress } from '../progress.ts';
import { keptLines, replaceProduct } from '../writeFiles.ts';
import type { TalkCommandLine } from './talkCommandLine.ts';
import { slideOfOutcome, talkOfReview } from './talkOfReview.ts';
import { filesOfTalk, talkNames, writeTalk } from './writeTalk.ts';

/** A run that is over sooner says nothing on the way. */
const quietFor = 2000;

/**
 * One talk: check the files, make every slide, write them all or none.
 *
 * @returns the exit code: 1 when the files hold an error
 * @throws RangeError for an outcome the protocol lacks, or a sentence that is not understood
 */
export async function runTalk(asked: TalkCommandLine): Promise<0 | 1> {
  const started = performance.now();
  const { review, fingerprint, problemLines, errors, warnings } = await openReview(asked.folder);
  for (const line of problemLines) console.error(line);
  if (review === undefined) {
    console.error(`${asked.folder}: ${errors} ${errors === 1 ? 'error' : 'errors'}. Nothing was written.`);
    return 1;
  }
  const progress = await openProgress();
  const step = async (text: string): Promise<void> => {
    if (performance.now() - started > quietFor) await progress.step(text);
  };
  try {
    const { outcome, compare, claim, slide, out } = asked;
    if (slide !== undefined) {
      const name = `slide-${slide}`;
      const talk = slideOfOutcome(review, slide);
      const files = await filesOfTalk(
        talk,
        { pptx: `${name}.pptx`, slide: (number) => (number === 1 ? name : `${name}-${number}`) },
        step,
      );
      const kept = replaceProduct(out, files, { by: name, review: asked.folder });
      progress.end();
      for (const line of keptLines(out, kept)) console.log(line);
      console.log(`${asked.folder}: ${warnings} ${warnings === 1 ? 'warning' : 'warnings'}`);
      console.log(`${files.map(({ path }) => `${out}/${path}`).join(', ')}`);
      return 0;
    }
    const talk = talkOfReview(review, {
      ...(outcome === undefined ? {} : { outcome }),
      ...(compare === undefined ? {} : { compare }),
      ...(claim === undefined ? {} : { claim }),
    });
    const files = await filesOfTalk(talk, talkNames, step);
    const { sentence } = openDecisions(review);
    const kept = writeTalk(out, files, asked.folder);
    recordProduct(out, 'talk', fingerprint);
    progress.end();
    console.log(`${asked.folder}: ${warnings} ${warnings === 1 ? 'warning' : 'warnings'}`);
    if (sentence !== undefined) console.error(sentence);
    for (const [at, { title }] of talk.slides.entries())
      console.log(`${String(at + 1).padStart(2)}  ${title}`);
    for (const line of keptLines(out, kept)) console.log(line);
    console.log(`\n${out}/talk.pptx, and each slide as SVG and PNG in ${out}/talk/`);
    return 0;
  } finally {
    progress.end();
  }
}
