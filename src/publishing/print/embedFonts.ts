import { typeface } from '../../figures/mediaStyles.ts';
import type { FontFace } from '../../figures/textWidth.ts';
import type { FigureFonts } from './figureFonts.ts';

const cuts: Readonly<Record<FontFace, string>> = {
  regular: 'font-weight:400;font-style:normal',
  italic: 'font-weight:400;font-style:italic',
  semibold: 'font-weight:600;font-style:normal',
  bold: 'font-weight:700;font-style:normal',
};

/**
 * Puts fonts into a picture, so that it is set in its own type wherever it is opened.
 *
 * @param fonts as {@link figureFonts} gives them, for the characters of this picture or of several
 * @param format of those fonts
 */
export function embedFonts(svg: string, fonts: FigureFonts, format: 'woff' | 'woff2'): string {
  // An empty drawing sets no type.
  if (/^<svg[^<]*\/>\s*$/.test(svg)) return svg;
  const rules = [...fonts].map(
    ([face, font]) =>
      `@font-face{font-family:"${typeface.name}";${cuts[face]};` +
      `src:url(data:font/${format};base64,${Buffer.from(font).toString('base64')}) format("${format}")}`,
  );
  // After title and description, which must come first to be read out; a notebook's own drawing may lack them.
  const opening =
    /^<svg(?:\s+[^\s=>]+="[^"]*")*\s*>(?:\s*<title\b[^>]*>[^<]*<\/title>)?(?:\s*<desc\b[^>]*>[^<]*<\/desc>)?/;
  const at = opening.exec(svg)?.[0].length;
  if (at === undefined)
    throw new TypeError(`a picture starts with an <svg> tag, received ${svg.slice(0, 60)}`);
  return `${svg.slice(0, at)}\n<style>${rules.join('\n')}</style>${svg.slice(at)}`;
}
