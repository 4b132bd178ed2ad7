import { Worker } from 'node:worker_threads';

/** Draws figures as PNG beside the main work. */
export interface PngMaker {
  /** Asking twice for one picture draws it once. */
  make(svg: string): Promise<Uint8Array>;
  close(): Promise<void>;
}

interface Answer {
  readonly id: number;
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

/** Starts the threads that draw; close them, or the process stays alive. */
export function openPngMaker(): PngMaker {
  const made = new Map<string, Promise<Uint8Array>>();
  const waiting: Waiting = new Map();
  const workers = Array.from({ length: threads }, () => startWorker(waiting));
  return {
    make: (svg) => {
      const known = made.get(svg);
      if (known !== undefined) return known;
      const id = made.size;
      const drawn = new Promise<Uint8Array>((give, fail) => {
        waiting.set(id, { give, fail });
        workers[id % threads]!.postMessage({ id, svg });
      });
      // A failure is reported where the picture is waited for, not as an unhandled rejection before that.
      drawn.catch(() => undefined);
      made.set(svg, drawn);
      return drawn;
    },
    close: async () => void (await Promise.all(workers.map((worker) => worker.terminate()))),
  };
}

type Waiting = Map<number, { give: (png: Uint8Array) => void; fail: (error: Error) => void }>;

function startWorker(waiting: Waiting): Worker {
  const worker = new Worker(workerStart, {
    eval: true,
    workerData: {
      loader: import.meta.resolve('tsx/esm/api'),
      script: new URL('./pngWorker.ts', import.meta.url).href,
    },
  });
  worker.on('message', ({ id, png, failure }: Answer) => {
    const asked = waiting.get(id);
    waiting.delete(id);
    if (png === undefined) asked?.fail(new Error(`a figure could not be drawn as PNG: ${failure}`));
    else asked?.give(png);
  });
  worker.on('error', (error) => {
    for (const asked of waiting.values()) asked.fail(error as Error);
    waiting.clear();
  });
  return worker;
}
