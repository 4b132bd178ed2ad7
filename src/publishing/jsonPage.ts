import type { RowAddress } from '../extraction/rowAddress.ts';
import { linesByFile } from '../extraction/trace/rowRanges.ts';
import { jsonSafe } from './jsonSafe.ts';
import type { NotebookOutput, NotebookRun } from './notebookRun.ts';
import { clinicalCaution } from './pageFacts.ts';

/** Everything a person sees on a notebook's page, for another program to read. */
export function jsonPage(run: NotebookRun): string {
  const { facts, source } = run;
  const outputs = run.outputs.map(({ cell, output }) => ({ cell, ...withoutDrawing(output) }));
  const page = {
    notebook: run.name,
    title: source.title,
    review: {
      title: facts.reviewTitle,
      folder: facts.folder,
      question: facts.question,
      lastSearch: facts.lastSearch,
      inventedData: facts.inventedData,
      notice: facts.notice,
    },
    caution: clinicalCaution,
    dataFrom: facts.dataFrom,
    // What the results followed from; data a notebook brings itself are not the review's.
    provenance: facts.dataFrom === undefined ? facts.provenance : undefined,
    versions: { tenosite: facts.tenositeVersion, node: facts.nodeVersion },
    methods: run.methods,
    departures: run.departures,
    sensitivityAnalyses: run.sensitivityAnalyses,
    amendments: facts.dataFrom === undefined ? facts.amendments : [],
    results: Object.fromEntries(
      run.outputs.flatMap(({ output }) => (output.kind === 'result' ? [[output.name, output.value]] : [])),
    ),
    shown: outputs.filter((output) => output.kind !== 'result'),
  };
  return `${JSON.stringify(jsonSafe(page, run.name), null, 1)}\n`;
}

/** Figures are named, not repeated: the page and the companion hold the drawing. Rows stand as lines by file. */
function withoutDrawing(output: NotebookOutput): {
  readonly kind: string;
  readonly [member: string]: unknown;
} {
  if (output.kind !== 'figure' && output.kind !== 'table' && output.kind !== 'document') return output;
  const { kind, name } = output;
  const rows = asLines(output.trace.rows);
  const beside = output.kind !== 'document' && output.beside ? { beside: output.beside } : {};
  if (output.kind === 'document') return { kind, name, title: output.document.title, rows };
  if (output.kind === 'figure') return { kind, name, title: output.title, rows, ...beside };
  const { sources, ...table } = output.table;
  return {
    kind,
    name,
    table: { ...table, ...(sources && { sources: sources.map(asLines) }) },
    rows,
    ...beside,
  };
}

/** Sheet rows in few characters: `{ "events.csv": [4, 7] }`. */
function asLines(rows: readonly RowAddress[]): Readonly<Record<string, readonly number[]>> {
  return Object.fromEntries(linesByFile(rows).map(({ file, lines }) => [file, lines]));
}
