import { htmlPage } from './htmlPage.ts';
import { jsonPage } from './jsonPage.ts';
import type { NotebookRun } from './notebookRun.ts';

/** A file to write under `out/`. */
export interface OutFile {
  readonly path: string;
  readonly content: string;
}

/** Sharp enough for a journal page at the figure's own size. */
const pageDotsPerInch = 300;

/** The HTML page and the JSON file of a notebook's run. */
export async function pagesOfRun(run: NotebookRun): Promise<readonly OutFile[]> {
  const { renderPng } = await import('./renderPng.ts');
  return [
    { path: `${run.name}.html`, content: htmlPage(run, (svg) => renderPng(svg, { dotsPerInch: pageDotsPerInch })) },
    { path: `${run.name}.json`, content: jsonPage(run) },
  ];
}
