import { escape as escapeHtml } from 'html-escaper';
import { isReported } from '../extraction/reported.ts';
import type { TracedOutput, TracedRow, TraceIndex } from '../extraction/trace/traceIndex.ts';
import { pageFrame } from './htmlPage.ts';
import { clinicalCaution, inventedDataWarning, type PageFacts, showsInventedData } from './pageFacts.ts';
import { slug } from './slug.ts';

/** The anchor of a row on the page: `trace.html#events-17`. */
const rowAnchor = ({ row }: TracedRow): string => `${slug(row.file.replace(/\.csv$/, ''))}-${row.line}`;

/**
 * The page that answers "which outputs does this row feed?": every row of every sheet by file and line. Rows that feed
 * the same outputs share one list, so that the page stays small without any script.
 */
export function tracePage(index: TraceIndex, facts: PageFacts, style?: string): string {
  const lists = new Map<string, { readonly id: string; readonly outputs: readonly number[] }>();
  const listOf = (outputs: readonly number[]): string => {
    const key = outputs.join(' ');
    const known = lists.get(key) ?? { id: `outputs-${lists.size + 1}`, outputs };
    lists.set(key, known);
    return known.id;
  };
  const files = [...new Set(index.rows.map(({ row }) => row.file))];
  const tables = files.map((file) => fileTable(file, index, listOf));
  const invented = showsInventedData(facts)
    ? `<p class="invented" role="note"><strong>${escapeHtml(inventedDataWarning)}</strong></p>`
    : '';
  const idle = index.rows.filter(({ idle }) => idle !== undefined).length;
  const contents =
    '<nav aria-label="Contents"><p class="nav-title" id="contents">On this page</p><ol>' +
    files.map((file) => `<li><a href="#sheet-${slug(file)}">${escapeHtml(file)}</a></li>`).join('') +
    '<li><a href="#lists">Lists of outputs</a></li></ol><p><a href="index.html">All pages of this run</a></p></nav>';
  return pageFrame({
    style,
    title: `From row to result: ${facts.reviewTitle}`,
    contents,
    main: `${invented}<h1>From row to result</h1>
<p>Every row of the sheets by file and line, and the tables, figures and results computed from it. Rows of studies.csv and arms.csv are read together with the counts and scores of their study or arm; what these feed is counted with them. ${index.rows.length} rows, ${index.outputs.length} outputs; ${idle} rows feed nothing, each with the reason. The same as data: <a href="trace.json">trace.json</a>.</p>
<p class="caution">${escapeHtml(clinicalCaution)}</p>
${tables.join('\n')}
<h2 id="lists">Lists of outputs</h2>
<p>Each list is what the rows that link to it feed.</p>
${[...lists.values()].map((list) => outputList(list, index.outputs)).join('\n')}`,
  });
}

function fileTable(file: string, index: TraceIndex, listOf: (outputs: readonly number[]) => string): string {
  const rows = index.rows.filter(({ row }) => row.file === file);
  const id = `sheet-${slug(file)}`;
  const lines = rows.map((row) => {
    const { label, what, row: address, feeds, stands, leftOut, idle } = row;
    const outputs = [...feeds, ...stands].sort((a, b) => a - b);
    const pages = new Set(outputs.map((at) => index.outputs[at]?.page)).size;
    const fed =
      outputs.length === 0
        ? `nothing: ${escapeHtml(idle ?? '')}`
        : `<a href="#${listOf(outputs)}">${outputs.length} ${outputs.length === 1 ? 'output' : 'outputs'} on ${pages} ${pages === 1 ? 'page' : 'pages'}</a>`;
    const left =
      outputs.length === 0
        ? ''
        : leftOut
            .map(({ reason, pages: where }) => ` Left out on ${where.join(', ')}: ${reason}`)
            .map(escapeHtml)
            .join('');
    return (
      `<tr id="${rowAnchor(row)}"><th scope="row">${address.line}</th><td>${escapeHtml(label ?? '')}</td>` +
      `<td>${escapeHtml(what)}</td><td>${escapeHtml(isReported(address.locator) ? address.locator : '')}</td><td>${fed}${left}</td></tr>`
    );
  });
  return (
    `<h2 id="${id}">${escapeHtml(file)}</h2><div class="scroll" role="region" tabindex="0" aria-labelledby="${id}">` +
    '<table><thead><tr><th scope="col">Line</th><th scope="col">Study</th><th scope="col">What</th>' +
    `<th scope="col">Place in the paper</th><th scope="col">Feeds</th></tr></thead><tbody>${lines.join('\n')}</tbody></table></div>`
  );
}

function outputList(
  { id, outputs }: { readonly id: string; readonly outputs: readonly number[] },
  all: readonly TracedOutput[],
): string {
  const pages = new Map<string, TracedOutput[]>();
  for (const at of outputs) {
    const output = all[at];
    if (output !== undefined) pages.set(output.page, [...(pages.get(output.page) ?? []), output]);
  }
  const items = [...pages].map(
    ([page, made]) =>
      `<li>${escapeHtml(page)}: ${made
        .map(({ kind, title, href }) => `<a href="${escapeHtml(href)}">${escapeHtml(title)}</a> (${kind})`)
        .join('; ')}</li>`,
  );
  return `<h3 id="${id}">List ${id.replace('outputs-', '')}</h3><ul>${items.join('')}</ul>`;
}
