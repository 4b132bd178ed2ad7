import type { DocumentBlock, ReportDocument } from '../reportDocument.ts';
import { sentencesToSupply } from './manuscriptText.ts';
import type { Manuscript } from './sentence.ts';

export interface ManuscriptDocumentOptions {
  readonly caution: string;
  readonly notice?: string;
  /** Said at the top, before the text. */
  readonly warning?: string;
  /** Placed after the paragraph on study selection. */
  readonly flow?: { readonly title: string; readonly description: string; readonly svg: string };
  /** Placed at the end, each under a heading of its own. */
  readonly appendix?: readonly DocumentBlock[];
}

/** The paragraphs under one heading as text. */
export function textsOf({ sentences }: Manuscript['paragraphs'][number]): readonly string[] {
  const texts: string[] = [];
  for (const { text, startsParagraph } of sentences) {
    const last = texts.length - 1;
    if (last < 0 || startsParagraph === true) texts.push(text);
    else texts[last] += ` ${text}`;
  }
  return texts;
}

/** The heading of one paragraph, as documents and the checklist name it: `Results: Study selection`. */
export const placeOf = ({ part, heading }: Manuscript['paragraphs'][number]): string => `${part}: ${heading}`;

/**
 * A manuscript as a document for Word, Markdown or a page: paragraphs under the guideline's headings, the list of what
 * the author has to supply, and the references.
 *
 * @example
 * manuscriptDocument(manuscriptText(input), { caution })
 */
export function manuscriptDocument(
  manuscript: Manuscript,
  { caution, notice, warning, flow, appendix = [] }: ManuscriptDocumentOptions,
): ReportDocument {
  const blocks: DocumentBlock[] = [
    {
      kind: 'paragraph',
      emphasis: 'note',
      text: 'Methods and results, written from the data. Text in square brackets is for the author to supply; every such place is listed at the end.',
    },
    ...(warning === undefined ? [] : [{ kind: 'paragraph', emphasis: 'warning', text: warning } as const]),
  ];
  let part: string | undefined;
  for (const paragraph of manuscript.paragraphs) {
    if (paragraph.part !== part) blocks.push({ kind: 'heading', level: 1, text: paragraph.part });
    part = paragraph.part;
    blocks.push({ kind: 'heading', level: 2, text: paragraph.heading });
    for (const text of textsOf(paragraph)) blocks.push({ kind: 'paragraph', text });
    if (paragraph.heading === 'Study selection' && flow !== undefined)
      blocks.push({ kind: 'figure', ...flow });
  }
  blocks.push({ kind: 'heading', level: 1, text: 'References' });
  blocks.push({ kind: 'list', numbered: true, items: manuscript.references });
  const gaps = sentencesToSupply(manuscript);
  blocks.push({ kind: 'heading', level: 1, text: 'For the author to supply' });
  blocks.push({
    kind: 'list',
    items: gaps.flatMap(({ item, toSupply }) => toSupply.map((gap) => `Item ${item}: ${gap}`)),
  });
  return {
    kind: 'report-document',
    title: manuscript.title,
    language: 'en-GB',
    notice,
    caution,
    blocks: [...blocks, ...appendix],
  };
}
