import type { ChangeReport } from '../../changes/changeReport.ts';
import { beforeAfter } from '../../figures/beforeAfter.ts';
import { type ChangePicture, changeDocument } from '../../tables/changes/changeDocument.ts';
import { documentToHtml } from '../../tables/documentToHtml.ts';
import { documentToMarkdown } from '../../tables/documentToMarkdown.ts';
import { documentToWord } from '../../tables/documentToWord.ts';
import type { ReportDocument } from '../../tables/reportDocument.ts';
import { jsonSafe } from '../jsonSafe.ts';
import { clinicalCaution, inventedDataNotice, inventedDataWarning } from '../pageFacts.ts';
import { pageStyle } from '../pageStyle.ts';
import { renderPng } from '../renderPng.ts';
import { wordFonts } from '../wordFonts.ts';
import type { FileToWrite } from '../writeFiles.ts';

const kinds = [
  ['rate', 'Rates at each site, before and now'],
  ['comparison', 'One site against another, before and now'],
  ['mean', 'Mean scores at each site, before and now'],
] as const;

/** The pictures of a report; kinds of numbers that did not move have none. */
export function changePictures(report: ChangeReport): readonly ChangePicture[] {
  return kinds.flatMap(([kind, title]) => {
    const moved = report.answers.some(
      ({ before, after }) => (after ?? before)?.question.kind === kind && before?.value !== after?.value,
    );
    if (!moved) return [];
    const svg = beforeAfter(report, {
      kind,
      title,
      width: '190mm',
      idPrefix: `before-after-${kind}`,
      ...(report.inventedData ? { notice: inventedDataNotice } : {}),
    });
    const description = /<desc[^>]*>([^<]*)<\/desc>/.exec(svg)?.[1] ?? title;
    return [{ title, description: plain(description), svg }];
  });
}

/** The description as text: what the picture's own escaping did is undone. */
const plain = (text: string): string =>
  text
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&apos;', "'")
    .replaceAll('&amp;', '&');

/** The document of a report, with its pictures. */
export const documentOfChanges = (report: ChangeReport): ReportDocument =>
  changeDocument(report, {
    pictures: changePictures(report),
    notice: report.inventedData ? inventedDataWarning : report.notice,
    caution: clinicalCaution,
  });

/** The report as a Word file, a page, Markdown and JSON. */
export async function changesFiles(report: ChangeReport): Promise<readonly FileToWrite[]> {
  const document = documentOfChanges(report);
  return [
    {
      path: 'changes.docx',
      content: await documentToWord(document, {
        fonts: await wordFonts(),
        renderPicture: (svg) => renderPng(svg, { dotsPerInch: 200 }),
      }),
    },
    { path: 'changes.html', content: documentToHtml(document, { style: pageStyle() }) },
    { path: 'changes.md', content: documentToMarkdown(document) },
    { path: 'changes.json', content: `${JSON.stringify(jsonSafe(report, 'changes'), null, 1)}\n` },
  ];
}
