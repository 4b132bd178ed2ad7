import { escape as escapeHtml } from 'html-escaper';
import { isReported } from '../extraction/reported.ts';
import type { TracedOutput, TracedRow, TraceIndex } from '../extraction/trace/traceIndex.ts';
import { pageFrame } from './htmlPage.ts';
import { clinicalCaution, inventedDataWarning, type PageFacts, showsInventedData } from './pageFacts.ts';
import { slug } from './slug.ts';

/** The anchor of a row on the page: `trace.html#events-17`. */
const rowAnchor = ({ row }: TracedRow): string => `${slug(row.file.replace(/\.csv$/, ''))}-${row.line}`;

/** Which of a page's outputs rows feed: the same few sets come again and again, so each is listed once. */
interface OutputSets {
  /** The anchor of a page's set of outputs; makes one when it is new. */
  readonly anchorOf: (page: string, outputs: readonly number[]) => string;
  readonly lists: () => readonly string[];
}

/**
 * The page that answers "which outputs does this row feed?": every row of every sheet by file and line, with the pages
 * it feeds; each leads to the outputs of that page. Rows that feed the same outputs of a page share one list, so that
 * the page stays small without any script.
 */
export function tracePage(index: TraceIndex, facts: PageFacts, style?: string): string {
  const sets = outputSets(index.outputs);
  const files = [...new Set(index.rows.map(({ row }) => row.file))];
  const tables = files.map((file) => fileTable(file, index, sets));
  const invented = showsInventedData(facts)
    ? `<p class="invented" role="note"><strong>${escapeHtml(inventedDataWarning)}</strong></p>`
    : '';
  const idle = index.rows.filter((row) => row.idle !== undefined).length;
  const contents =
    '<nav aria-label="Contents"><p class="nav-title" id="contents">On this page</p><ol>' +
    files.map((file) => `<li><a href="#sheet-${slug(file)}">${escapeHtml(file)}</a></li>`).join('') +
    '<li><a href="#lists">Outputs of each page</a></li></ol><p><a href="index.html">All pages of this run</a></p></nav>';
  return pageFrame({
    title: `From row to result: ${facts.reviewTitle}`,
    contents,
    main: `${invented}<h1>From row to result</h1>
<p>Every row of the sheets by file and line, and the pages whose tables, figures and results are computed from it. Rows of studies.csv and arms.csv are read together with the counts and scores of their study or arm; what these feed is counted with them. ${index.rows.length} rows, ${index.outputs.length} outputs; ${idle} rows feed nothing, each with the reason. The same as data: <a href="trace.json">trace.json</a>.</p>
<p class="caution">${escapeHtml(clinicalCaution)}</p>
${tables.join('\n')}
<h2 id="lists">Outputs of each page</h2>
<p>What the rows that lead here feed on one page.</p>
${sets.lists().join('\n')}`,
    ...(style === undefined ? {} : { style }),
  });
}

function outputSets(all: readonly TracedOutput[]): OutputSets {
  const sets = new Map<
    string,
    { readonly page: string; readonly id: string; readonly outputs: readonly number[] }
  >();
  const counts = new Map<string, number>();
  return {
    anchorOf: (page, outputs) => {
      const key = outputs.join(' ');
      const known = sets.get(key);
      if (known !== undefined) return known.id;
      const number = (counts.get(page) ?? 0) + 1;
      counts.set(page, number);
      const id = `fed-${slug(page)}-${number}`;
      sets.set(key, { page, id, outputs });
      return id;
    },
    lists: () =>
      [...sets.values()]
        .sort((a, b) => (a.page < b.page ? -1 : a.page > b.page ? 1 : 0))
        .map(({ page, id, outputs }) => {
          const links = outputs.flatMap((at) => {
            const output = all[at];
            if (output === undefined) return [];
            const { href, title, kind } = output;
            return [`<li><a href="${escapeHtml(href)}">${escapeHtml(title)}</a> (${kind})</li>`];
          });
          return `<h3 id="${id}">${escapeHtml(page)}, list ${id.split('-').at(-1)}</h3><ul>${links.join('')}</ul>`;
        }),
  };
}

/** The pages a row feeds, each leading to its outputs there. */
function fedPages(row: TracedRow, outputs: readonly TracedOutput[], sets: OutputSets): string {
  const pages = new Map<string, number[]>();
  for (const at of [...row.feeds, ...row.stands].sort((a, b) => a - b)) {
    const page = outputs[at]?.page ?? '';
    pages.set(page, [...(pages.get(page) ?? []), at]);
  }
  return [...pages]
    .map(([page, fed]) => `<a href="#${sets.anchorOf(page, fed)}">${escapeHtml(page)}</a> (${fed.length})`)
    .join(', ');
}

function fileTable(file: string, index: TraceIndex, sets: OutputSets): string {
  const rows = index.rows.filter(({ row }) => row.file === file);
  const id = `sheet-${slug(file)}`;
  const lines = rows.map((row) => {
    const { label, what, row: address, leftOut, idle } = row;
    const fed = idle === undefined ? fedPages(row, index.outputs, sets) : `nothing: ${escapeHtml(idle)}`;
    const left =
      idle === undefined
        ? leftOut.map(({ reason, pages }) => ` Left out on ${pages.join(', ')}: ${reason}`).map(escapeHtml)
        : [];
    return (
      `<tr id="${rowAnchor(row)}"><th scope="row">${address.line}</th><td>${escapeHtml(label ?? '')}</td>` +
      `<td>${escapeHtml(what)}</td><td>${escapeHtml(isReported(address.locator) ? address.locator : '')}</td><td>${fed}${left.join('')}</td></tr>`
    );
  });
  return (
    `<h2 id="${id}">${escapeHtml(file)}</h2><div class="scroll" role="region" tabindex="0" aria-labelledby="${id}">` +
    '<table><thead><tr><th scope="col">Line</th><th scope="col">Study</th><th scope="col">What</th>' +
    `<th scope="col">Place in the paper</th><th scope="col">Feeds, by page</th></tr></thead><tbody>${lines.join('\n')}</tbody></table></div>`
  );
}
