import { openDecisions } from '../../answers/openDecisions.ts';
import { flowDiagram } from '../../figures/flowDiagram.ts';
import { checklistTable } from '../../tables/checklist/checklistTable.ts';
import {
  checklistLists,
  type ReportingChecklist,
  reportingChecklist,
} from '../../tables/checklist/reportingChecklist.ts';
import { documentToHtml } from '../../tables/documentToHtml.ts';
import { documentToMarkdown } from '../../tables/documentToMarkdown.ts';
import { documentToWord } from '../../tables/documentToWord.ts';
import { manuscriptDocument } from '../../tables/manuscript/manuscriptDocument.ts';
import type { ManuscriptInput } from '../../tables/manuscript/manuscriptInput.ts';
import { manuscriptText } from '../../tables/manuscript/manuscriptText.ts';
import type { Manuscript } from '../../tables/manuscript/sentence.ts';
import type { ReportDocument } from '../../tables/reportDocument.ts';
import { tableToCsv } from '../../tables/tableToCsv.ts';
import { jsonSafe } from '../jsonSafe.ts';
import { clinicalCaution, inventedDataNotice } from '../pageFacts.ts';
import { renderPng } from '../renderPng.ts';
import { wordFonts } from '../wordFonts.ts';
import type { FileToWrite } from '../writeFiles.ts';

/** A review's text, its checklists, and the document of both. */
export interface ManuscriptOfReview {
  readonly manuscript: Manuscript;
  readonly checklist: ReportingChecklist;
  readonly document: ReportDocument;
}

/**
 * Text, flow diagram and checklists of a review as one document.
 *
 * @param headings headings of the notebooks by name, for the places the checklist proposes
 */
export function manuscriptOfReview(
  input: ManuscriptInput,
  headings: ReadonlyMap<string, readonly string[]>,
): ManuscriptOfReview {
  const { review, flow } = input;
  const { inventedData } = review.protocol;
  const notice = inventedData ? { notice: inventedDataNotice } : {};
  const manuscript = manuscriptText(input);
  const checklist = reportingChecklist(review, manuscript, { headings });
  const svg = flowDiagram(flow, notice);
  const description = /<desc[^>]*>([^<]*)<\/desc>/.exec(svg)?.[1] ?? '';
  const { sentence: warning } = openDecisions(review);
  const document = manuscriptDocument(manuscript, {
    caution: clinicalCaution,
    ...notice,
    ...(warning === undefined ? {} : { warning }),
    flow: { title: 'From search to inclusion', description, svg },
    appendix: [
      { kind: 'page-break' },
      { kind: 'heading', level: 1, text: 'Reporting checklists' },
      ...checklistLists.map((list) => ({ kind: 'table', table: checklistTable(checklist, list) }) as const),
    ],
  });
  return { manuscript, checklist, document };
}

/** The files `npm run manuscript` writes: Word, page, Markdown, the checklists, and every sentence with its sources. */
export async function manuscriptFiles({
  manuscript,
  checklist,
  document,
}: ManuscriptOfReview): Promise<readonly FileToWrite[]> {
  const renderPicture = (svg: string): Uint8Array => renderPng(svg, { dotsPerInch: 300 });
  const svg = document.blocks.find((block) => block.kind === 'figure')?.svg ?? '';
  return [
    {
      path: 'manuscript.docx',
      content: await documentToWord(document, { renderPicture, fonts: await wordFonts() }),
    },
    { path: 'manuscript.html', content: documentToHtml(document) },
    { path: 'manuscript.md', content: documentToMarkdown(document, { pictureAt: () => 'flow.svg' }) },
    { path: 'flow.svg', content: svg },
    { path: 'checklist.csv', content: tableToCsv(checklistTable(checklist, 'PRISMA 2020')) },
    {
      path: 'manuscript.json',
      content: `${JSON.stringify(jsonSafe({ ...manuscript, checklist: checklist.entries }), null, 1)}\n`,
    },
  ];
}
