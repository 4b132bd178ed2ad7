import { escape as escapeHtml } from 'html-escaper';
import { pageFrame } from './htmlPage.ts';
import type { NotebookRun } from './notebookRun.ts';
import { clinicalCaution, inventedDataWarning, type PageFacts } from './pageFacts.ts';

/** The list of pages one run made, and of the notebooks it left out with the reason. */
export function indexPage(
  facts: PageFacts,
  runs: readonly NotebookRun[],
  skipped: readonly { readonly name: string; readonly reason: string }[],
): string {
  const entries = runs.map(
    (run) =>
      `<li><a href="${escapeHtml(run.name)}.html">${escapeHtml(run.source.title)}</a> ` +
      `(<a href="${escapeHtml(run.name)}.json">results as JSON<span class="quiet">: ${escapeHtml(run.source.title)}</span></a>)</li>`,
  );
  const left = skipped.map(
    (notebook) => `<li>${escapeHtml(notebook.name)}: ${escapeHtml(notebook.reason)}</li>`,
  );
  const invented = facts.inventedData
    ? `<p class="invented" role="note"><strong>${escapeHtml(inventedDataWarning)}</strong></p>`
    : '';
  return pageFrame({
    title: facts.reviewTitle,
    contents: '',
    main: `${invented}<h1>${escapeHtml(facts.reviewTitle)}</h1>
<p>${escapeHtml(facts.question)}</p>
<ul>${entries.join('\n')}</ul>
<p><a href="trace.html">From row to result</a>: which outputs each row of the sheets feeds.</p>
${left.length > 0 ? `<h2>Left out of this run</h2><ul>${left.join('\n')}</ul>` : ''}
<p class="caution">${escapeHtml(clinicalCaution)}</p>
<dl><div><dt>Folder</dt><dd>${escapeHtml(facts.folder)}</dd></div>
<div><dt>Last search</dt><dd>${escapeHtml(facts.lastSearch)}</dd></div></dl>`,
  });
}
