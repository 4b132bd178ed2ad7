import { htmlPage } from './htmlPage.ts';
import { jsonPage } from './jsonPage.ts';
import type { NotebookRun } from './notebookRun.ts';
import type { PageLook } from './pageLook.ts';
import type { PngMaker } from './pngMaker.ts';

/** A file to write under `out/`. */
export interface OutFile {
  readonly path: string;
  readonly content: string;
}

/** Figures of a run as its page offers them for download. */
export function figuresToDraw(run: NotebookRun): readonly string[] {
  return run.outputs.flatMap(({ output }) => (output.kind === 'figure' ? [output.wide] : []));
}

/** The HTML page and the JSON file of a notebook's run; `shared` is what the run of all of them has already made. */
export async function pagesOfRun(
  run: NotebookRun,
  pngMaker: PngMaker,
  shared: { readonly json?: string; readonly look?: PageLook } = {},
): Promise<readonly OutFile[]> {
  const drawn = await Promise.all(
    figuresToDraw(run).map(async (svg) => [svg, await pngMaker.make(svg)] as const),
  );
  return [
    { path: `${run.name}.html`, content: htmlPage(run, new Map(drawn), shared.look) },
    { path: `${run.name}.json`, content: shared.json ?? jsonPage(run) },
  ];
}
