import type PptxGenJS from 'pptxgenjs';
import { plainLine } from '../../figures/fitText.ts';
import { palette } from '../../figures/palette.ts';
import { slideFont } from '../../figures/slideText.ts';
import { drawPlaced } from './drawSlide.ts';
import { layOutTalk, titleSizes } from './layOutTalk.ts';
import type { Box, LaidOutSlide, Placed, PlacedParagraph } from './placed.ts';
import { cellPadding } from './placeTable.ts';
import { bulletIndent } from './placeText.ts';
import type { Talk } from './slide.ts';
import { lineSpacing, pointsPerInch, slideBoxes, smallest } from './slideGeometry.ts';
import { type DrawPng, tidyPptx } from './tidyPptx.ts';

export interface PptxOptions {
  /** Draws the picture that older programs show where they cannot show the SVG. */
  readonly png?: DrawPng;
}

/**
 * A talk as a presentation: every word and table native and editable, squares of people as pictures with a text for
 * those who cannot see them, the message of each slide in its title placeholder, exact numbers and sources in its notes.
 *
 * The same talk gives the same bytes: no clock, no random number. The text is set in Arial, which every office program
 * has; a font the lecture hall's computer lacks would be replaced unmeasured.
 *
 * @example
 * await writeFile('talk.pptx', await pptxOfTalk(talk, { png: renderPng }))
 */
export async function pptxOfTalk(talk: Talk, options: PptxOptions = {}): Promise<Uint8Array> {
  const { default: PptxGen } = await import('pptxgenjs');
  const presentation = new (PptxGen as unknown as new () => PptxGenJS)();
  presentation.defineLayout({ name: 'talk', width: 960 / pointsPerInch, height: 540 / pointsPerInch });
  presentation.layout = 'talk';
  presentation.title = cleanText(talk.title);
  presentation.author = 'tenosite';
  presentation.company = '';
  presentation.subject = cleanText(talk.caution);
  presentation.theme = { headFontFace: slideFont, bodyFontFace: slideFont };
  for (const { size } of titleSizes)
    presentation.defineSlideMaster({
      title: layoutName(size),
      background: { color: hex(palette.paper) },
      objects: [
        {
          placeholder: {
            options: {
              name: 'title',
              type: 'title',
              ...inches(slideBoxes.title),
              fontSize: size,
              fontFace: slideFont,
              bold: true,
              color: hex(palette.ink),
              align: 'left',
              valign: 'bottom',
              margin: 0,
            },
            text: '',
          },
        },
      ],
      slideNumber: {
        ...inches(slideBoxes.number),
        fontFace: slideFont,
        fontSize: smallest,
        color: hex(palette.quiet),
        align: 'right',
        margin: 0,
      },
    });
  const laidOut = layOutTalk(talk);
  const pictures: string[] = [];
  for (const slide of laidOut) addSlide(presentation, slide, talk.language, pictures);
  const written = (await presentation.write({ outputType: 'uint8array' })) as Uint8Array;
  return tidyPptx(written, { pictures, slides: laidOut, language: talk.language, png: options.png });
}

const layoutName = (size: number): string => `Message, ${size} points`;
const hex = (colour: string): string => colour.slice(1);
const inches = ({ left, top, width, height }: Box) => ({
  x: left / pointsPerInch,
  y: top / pointsPerInch,
  w: width / pointsPerInch,
  h: height / pointsPerInch,
});

/** Characters XML has no place for become a mark; line breaks and the like become spaces. */
export const cleanText = (text: string): string =>
  plainLine(text.replace(/[\p{Surrogate}\ufffe\uffff]/gu, '\ufffd'));

function addSlide(
  presentation: PptxGenJS,
  { placed, title, notes }: LaidOutSlide,
  language: string,
  pictures: string[],
): void {
  const titled = placed.find((each) => each.kind === 'text' && each.role === 'title') as Extract<
    Placed,
    { kind: 'text' }
  >;
  const titleSize = titled.paragraphs[0]!.size;
  const slide = presentation.addSlide({ masterName: layoutName(titleSize) });
  slide.addText(
    [{ text: cleanText(title), options: { lang: language, lineSpacing: titleSize * lineSpacing } }],
    { placeholder: 'title', lang: language },
  );
  for (const each of placed) {
    if (each === titled || (each.kind === 'text' && each.role === 'number')) continue;
    if (each.kind === 'text') addText(slide, each, language);
    else if (each.kind === 'table') addTable(slide, each, language);
    else if (each.kind === 'rule')
      slide.addShape('line', { ...inches(each.box), line: { color: hex(palette.hairline), width: 1 } });
    else {
      const svg = drawPlaced(each);
      pictures.push(svg);
      slide.addImage({
        ...inches(each.box),
        data: `data:image/svg+xml;base64,${base64(svg)}`,
        altText: each.kind === 'people' ? cleanText(each.description) : 'decorative',
      });
    }
  }
  slide.addNotes(notes.map(cleanText).join('\n'));
}

const base64 = (text: string): string => {
  const bytes = new TextEncoder().encode(text);
  let binary = '';
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary);
};

function runOptions({ size, face, colour, bullet, before }: PlacedParagraph, language: string) {
  return {
    fontSize: size,
    fontFace: slideFont,
    bold: face === 'bold',
    italic: face === 'italic',
    color: hex(colour),
    lang: language,
    lineSpacing: size * lineSpacing,
    ...(before === 0 ? {} : { paraSpaceBefore: before }),
    ...(bullet ? { bullet: { indent: bulletIndent } } : {}),
  };
}

function addText(slide: PptxGenJS.Slide, placed: Extract<Placed, { kind: 'text' }>, language: string): void {
  const last = placed.paragraphs.length - 1;
  slide.addText(
    placed.paragraphs.map((paragraph, at) => ({
      text: cleanText(paragraph.text),
      options: { ...runOptions(paragraph, language), breakLine: at < last },
    })),
    {
      ...inches(placed.box),
      margin: 0,
      valign: 'top',
      align: placed.align,
      isTextBox: true,
      wrap: true,
      fontSize: placed.paragraphs[0]?.size ?? smallest,
      fontFace: slideFont,
      lang: language,
      objectName: placed.role,
    },
  );
}

function addTable(slide: PptxGenJS.Slide, table: Extract<Placed, { kind: 'table' }>, language: string): void {
  const none = { type: 'none' } as const;
  slide.addTable(
    table.rows.map((row, at) =>
      row.map(({ text, bold, align }) => {
        const rule =
          at === 0
            ? { type: 'solid' as const, pt: 1.2, color: hex(palette.ink) }
            : { type: 'solid' as const, pt: 0.8, color: hex(palette.hairline) };
        return {
          text: cleanText(text),
          options: {
            bold,
            align,
            valign: 'top' as const,
            fontSize: table.size,
            fontFace: slideFont,
            color: hex(palette.ink),
            lang: language,
            lineSpacing: table.size * lineSpacing,
            margin: [cellPadding.end, cellPadding.side, cellPadding.end, cellPadding.side] as [
              number,
              number,
              number,
              number,
            ],
            border: [none, none, rule, none] as [typeof none, typeof none, typeof rule, typeof none],
          },
        };
      }),
    ),
    {
      ...inches(table.box),
      colW: table.columns.map((width) => width / pointsPerInch),
      rowH: table.rowHeights.map((height) => height / pointsPerInch),
      objectName: cleanText(table.caption),
    },
  );
}
