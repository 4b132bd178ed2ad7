import { Worker } from 'node:worker_threads';
import type { RenderPngOptions } from './renderPng.ts';

/** Draws figures as PNG beside the main work. */
export interface PngMaker {
  /** Asking twice for one picture draws it once. */
  make(svg: string): Promise<Uint8Array>;
  close(): Promise<void>;
}

interface Answer {
  readonly png?: Uint8Array;
  readonly failure?: string;
}

// Node 20 does not hand the loader that reads TypeScript on to new threads: each registers it itself.
const workerStart = `
const { loader, script } = require('node:worker_threads').workerData;
import(loader).then(({ register }) => { register(); return import(script); });
`;

/** While notebooks run one thread has the second core; when they have ended two share what is left. */
const threads = 2;

/** Sharp enough for a slide or a manuscript; the SVG beside it has no limit. */
const screenResolution = 150;

/** Starts the threads that draw; close them, or the process stays alive. */
export function openPngMaker(options: RenderPngOptions = {}): PngMaker {
  const made = new Map<string, Promise<Uint8Array>>();
  const queue: Job[] = [];
  const workers = Array.from({ length: threads }, () =>
    startWorker(queue, { ...options, dotsPerInch: options.dotsPerInch ?? screenResolution }),
  );
  return {
    make: (svg) => {
      const known = made.get(svg);
      if (known !== undefined) return known;
      const drawn = new Promise<Uint8Array>((give, fail) => queue.push({ svg, give, fail }));
      // A failure is reported where the picture is waited for, not as an unhandled rejection before that.
      drawn.catch(() => undefined);
      made.set(svg, drawn);
      for (const { next } of workers) next();
      return drawn;
    },
    close: async () => void (await Promise.all(workers.map(({ worker }) => worker.terminate()))),
  };
}

interface Job {
  readonly svg: string;
  readonly give: (png: Uint8Array) => void;
  readonly fail: (error: Error) => void;
}

/** A thread takes the next picture when it has ended the last, so that drawn pictures are cleared up in between. */
function startWorker(queue: Job[], options: RenderPngOptions): { worker: Worker; next: () => void } {
  const worker = new Worker(workerStart, {
    eval: true,
    workerData: {
      loader: import.meta.resolve('tsx/esm/api'),
      script: new URL('./pngWorker.ts', import.meta.url).href,
    },
  });
  let job: Job | undefined;
  const next = (): void => {
    if (job !== undefined) return;
    job = queue.shift();
    if (job !== undefined) worker.postMessage({ svg: job.svg, options });
  };
  worker.on('message', ({ png, failure }: Answer) => {
    if (png === undefined) job?.fail(new Error(`a figure could not be drawn as PNG: ${failure}`));
    else job?.give(png);
    job = undefined;
    next();
  });
  worker.on('error', (error) => {
    for (const { fail } of [...(job === undefined ? [] : [job]), ...queue.splice(0)]) fail(error as Error);
  });
  return { worker, next };
}
