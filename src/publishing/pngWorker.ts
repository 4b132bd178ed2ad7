import { parentPort } from 'node:worker_threads';
import { renderPng } from './renderPng.ts';

/** Sharp enough for a slide or a manuscript; the SVG beside it has no limit. */
const dotsPerInch = 150;

// Draws pictures in a thread of its own, so that the second core works while the notebooks run.
parentPort?.on('message', ({ id, svg }: { readonly id: number; readonly svg: string }) => {
  try {
    parentPort?.postMessage({ id, png: renderPng(svg, { dotsPerInch }) });
  } catch (error) {
    parentPort?.postMessage({ id, failure: error instanceof Error ? error.message : String(error) });
  }
});
