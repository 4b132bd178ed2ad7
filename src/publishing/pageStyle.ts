import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { pageColourCss } from '../figures/pageColours.ts';
import { woffFromTrueType } from './woff.ts';

/** Weights the pages use, and where the package that brings the typeface keeps them. */
const faces = [
  { weight: 400, file: '400Regular/SourceSans3_400Regular.ttf' },
  { weight: 600, file: '600SemiBold/SourceSans3_600SemiBold.ttf' },
] as const;

let made: string | undefined;

/** The style sheet of every page with its typeface inside: Source Sans 3, SIL Open Font License 1.1. */
export function pageStyle(): string {
  made ??= [
    ...faces.map(fontFace),
    pageColourCss(),
    readFileSync(new URL('./page.css', import.meta.url), 'utf8'),
  ].join('\n');
  return made;
}

function fontFace(face: (typeof faces)[number]): string {
  const url = import.meta.resolve(`@expo-google-fonts/source-sans-3/${face.file}`);
  const font = Buffer.from(woffFromTrueType(readFileSync(fileURLToPath(url)))).toString('base64');
  return (
    `@font-face{font-family:"Source Sans 3";font-weight:${face.weight};font-style:normal;` +
    `src:url(data:font/woff;base64,${font}) format("woff")}`
  );
}
