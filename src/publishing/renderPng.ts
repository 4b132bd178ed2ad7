import { createRequire } from 'node:module';
import { Resvg, type ResvgRenderOptions } from '@resvg/resvg-js';

/** The cuts of Source Sans 3 the figures are measured for. */
const fontModules = [
  '400Regular/SourceSans3_400Regular.ttf',
  '400Regular_Italic/SourceSans3_400Regular_Italic.ttf',
  '600SemiBold/SourceSans3_600SemiBold.ttf',
  '700Bold/SourceSans3_700Bold.ttf',
];

/** Paths of the font files, as they lie among the installed packages. */
export const figureFontFiles = (): readonly string[] => {
  const { resolve } = createRequire(import.meta.url);
  return fontModules.map((file) => resolve(`@expo-google-fonts/source-sans-3/${file}`));
};

export interface RenderPngOptions {
  /** Dots per inch at the size the picture states. Default 300. */
  readonly dotsPerInch?: number;
  /** Other font files than {@link figureFontFiles}, such as the same fonts cut down. */
  readonly fontFiles?: readonly string[];
}

/**
 * Turns a figure into a PNG of its stated size, with the project's own font and no other.
 *
 * The width in pixels is the width in millimetres over 25.4 times the dots per inch, rounded: 90 mm at 300 dots
 * are 1063.
 *
 * @throws RangeError for a picture without a width in mm, or dots per inch outside 36 to 1200.
 * @example
 * await writeFile('forest.png', renderPng(forestPlot(pools)))
 */
export function renderPng(svg: string, options: RenderPngOptions = {}): Uint8Array {
  return new Resvg(svg, drawingSettings(svg, options)).render().asPng();
}

/**
 * How a figure is drawn: its width in pixels and its fonts, as plain data that another thread can be given.
 *
 * @throws RangeError as {@link renderPng}
 */
export function drawingSettings(svg: string, options: RenderPngOptions = {}): ResvgRenderOptions {
  const dotsPerInch = options.dotsPerInch ?? 300;
  if (!(dotsPerInch >= 36 && dotsPerInch <= 1200))
    throw new RangeError(`dotsPerInch must be from 36 to 1200, received ${dotsPerInch}`);
  const millimetres = Number(/<svg[^>]*\swidth="([\d.]+)mm"/.exec(svg)?.[1]);
  if (!(millimetres > 0))
    throw new RangeError(`the picture must state its width in mm, received ${svg.slice(0, 80)}`);
  return {
    fitTo: { mode: 'width', value: Math.round((millimetres / 25.4) * dotsPerInch) },
    background: '#ffffff',
    font: {
      fontFiles: [...(options.fontFiles ?? figureFontFiles())],
      loadSystemFonts: false,
      defaultFontFamily: 'Source Sans 3',
      sansSerifFamily: 'Source Sans 3',
    },
  };
}
