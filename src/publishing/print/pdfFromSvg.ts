import PDFDocument from 'pdfkit';
import { pointsPerMillimetre } from '../../figures/pageSize.ts';
import { fontFaces } from '../../figures/textWidth.ts';
import type { FigureFonts } from './figureFonts.ts';
import { drawElement } from './pdfElements.ts';
import { readPicture } from './pictureText.ts';

export interface PdfOptions {
  /** TrueType cuts with the characters of the picture. */
  readonly fonts: FigureFonts;
  /** Written into the file as the time it was made. */
  readonly made: Date;
}

/**
 * Writes a figure as a PDF of one page of the figure's size: lines and areas stay lines and areas, text stays
 * text in its own embedded type, hatching is drawn as lines. The description of the picture goes along as
 * alternative text.
 *
 * It knows the small vocabulary figures are drawn with and refuses anything else, so that nothing is ever left
 * out of a picture in silence.
 *
 * @throws RangeError naming an element or attribute it does not know
 * @example
 * await writeFile('forest.pdf', await pdfFromSvg(svg, { fonts, made: new Date() }))
 */
export async function pdfFromSvg(svg: string, { fonts, made }: PdfOptions): Promise<Uint8Array> {
  const root = readPicture(svg);
  const [, , width, height] = (root.getAttribute('viewBox') ?? '').split(' ').map(Number);
  const millimetres = Number.parseFloat(root.getAttribute('width') ?? '');
  if (
    width === undefined ||
    height === undefined ||
    !(Math.abs(width / pointsPerMillimetre - millimetres) < 0.001)
  )
    throw new RangeError('a figure has a view box in points and the same width in mm');
  const title = root.querySelector('title')?.textContent ?? '';
  const document = new PDFDocument({
    size: [width, height],
    margin: 0,
    autoFirstPage: false,
    pdfVersion: '1.7',
    tagged: true,
    displayTitle: true,
    lang: 'en-GB',
    // No font before the figure's own: the default one would not be embedded.
    font: null as unknown as string,
    info: { Title: title, Creator: 'tenosite', Producer: 'PDFKit', CreationDate: made },
  });
  const pieces: Buffer[] = [];
  document.on('data', (piece: Buffer) => pieces.push(piece));
  const ended = new Promise<void>((resolve, reject) => {
    document.on('end', resolve);
    document.on('error', reject);
  });
  for (const face of fontFaces) {
    const font = fonts.get(face);
    if (font !== undefined) document.registerFont(face, Buffer.from(font));
  }
  document.addPage();
  document.addStructure(
    document.struct('Figure', { alt: root.querySelector('desc')?.textContent ?? title }, () => {
      for (const child of root.children) drawElement(document, child, root);
    }),
  );
  document.end();
  await ended;
  return Buffer.concat(pieces);
}
