// Draws pictures in a thread of its own, so that the second core works while the main thread does other things. It is
// plain JavaScript: a thread that reads TypeScript starts another one to translate it, and both take their time.
import { setImmediate as nextTurn } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { parentPort } from 'node:worker_threads';
import { Resvg } from '@resvg/resvg-js';

setFlagsFromString('--expose-gc');
const clearUp = runInNewContext('gc');

parentPort?.on('message', async ({ svg, settings, heavy }) => {
  const answer = draw(svg, settings);
  if (heavy) {
    // What is dropped here is given back in a later turn of the loop, before the next picture is asked for.
    await nextTurn();
    clearUp();
    await nextTurn();
  }
  parentPort?.postMessage(answer);
});

/** The PNG, or why there is none. */
function draw(svg, settings) {
  try {
    return { png: new Resvg(svg, settings).render().asPng() };
  } catch (error) {
    return { failure: error instanceof Error ? error.message : String(error) };
  }
}
