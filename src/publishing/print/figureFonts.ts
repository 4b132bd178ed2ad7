import { readFileSync } from 'node:fs';
import subsetFont from 'subset-font';
import { type FontFace, fontFaces } from '../../figures/textWidth.ts';
import { figureFontFiles } from '../renderPng.ts';

/** Kerning, ligatures and accents that stand over a letter: what setting a line of text needs. */
const keepFeatures = ['kern', 'liga', 'ccmp', 'locl', 'mark', 'mkmk'];

/**
 * The family and style as typographers name them (OpenType specification, name table, records 16 and 17). Without them
 * the semibold cut in a file counts as a family of its own, and PNGs have the bold in its stead. Fonts inside a picture
 * are named by the picture's own style sheet.
 */
const preserveNameIds = [16, 17];

/** Font files of the cuts a set of pictures uses, cut down to its characters. */
export type FigureFonts = ReadonlyMap<FontFace, Uint8Array>;

/**
 * Cuts the figure font down to what pictures use: about 6 kB a cut where the whole is 380 kB.
 *
 * @param characters what each cut must have
 * @param format `woff2` is smallest, `woff` is made quickest, `truetype` is what a PDF takes
 */
export async function figureFonts(
  characters: ReadonlyMap<FontFace, string>,
  format: 'truetype' | 'woff' | 'woff2',
): Promise<FigureFonts> {
  const files = new Map(figureFontFiles().map((file, at) => [fontFaces[at]!, file]));
  const fonts = new Map<FontFace, Uint8Array>();
  for (const face of fontFaces) {
    const wanted = characters.get(face);
    const file = files.get(face);
    if (wanted === undefined || file === undefined) continue;
    fonts.set(
      face,
      await subsetFont(readFileSync(file), wanted, {
        targetFormat: format,
        keepFeatures,
        noHinting: true,
        ...(format === 'truetype' ? { preserveNameIds } : {}),
      }),
    );
  }
  return fonts;
}
