import { Worker } from 'node:worker_threads';
import { layLightFonts } from './lightFonts.ts';
import { drawingSettings, type RenderPngOptions } from './renderPng.ts';

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

/** While notebooks run one thread has the second core; when they have ended two share what is left. */
const threads = 2;

/** Sharp enough for a slide or a manuscript; the SVG beside it has no limit. */
const screenResolution = 150;

// A drawn picture lies outside what the collector counts (260 MB for a page at 1000 dots per inch), so that it would
// let dozens pile up; from this resolution on a thread is told to clear up after each.
const heavyFrom = 300;

/** Starts the threads that draw; close them, or the process stays alive. */
export function openPngMaker(options: RenderPngOptions = {}): PngMaker {
  const dotsPerInch = options.dotsPerInch ?? screenResolution;
  const made = new Map<string, Promise<Uint8Array>>();
  const queue: Job[] = [];
  const workers = Array.from({ length: threads }, () => startWorker(queue));
  const light = options.fontFiles === undefined ? layLightFonts() : undefined;
  // A failure is reported where a picture is waited for, not as an unhandled rejection before that.
  light?.catch(() => undefined);
  const draw = async (svg: string): Promise<Uint8Array> => {
    const lightFonts = await light;
    const fontFiles = lightFonts?.covers(svg) ? lightFonts.files : options.fontFiles;
    const settings = drawingSettings(svg, { dotsPerInch, ...(fontFiles === undefined ? {} : { fontFiles }) });
    return new Promise((give, fail) => {
      queue.push({ asked: { svg, settings, heavy: dotsPerInch >= heavyFrom }, give, fail });
      for (const { next } of workers) next();
    });
  };
  return {
    make: (svg) => {
      const known = made.get(svg);
      if (known !== undefined) return known;
      const drawn = draw(svg).catch((error: unknown) => {
        throw new Error(
          `a figure could not be drawn as PNG: ${error instanceof Error ? error.message : String(error)}`,
          { cause: error },
        );
      });
      drawn.catch(() => undefined);
      made.set(svg, drawn);
      return drawn;
    },
    close: async () => {
      await Promise.all(workers.map(({ worker }) => worker.terminate()));
      await light?.then(
        ({ remove }) => remove(),
        () => undefined,
      );
    },
  };
}

/** What a thread is sent. */
interface Asked {
  readonly svg: string;
  readonly settings: ReturnType<typeof drawingSettings>;
  /** Whether to clear up after it. */
  readonly heavy: boolean;
}

interface Job {
  readonly asked: Asked;
  readonly give: (png: Uint8Array) => void;
  readonly fail: (error: Error) => void;
}

/** A thread takes the next picture when it has ended the last, so that drawn pictures are cleared up in between. */
function startWorker(queue: Job[]): { worker: Worker; next: () => void } {
  // Without the flags of this process, which would have the thread start the reader of TypeScript.
  const worker = new Worker(new URL('./pngWorker.mjs', import.meta.url), { execArgv: [] });
  let job: Job | undefined;
  const next = (): void => {
    if (job !== undefined) return;
    job = queue.shift();
    if (job !== undefined) worker.postMessage(job.asked);
  };
  worker.on('message', ({ png, failure }: Answer) => {
    if (png === undefined) job?.fail(new Error(failure));
    else job?.give(png);
    job = undefined;
    next();
  });
  worker.on('error', (error) => {
    for (const { fail } of [...(job === undefined ? [] : [job]), ...queue.splice(0)]) fail(error as Error);
  });
  return { worker, next };
}
