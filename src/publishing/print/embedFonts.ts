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
  const rules = [...fonts].map(
    ([face, font]) =>
      `@font-face{font-family:"${typeface.name}";${cuts[face]};` +
      `src:url(data:font/${format};base64,${Buffer.from(font).toString('base64')}) format("${format}")}`,
  );
  // After title and description, which must come first to be read out.
  const at = svg.indexOf('</desc>') + '</desc>'.length;
  if (!svg.startsWith('<svg') || at < '</desc>'.length)
    throw new TypeError(
      `a picture starts with <svg, a title and a description, received ${svg.slice(0, 60)}`,
    );
  return `${svg.slice(0, at)}\n<style>${rules.join('\n')}</style>${svg.slice(at)}`;
}
