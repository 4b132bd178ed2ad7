import { escape as escapeHtml } from 'html-escaper';
import { provenanceText } from '../extraction/provenance/provenance.ts';
import { documentToMarkdown } from '../tables/documentToMarkdown.ts';
import { tableToCsv } from '../tables/tableToCsv.ts';
import { tableToHtml } from '../tables/tableToHtml.ts';
import { type BesideKind, besideText } from '../wording/beside.ts';
import { downloadLinks } from './downloads.ts';
import { departuresOfRun, type NotebookOutput, type NotebookRun, outputsOfCell } from './notebookRun.ts';
import type { NotebookCell } from './notebookSource.ts';
import { noteOnRows } from './noteOnRows.ts';
import { clinicalCaution, factEntries, inventedDataWarning, showsInventedData } from './pageFacts.ts';
import type { PageLook } from './pageLook.ts';
import { type PageHeading, pageMarkdown } from './pageMarkdown.ts';
import { pageStyle } from './pageStyle.ts';
import { embedFonts } from './print/embedFonts.ts';
import { outputAnchor, rowsBehindMaker } from './rowsBehind.ts';
import { slugMaker } from './slug.ts';

const wordType = 'application/vnd.openxmlformats-officedocument.wordprocessingml.document';

/**
 * A notebook's page: one file with its style, type, figures and downloads inside, that loads nothing.
 *
 * @param pngs each wide figure as PNG for its download; a figure without one offers SVG alone
 * @param look the run's style and fonts, which the wide SVG takes along when saved (both would swell the page; `npm run
 *   figures` gives the narrow one); without it the page carries the whole typeface, and saved SVG only names it
 */
export function htmlPage(
  run: NotebookRun,
  pngs: ReadonlyMap<string, Uint8Array>,
  look?: PageLook,
  documents: ReadonlyMap<string, Uint8Array> = new Map(),
): string {
  // The anchors of tables and figures are theirs alone: other pages link to them.
  const anchors = run.outputs.flatMap(({ output }) =>
    output.kind === 'table' || output.kind === 'figure' ? [outputAnchor(output)] : [],
  );
  const nextId = slugMaker(['content', 'contents', 'about', ...anchors]);
  const rowsBehind = rowsBehindMaker(run.studyOfRow);
  const markdown = pageMarkdown(nextId);
  let codeCells = 0;

  const saved = (svg: string): string =>
    look === undefined ? svg : embedFonts(svg, look.figureFonts, 'woff');

  const output = (made: NotebookOutput): string => {
    if (made.kind === 'prose')
      return `<div class="reading"${besideAttribute(made.beside)}>${markdown.render(made.markdown)}</div>`;
    if (made.kind === 'claim') {
      const { statement, status, about } = made.claim;
      const mark = status === 'holds' ? 'Holds' : 'Not checked';
      const scope = about === 'the demo only' ? ' (a fact about the demo data only)' : '';
      return `<li><strong>${mark}:</strong> ${markdown.renderInline(statement)}${scope}</li>`;
    }
    if (made.kind === 'table') {
      const id = outputAnchor(made);
      const csv = { label: 'CSV', fileName: `${run.name}-${made.name}.csv`, mediaType: 'text/csv' };
      return (
        `<div class="scroll" role="region" tabindex="0" aria-labelledby="${id}"${besideAttribute(made.beside)}>` +
        `${tableToHtml(made.table, { id })}${besideNote(made.beside)}</div>` +
        downloadLinks(made.table.caption, [
          { ...csv, content: tableToCsv(noteOnRows(made.table, run.facts)) },
        ]) +
        rowsBehind(made)
      );
    }
    if (made.kind === 'figure') {
      const id = outputAnchor(made);
      const file = `${run.name}-${made.name}`;
      const png = pngs.get(made.wide);
      const svg = { mediaType: 'image/svg+xml' };
      return (
        `<figure aria-labelledby="${id}"${besideAttribute(made.beside)}><figcaption id="${id}">${escapeHtml(made.title)}</figcaption>` +
        `<div class="wide">${made.wide}</div><div class="narrow">${made.narrow}</div>${besideNote(made.beside)}</figure>` +
        downloadLinks(made.title, [
          {
            ...svg,
            label: look === undefined ? 'SVG, 190 mm' : 'SVG, 190 mm, with its font',
            fileName: `${file}-190mm.svg`,
            content: saved(made.wide),
          },
          { ...svg, label: 'SVG, 90 mm', fileName: `${file}-90mm.svg`, content: made.narrow },
          ...(png === undefined
            ? []
            : [{ label: 'PNG', fileName: `${file}.png`, mediaType: 'image/png', content: png }]),
        ]) +
        rowsBehind(made)
      );
    }
    if (made.kind === 'document') {
      const word = documents.get(made.name);
      const file = `${run.name}-${made.name}`;
      return downloadLinks(made.document.title, [
        ...(word === undefined
          ? []
          : [{ label: 'Word', fileName: `${file}.docx`, mediaType: wordType, content: word }]),
        {
          label: 'Markdown',
          fileName: `${file}.md`,
          mediaType: 'text/markdown',
          content: documentToMarkdown(made.document),
        },
      ]);
    }
    return '';
  };

  const cell = (part: NotebookCell): string => {
    if (part.kind === 'markdown') return markdown.render(part.text);
    codeCells += 1;
    const outputs = outputsOfCell(run, part.number);
    const claims = outputs.filter((made) => made.kind === 'claim').map(output);
    const others = outputs.filter((made) => made.kind !== 'claim').map(output);
    return (
      `<details class="source"><summary>Code of step ${codeCells}</summary>` +
      `<pre tabindex="0"><code>${escapeHtml(part.text)}</code></pre></details>` +
      others.join('\n') +
      (claims.length > 0 ? `<ul class="claims">${claims.join('\n')}</ul>` : '')
    );
  };

  const [first, ...rest] = run.source.cells;
  const opening = first === undefined ? '' : cell(first);
  const body = rest.map(cell).join('\n');
  return pageFrame({
    style: look?.style,
    title:
      run.facts.dataFrom === undefined ? `${run.source.title}: ${run.facts.reviewTitle}` : run.source.title,
    contents: contentsList(markdown.headings),
    main: `${warning(run)}${opening}<p class="caution">${escapeHtml(clinicalCaution)}</p>\n${body}\n${about(run)}`,
  });
}

