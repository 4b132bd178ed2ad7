import type { IPropertiesOptions } from 'docx';

/** The type of every document, and what Word takes on a machine that does not have it. */
export const wordFont = 'Source Sans 3';
export const wordFallback = 'Calibri';

// The colours of the design sheet, without the number sign as Word writes them.
export const wordColours = {
  ink: '1B1F27',
  quiet: '4A5260',
  hairline: 'C3C9D2',
  comparison: '1B4A5E',
  notice: '7A2230',
  tint: 'ECEEF1',
} as const;

/** Names of the paragraph styles that are the document's own. */
export const wordStyleIds = {
  lead: 'Lead',
  note: 'Note',
  warning: 'Warning',
  tableText: 'TableText',
  tableHeading: 'TableHeading',
  tableNote: 'TableNote',
  pageHead: 'PageHead',
  pageFoot: 'PageFoot',
} as const;

/** Half points of a footnote's letter, which Word draws at about two thirds when it raises it. */
export const markSize = 19;

const points = (size: number) => 2 * size;
const space = (before: number, after: number) => ({ before: 20 * before, after: 20 * after });

/** Styles of a document in its language. */
export function wordStyles(language: string): NonNullable<IPropertiesOptions['styles']> {
  const { ink, quiet, comparison, notice } = wordColours;
  const heading = (size: number, before: number, after: number) => ({
    run: { size: points(size), bold: true, color: ink, font: wordFont },
    paragraph: { keepNext: true, keepLines: true, spacing: space(before, after) },
  });
  const own = (
    id: string,
    name: string,
    run: { size: number; bold?: boolean; color?: string },
    paragraph: object,
  ) => ({
    id,
    name,
    basedOn: 'Normal',
    quickFormat: true,
    run: { ...run, size: points(run.size), color: run.color ?? ink },
    paragraph,
  });
  return {
    default: {
      document: {
        run: { font: wordFont, size: points(10.5), color: ink, language: { value: language } },
        paragraph: { spacing: { ...space(0, 6), line: 240, lineRule: 'auto' } },
      },
      title: {
        run: { size: points(20), bold: true, color: ink, font: wordFont },
        paragraph: { keepNext: true, spacing: space(0, 8) },
      },
      heading1: heading(15, 16, 6),
      heading2: heading(12.5, 12, 4),
      heading3: heading(11, 10, 3),
      caption: {
        run: { size: points(10), bold: true, italics: false, color: ink, font: wordFont },
        paragraph: { keepNext: true, keepLines: true, spacing: space(10, 4) },
      },
      listParagraph: { paragraph: { spacing: space(0, 3) } },
    },
    paragraphStyles: [
      own(wordStyleIds.lead, 'Lead', { size: 12 }, { spacing: space(0, 8) }),
      own(wordStyleIds.note, 'Note', { size: 9, color: quiet }, { spacing: space(0, 4) }),
      own(
        wordStyleIds.warning,
        'Warning',
        { size: 10.5, bold: true, color: notice },
        {
          keepLines: true,
          spacing: space(4, 8),
          border: {
            top: { style: 'single', size: 6, color: notice, space: 4 },
            bottom: { style: 'single', size: 6, color: notice, space: 4 },
          },
        },
      ),
      own(
        wordStyleIds.tableText,
        'Table text',
        { size: 8.5 },
        { spacing: { ...space(1.5, 1.5), line: 240, lineRule: 'auto' } },
      ),
      own(
        wordStyleIds.tableHeading,
        'Table heading',
        { size: 8.5, bold: true },
        { keepNext: true, spacing: { ...space(1.5, 1.5), line: 240, lineRule: 'auto' } },
      ),
      own(
        wordStyleIds.tableNote,
        'Table note',
        { size: 8.5, color: quiet },
        { keepLines: true, spacing: { ...space(2, 0), line: 240, lineRule: 'auto' } },
      ),
      own(wordStyleIds.pageHead, 'Page head', { size: 8, color: quiet }, { spacing: space(0, 2) }),
      own(wordStyleIds.pageFoot, 'Page foot', { size: 8, color: comparison }, { spacing: space(0, 0) }),
    ],
  };
}
