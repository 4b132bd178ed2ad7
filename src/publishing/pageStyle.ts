import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { typeface } from '../figures/mediaStyles.ts';
import { pageColourCss } from '../figures/pageColours.ts';
import { woffFromTrueType } from './woff.ts';

/** Weights the pages use, and where the package that brings the typeface keeps them. */
const faces = [
  { weight: 400, file: '400Regular/SourceSans3_400Regular.ttf' },
  { weight: 600, file: '600SemiBold/SourceSans3_600SemiBold.ttf' },
] as const;
export type PageWeight = (typeof faces)[number]['weight'];

let whole: string | undefined;

/** The style sheet of a page with its whole typeface inside: Source Sans 3, SIL Open Font License 1.1. */
export function pageStyle(): string {
  whole ??= pageStyleWith(
    new Map(
      faces.map(({ weight }) => [
        weight,
        woffFromTrueType(readFileSync(fileURLToPath(pageFontFile(weight)))),
      ]),
    ),
  );
  return whole;
}

/** Where the font file of a weight lies, as an address. */
export function pageFontFile(weight: PageWeight): string {
  const face = faces.find((each) => each.weight === weight);
  return import.meta.resolve(`@expo-google-fonts/source-sans-3/${face?.file}`);
}

/** The style sheet with fonts the caller brings, as WOFF. */
export function pageStyleWith(fonts: ReadonlyMap<PageWeight, Uint8Array>): string {
  return [
    ...[...fonts].map(
      ([weight, font]) =>
        `@font-face{font-family:"${typeface.name}";font-weight:${weight};font-style:normal;` +
        `src:url(data:font/woff;base64,${Buffer.from(font).toString('base64')}) format("woff")}`,
    ),
    pageColourCss(),
    readFileSync(new URL('./page.css', import.meta.url), 'utf8'),
  ].join('\n');
}
