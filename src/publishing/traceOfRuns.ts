import type { Review } from '../extraction/review.ts';
import { type TracedOutput, type TraceIndex, traceIndex } from '../extraction/trace/traceIndex.ts';
import type { Trace } from '../extraction/trace/traceOf.ts';
import type { NotebookRun } from './notebookRun.ts';
import { outputAnchor } from './rowsBehind.ts';

/** Everything a run's pages show that sheet rows stand behind, with where it stands. */
function tracedOutputs(run: NotebookRun): readonly (TracedOutput & { readonly trace: Trace })[] {
  return run.outputs.flatMap(({ output }) => {
    // The tables of a document are on the page as well.
    if (output.kind === 'prose' || output.kind === 'claim' || output.kind === 'document') return [];
    const { kind, name, trace } = output;
    if (trace.rows.length === 0 && trace.leftOut.length === 0) return [];
    const title = kind === 'table' ? output.table.caption : kind === 'figure' ? output.title : name;
    const href = kind === 'result' ? `${run.name}.json` : `${run.name}.html#${outputAnchor(output)}`;
    return [{ page: run.name, kind, name, title, href, trace }];
  });
}

/** The index of a whole run: every row of the sheets, and the outputs of every page it feeds. */
export function traceOfRuns(review: Review, runs: readonly NotebookRun[]): TraceIndex {
  const own = runs.filter(({ facts }) => facts.dataFrom === undefined);
  return traceIndex(review, own.flatMap(tracedOutputs));
}
