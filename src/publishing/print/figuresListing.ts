import { escape as escapeHtml } from 'html-escaper';
import { pageFrame } from '../htmlPage.ts';
import { clinicalCaution, inventedDataWarning, type PageFacts, showsInventedData } from '../pageFacts.ts';
import type { DrawnFigure } from './drawPlanned.ts';
import type { FiguresCommandLine } from './figuresCommandLine.ts';
import { readPicture } from './pictureText.ts';

/** What is said of a figure to those who cannot see it: the picture's own description. */
export const alternativeText = (svg: string): string =>
  readPicture(svg).querySelector('desc')?.textContent?.trim() ?? '';

const legendOf = ({ planned }: DrawnFigure, facts: PageFacts): string =>
  [
    `${planned.title}.`,
    ...planned.legend,
    ...(showsInventedData(facts) ? ['Invented data: these studies do not exist.'] : []),
    clinicalCaution,
  ].join(' ');

const millimetres = (length: number): string => String(Math.round(10 * length) / 10);

/** Which figures there are, each with its files, a suggested legend and its alternative text. */
export function figuresListing(
  facts: PageFacts,
  drawn: readonly DrawnFigure[],
  { formats, dotsPerInch }: FiguresCommandLine,
): string {
  const preview = formats.includes('svg') ? 'svg' : formats.includes('png') ? 'png' : undefined;
  const wholes = new Set<string>();
  const sections = drawn.map((figure) => {
    const { planned, file, size, partOf, svg } = figure;
    const pixels = Math.round((size.width / 25.4) * dotsPerInch);
    const cut = partOf === undefined || wholes.has(partOf) ? '' : `<p class="note">${escapeHtml(partOf)}</p>`;
    if (partOf !== undefined) wholes.add(partOf);
    const links = formats.map(
      (format) =>
        `<a href="${escapeHtml(file)}.${format}">${format.toUpperCase()}${format === 'png' ? `, ${dotsPerInch} dpi` : ''}` +
        `<span class="quiet"> of ${escapeHtml(planned.title)}</span></a>`,
    );
    return `<section aria-labelledby="${escapeHtml(file)}">
<h2 id="${escapeHtml(file)}">${escapeHtml(planned.title)}</h2>
${cut}
${preview === undefined ? '' : `<figure class="preview"><img src="${escapeHtml(file)}.${preview}" alt="${escapeHtml(planned.title)}; its alternative text follows" loading="lazy" width="${Math.round(4 * size.width)}" height="${Math.round(4 * size.height)}"></figure>`}
<p class="downloads">Files ${links.join(' ')} ${millimetres(size.width)} by ${millimetres(size.height)} mm${formats.includes('png') ? `, ${pixels} pixels wide` : ''}</p>
${size.complaints.map((line) => `<p><strong>${escapeHtml(line)}</strong></p>`).join('')}
<p><strong>Suggested legend.</strong> ${escapeHtml(legendOf(figure, facts))}</p>
<details><summary>Alternative text<span class="quiet"> of ${escapeHtml(planned.title)}</span></summary><p>${escapeHtml(alternativeText(svg))}</p></details>
</section>`;
  });
  const first = drawn[0];
  const warning = showsInventedData(facts)
    ? `<p class="invented" role="note"><strong>${escapeHtml(inventedDataWarning)}</strong></p>`
    : '';
  return pageFrame({
    title: `Figures for print: ${facts.reviewTitle}`,
    contents: `<nav aria-label="Contents"><p class="nav-title" id="contents">On this page</p><ol>${drawn
      .map(({ planned, file }) => `<li><a href="#${escapeHtml(file)}">${escapeHtml(planned.title)}</a></li>`)
      .join('')}</ol></nav>`,
    main: `${warning}<h1>Figures for print</h1>
<p>${drawn.length} figure${drawn.length === 1 ? '' : 's'} of the review "${escapeHtml(facts.reviewTitle)}". Text is ${first?.size.smallestText ?? 8} pt or more and lines 0.5 pt or more at the size given. SVG and PDF are drawn in lines and carry their type, Source Sans 3 (SIL Open Font License 1.1). Legends are suggestions: read them against the figure and your journal's rules. All of them as plain text: <a href="legends.txt">legends.txt</a>.</p>
<p class="caution">${escapeHtml(clinicalCaution)}</p>
${sections.join('\n')}`,
  });
}

/** The same legends and alternative texts for a manuscript. */
export function legendsText(facts: PageFacts, drawn: readonly DrawnFigure[]): string {
  const entries = drawn.map((figure, index) =>
    [
      `Figure ${index + 1} (${figure.file}; ${millimetres(figure.size.width)} by ${millimetres(figure.size.height)} mm)`,
      ...figure.size.complaints,
      `Legend: ${legendOf(figure, facts)}`,
      `Alternative text: ${alternativeText(figure.svg)}`,
    ].join('\n'),
  );
  return `${facts.reviewTitle}\n\n${entries.join('\n\n')}\n`;
}
