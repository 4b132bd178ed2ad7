import type { FileChild, ISectionOptions, Paragraph } from 'docx';
import { footnoteMarks } from './footnotes.ts';
import { numberedBlocks } from './numberedBlocks.ts';
import type { ReportDocument } from './reportDocument.ts';
import { answerRuns } from './word/answerRuns.ts';
import { type PageTurn, textWidths } from './word/columnWidths.ts';
import { documentSections } from './word/documentSections.ts';
import type { WordFonts } from './word/embeddedFonts.ts';
import { finishPackage } from './word/finishPackage.ts';
import { pictureSize } from './word/pictureSize.ts';
import { markSize, wordStyleIds, wordStyles } from './word/wordStyles.ts';
import { twips, wordTable } from './word/wordTable.ts';
import { wordText } from './word/wordText.ts';

/** Options of {@link documentToWord}. */
export interface WordOptions {
  /** Turns a figure (SVG text) into a PNG; asked once for each figure, in order. */
  readonly renderPicture: (svg: string) => Uint8Array | Promise<Uint8Array>;
  /** The document's type, put into the file; without it the machine's own or a substitute is taken. */
  readonly fonts?: WordFonts;
}

/** Height in mm a picture may take on an upright and on a turned page, with its caption above. */
const pictureHeights: Readonly<Record<PageTurn, number>> = { portrait: 215, landscape: 135 };

/**
 * A document as a Word file (Office Open XML, .docx).
 *
 * Tables are Word tables: heading rows repeat on every page, rows do not split, captions stand above with their
 * number, footnotes below. A table too wide for an upright page turns the page for all that stands under its heading.
 * Title and notice stand at the head of every page, caution and page number at its foot. The type is Source Sans 3,
 * inside the file where the caller brings it; without it a machine that lacks the type takes Calibri, which every Word
 * has, and lines may break elsewhere. Figures are pictures
 * (PNG), so that they look the same on every machine, with their description as alternative text. The same document
 * is the same file, byte by byte: no time is written into it.
 *
 * @throws what `renderPicture` throws; RangeError for a figure without a viewBox
 * @see ECMA-376 part 1 (WordprocessingML)
 * @example
 * await writeFile('evidence.docx', await documentToWord(evidence, { renderPicture: (svg) => renderPng(svg) }));
 */
