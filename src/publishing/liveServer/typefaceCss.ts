import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import subsetFont from 'subset-font';

/** The faces figures and page use, and where the package that brings the typeface keeps them. */
const faces = [
  { weight: 400, style: 'normal', file: '400Regular/SourceSans3_400Regular.ttf' },
  { weight: 400, style: 'italic', file: '400Regular_Italic/SourceSans3_400Regular_Italic.ttf' },
  { weight: 600, style: 'normal', file: '600SemiBold/SourceSans3_600SemiBold.ttf' },
  { weight: 700, style: 'normal', file: '700Bold/SourceSans3_700Bold.ttf' },
] as const;

/** Characters a page keeps: Latin with its accents, Greek letters of the trade, dashes, quotes, arrows, signs. */
const characters = [
  [0x20, 0x7e],
  [0xa0, 0x17f],
  [0x391, 0x3c9],
  [0x2010, 0x2026],
  [0x2030, 0x203a],
  [0x2070, 0x209c],
  [0x20ac, 0x20ac],
  [0x2122, 0x2122],
  [0x2190, 0x2193],
  [0x2212, 0x2212],
  [0x2248, 0x2265],
]
  .map(([first, last]) => {
    let text = '';
    for (let code = first!; code <= last!; code += 1) text += String.fromCodePoint(code);
    return text;
  })
  .join('');

/**
 * `@font-face` rules with the typeface inside (Source Sans 3, SIL Open Font License 1.1), cut down to the characters a
 * page uses. A character outside them is shown in a typeface of the reader's own machine.
 */
export async function typefaceCss(): Promise<string> {
  const rules = await Promise.all(
    faces.map(async ({ weight, style, file }) => {
      const path = fileURLToPath(import.meta.resolve(`@expo-google-fonts/source-sans-3/${file}`));
      const font = await subsetFont(await readFile(path), characters, { targetFormat: 'woff2' });
      return (
        `@font-face{font-family:"Source Sans 3";font-weight:${weight};font-style:${style};` +
        `src:url(data:font/woff2;base64,${font.toString('base64')}) format("woff2")}`
      );
    }),
  );
  return rules.join('\n');
}
