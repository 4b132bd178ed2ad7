import { setImmediate as nextTurn } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { parentPort } from 'node:worker_threads';
import { type RenderPngOptions, renderPng } from './renderPng.ts';

interface Asked {
  readonly svg: string;
  readonly options: RenderPngOptions;
}

// A drawn picture lies outside what the collector counts (260 MB for a page at 1000 dots per inch), so that it would
// let dozens pile up; from this resolution on it is told to clear up after each.
const heavyFrom = 300;
setFlagsFromString('--expose-gc');
const clearUp: () => void = runInNewContext('gc');

// Draws pictures in a thread of its own, so that the second core works while the main thread does other things.
parentPort?.on('message', async ({ svg, options }: Asked) => {
  const answer = draw(svg, options);
  if ((options.dotsPerInch ?? 0) >= heavyFrom) {
    // What is dropped here is given back in a later turn of the loop, before the next picture is asked for.
    await nextTurn();
    clearUp();
    await nextTurn();
  }
  parentPort?.postMessage(answer);
});

function draw(svg: string, options: RenderPngOptions): { png: Uint8Array } | { failure: string } {
  try {
    return { png: renderPng(svg, options) };
  } catch (error) {
    return { failure: error instanceof Error ? error.message : String(error) };
  }
}