export async function documentToWord(document: ReportDocument, options: WordOptions): Promise<Uint8Array> {
  const docx = await import('docx');
  const numberOf = numberedBlocks(document);
  const runs = answerRuns(docx);
  const text = (words: string, style?: string) =>
    new docx.Paragraph({ ...(style && { style }), children: [...runs.of(words)] });
  const captions: string[] = [];
  const headingLevels = [
    docx.HeadingLevel.HEADING_1,
    docx.HeadingLevel.HEADING_2,
    docx.HeadingLevel.HEADING_3,
  ] as const;
  let lists = 0;

  const children = async (
    block: ReportDocument['blocks'][number],
    turn: PageTurn,
  ): Promise<readonly FileChild[]> => {
    switch (block.kind) {
      case 'heading':
        return [
          new docx.Paragraph({
            heading: headingLevels[block.level - 1]!,
            children: [...runs.of(block.text)],
          }),
        ];
      case 'paragraph':
        return [text(block.text, block.emphasis && wordStyleIds[block.emphasis])];
      case 'list': {
        lists += 1;
        const reference = block.numbered ? 'numbers' : 'bullets';
        return block.items.map(
          (item) =>
            new docx.Paragraph({
              style: 'ListParagraph',
              numbering: { reference, level: 0, instance: lists },
              children: [...runs.of(item)],
            }),
        );
      }
      case 'table': {
        const caption = `${numberOf(block)} ${block.table.caption}`;
        captions.push(caption);
        const marks = footnoteMarks(block.table).listed.map(
          ({ mark, text: words }) =>
            new docx.Paragraph({
              style: wordStyleIds.tableNote,
              children: [
                new docx.TextRun({ text: mark, superScript: true, size: markSize }),
                ...runs.of(` ${words}`),
              ],
            }),
        );
        const notes = block.table.notes.map((note) => text(note, wordStyleIds.tableNote));
        return [
          text(caption, 'Caption'),
          wordTable(docx, block.table, turn, runs),
          ...marks,
          ...notes,
          spacer(),
        ];
      }
      case 'figure': {
        const size = pictureSize(block.svg, textWidths[turn], pictureHeights[turn]);
        const picture = new docx.ImageRun({
          type: 'png',
          data: await options.renderPicture(block.svg),
          transformation: { width: pixels(size.width), height: pixels(size.height) },
          altText: {
            name: wordText(numberOf(block)),
            title: wordText(block.title),
            description: wordText(block.description),
          },
        });
        return [
          text(`${numberOf(block)} ${block.title}`, 'Caption'),
          new docx.Paragraph({ children: [picture] }),
        ];
      }
      case 'page-break':
        return [new docx.Paragraph({ children: [new docx.PageBreak()] })];
    }
  };
  // Without a paragraph between them Word joins two tables into one.
  const spacer = (): Paragraph => new docx.Paragraph({ style: wordStyleIds.tableNote, children: [] });

  const title = new docx.Paragraph({
    heading: docx.HeadingLevel.TITLE,
    children: [new docx.TextRun(wordText(document.title))],
  });
  const sections: ISectionOptions[] = [];
  for (const { turn, blocks } of documentSections(document)) {
    const made: FileChild[] = sections.length === 0 ? [title] : [];
    for (const block of blocks) made.push(...(await children(block, turn)));
    const frame = twips(textWidths[turn]);
    sections.push({
      properties: {
        page: {
          size: {
            width: twips(210),
            height: twips(297),
            orientation: docx.PageOrientation[turn === 'portrait' ? 'PORTRAIT' : 'LANDSCAPE'],
          },
          margin: {
            top: twips(24),
            bottom: twips(20),
            left: twips(20),
            right: twips(20),
            header: twips(10),
            footer: twips(9),
          },
        },
      },
      headers: {
        default: new docx.Header({
          children: [
            text(document.title, wordStyleIds.pageHead),
            ...(document.notice === undefined
              ? []
              : [
                  new docx.Paragraph({
                    style: wordStyleIds.pageHead,
                    children: [
                      new docx.TextRun({ text: wordText(document.notice), bold: true, color: '7A2230' }),
                    ],
                  }),
                ]),
          ],
        }),
      },
      footers: {
        default: new docx.Footer({
          children: [
            text(document.caution, wordStyleIds.pageFoot),
            new docx.Paragraph({
              style: wordStyleIds.pageFoot,
              tabStops: [{ type: docx.TabStopType.RIGHT, position: frame }],
              children: [
                new docx.TextRun({
                  children: [
                    new docx.Tab(),
                    'Page ',
                    docx.PageNumber.CURRENT,
                    ' of ',
                    docx.PageNumber.TOTAL_PAGES,
                  ],
                }),
              ],
            }),
          ],
        }),
      },
      children: made,
    });
  }
  const level = (format: 'bullet' | 'decimal', words: string) => [
    {
      level: 0,
      format: docx.LevelFormat[format === 'bullet' ? 'BULLET' : 'DECIMAL'],
      text: words,
      alignment: docx.AlignmentType.LEFT,
      style: { paragraph: { indent: { left: twips(6), hanging: twips(5) } } },
    },
  ];
  const file = new docx.Document({
    title: wordText(document.title),
    creator: 'tenosite',
    lastModifiedBy: 'tenosite',
    description: wordText([document.notice, document.caution].filter((part) => part !== undefined).join(' ')),
    styles: wordStyles(document.language),
    numbering: {
      config: [
        { reference: 'bullets', levels: level('bullet', '\u2022') },
        { reference: 'numbers', levels: level('decimal', '%1.') },
      ],
    },
    sections,
  });
  const packed = new Uint8Array(await docx.Packer.toArrayBuffer(file));
  return finishPackage(packed, {
    language: document.language,
    captions,
    ...(options.fonts !== undefined && { fonts: options.fonts }),
  });
}

/** Word counts the size of a picture in pixels of which 96 make an inch. */
const pixels = (millimetres: number): number => Math.round((millimetres / 25.4) * 96);