/** The frame shared by every page. */
export function pageFrame(parts: {
  readonly title: string;
  readonly contents: string;
  readonly main: string;
  /** Default: the style sheet with the whole typeface. */
  readonly style?: string | undefined;
}): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="tenosite">
<link rel="icon" href="data:,">
<title>${escapeHtml(parts.title)}</title>
<style>
${parts.style ?? pageStyle()}
</style>
</head>
<body>
<a class="skip" href="#content">Skip to the findings</a>
<div class="page${parts.contents === '' ? '' : ' with-contents'}">
${parts.contents}
<main id="content" tabindex="-1">
${parts.main}
</main>
</div>
</body>
</html>
`;
}

const besideAttribute = (beside: BesideKind | undefined): string =>
  beside === undefined ? '' : ` data-beside="${beside}"`;

const besideNote = (beside: BesideKind | undefined): string =>
  beside === undefined ? '' : `<p class="note beside">${escapeHtml(besideText(beside))}</p>`;

function warning(run: NotebookRun): string {
  if (!showsInventedData(run.facts)) return '';
  return `<p class="invented" role="note"><strong>${escapeHtml(inventedDataWarning)}</strong></p>`;
}

function contentsList(headings: readonly PageHeading[]): string {
  const entries = headings
    .filter((heading) => heading.level === 2)
    .map((heading) => `<li><a href="#${heading.id}">${escapeHtml(heading.text)}</a></li>`);
  return (
    '<nav aria-label="Contents"><p class="nav-title" id="contents">On this page</p><ol>' +
    `${entries.join('')}<li><a href="#about">Where the numbers come from</a></li></ol>` +
    '<p><a href="index.html">All pages of this run</a></p></nav>'
  );
}

function about(run: NotebookRun): string {
  const { facts } = run;
  const entry = (term: string, texts: readonly string[]) =>
    `<div><dt>${escapeHtml(term)}</dt>${texts.map((text) => `<dd>${escapeHtml(text)}</dd>`).join('')}</div>`;
  const departures = departuresOfRun(run);
  return `<h2 id="about">Where the numbers come from</h2>
<dl>
${factEntries(facts)
  .map(([term, text]) => entry(term, [text]))
  .join('\n')}
${methods(run.methods)}
${entry('Departures from the protocol', departures.length > 0 ? departures : ['None.'])}
${run.sensitivityAnalyses.length === 0 ? '' : entry('Sensitivity analyses', run.sensitivityAnalyses)}
${entry('Programs', [`tenosite ${facts.tenositeVersion}, Node ${facts.nodeVersion}`])}
${facts.provenance === undefined || facts.dataFrom !== undefined ? '' : entry('Made from', [provenanceText(facts.provenance)])}
</dl>`;
}

/** The first pool's methods sentence in full; those of the others, which differ in counts, folded away. */
function methods(sentences: readonly string[]): string {
  const [first, ...others] = sentences.map((text) => `<p>${escapeHtml(text)}</p>`);
  if (first === undefined) return '';
  const more =
    others.length === 0
      ? ''
      : `<details><summary>The same for the other pools of this page (${others.length})</summary>${others.join('')}</details>`;
  return `<div><dt>Methods</dt><dd>${first}${more}</dd></div>`;
}
