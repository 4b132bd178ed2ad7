import { wordFallback, wordFont } from './wordStyles.ts';

/** The document's own type as TrueType, so that lines break alike on every machine. */
export interface WordFonts {
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
}

/** Keys by which an embedded font is scrambled; any will do, and fixed ones keep the file the same. */
const keys = {
  regular: '{7A1C3E52-0B4D-4F6A-9C21-5D8E0F3B6A71}',
  bold: '{B25D9F04-6E83-4A17-8F3C-1D7A2C9E4B58}',
} as const;

/** Parts that carry the fonts, by path in the package. */
export function fontParts(fonts: WordFonts | undefined): ReadonlyMap<string, string | Uint8Array> {
  const embedded =
    fonts === undefined
      ? ''
      : `<w:embedRegular r:id="rId1" w:fontKey="${keys.regular}"/><w:embedBold r:id="rId2" w:fontKey="${keys.bold}"/>`;
  const parts = new Map<string, string | Uint8Array>([
    [
      'word/fontTable.xml',
      '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>' +
        '<w:fonts xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"' +
        ' xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">' +
        `<w:font w:name="${wordFont}"><w:altName w:val="${wordFallback}"/><w:panose1 w:val="020B0503030403020204"/>` +
        `<w:charset w:val="00"/><w:family w:val="swiss"/><w:pitch w:val="variable"/>${embedded}</w:font>` +
        `<w:font w:name="${wordFallback}"><w:panose1 w:val="020F0502020204030204"/><w:charset w:val="00"/>` +
        '<w:family w:val="swiss"/><w:pitch w:val="variable"/></w:font></w:fonts>',
    ],
  ]);
  if (fonts === undefined) return parts;
  const type = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships/font';
  parts.set(
    'word/_rels/fontTable.xml.rels',
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>' +
      '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">' +
      `<Relationship Id="rId1" Type="${type}" Target="fonts/font1.odttf"/>` +
      `<Relationship Id="rId2" Type="${type}" Target="fonts/font2.odttf"/></Relationships>`,
  );
  parts.set('word/fonts/font1.odttf', scrambled(fonts.regular, keys.regular));
  parts.set('word/fonts/font2.odttf', scrambled(fonts.bold, keys.bold));
  return parts;
}

/**
 * A font as the standard has it in a document: its first 32 bytes combined by exclusive or with the key, whose 16 bytes
 * are taken from the last to the first, twice. Done twice it gives the font back.
 *
 * @see ECMA-376 part 1, section 17.8.1 (font embedding)
 */
export function scrambled(font: Uint8Array, key: string): Uint8Array {
  const bytes = (key.match(/[0-9A-F]{2}/g) ?? []).map((pair) => Number.parseInt(pair, 16)).reverse();
  const made = new Uint8Array(font);
  for (let at = 0; at < Math.min(32, made.length); at += 1) made[at]! ^= bytes[at % 16]!;
  return made;
}

/** The content type of embedded fonts, among the defaults of the package. */
export const withFontType = (contentTypes: string): string =>
  contentTypes.replace(
    /(<Types\b[^>]*>)/,
    '$1<Default Extension="odttf" ContentType="application/vnd.openxmlformats-officedocument.obfuscatedFont"/>',
  );

/** Asks programs to keep the fonts when the document is saved again. */
export const withEmbeddingSetting = (settings: string): string =>
  settings.replace(/(<w:settings\b[^>]*>(?:<w:displayBackgroundShape\/>)?)/, '$1<w:embedTrueTypeFonts/>');
