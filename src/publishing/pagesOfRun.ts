import { documentToWord } from '../tables/documentToWord.ts';
import { htmlPage } from './htmlPage.ts';
import { jsonPage } from './jsonPage.ts';
import type { NotebookRun } from './notebookRun.ts';
import type { PageLook } from './pageLook.ts';
import type { PngMaker } from './pngMaker.ts';
import { wordFonts } from './wordFonts.ts';

/** A file to write under `out/`. */
export interface OutFile {
  readonly path: string;
  readonly content: string;
}

/** Figures of a run as its page offers them for download, by themselves and within documents. */
export function figuresToDraw(run: NotebookRun): readonly string[] {
  return run.outputs.flatMap(({ output }) => {
    if (output.kind === 'document')
      return output.document.blocks.flatMap((block) => (block.kind === 'figure' ? [block.svg] : []));
    return output.kind === 'figure' ? [output.wide] : [];
  });
}

/** The documents of a run as Word files, by the name of the output. */
async function documentsOf(run: NotebookRun, pngMaker: PngMaker): Promise<ReadonlyMap<string, Uint8Array>> {
  const made = new Map<string, Uint8Array>();
  for (const { output } of run.outputs) {
    if (output.kind !== 'document') continue;
    made.set(
      output.name,
      await documentToWord(output.document, {
        renderPicture: (svg) => pngMaker.make(svg),
        fonts: await wordFonts(),
      }),
    );
  }
  return made;
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
  const documents = await documentsOf(run, pngMaker);
  return [
    { path: `${run.name}.html`, content: htmlPage(run, new Map(drawn), shared.look, documents) },
    { path: `${run.name}.json`, content: shared.json ?? jsonPage(run) },
  ];
}
