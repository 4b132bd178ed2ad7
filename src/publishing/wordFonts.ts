import { readFileSync } from 'node:fs';
import subsetFont from 'subset-font';
import type { WordFonts } from '../tables/word/embeddedFonts.ts';
import { figureFontFiles } from './renderPng.ts';

/** Letters of western languages and the signs of a table, so that people can go on writing in the document. */
const latin = [
  ...Array.from({ length: 0x17f - 0x20 + 1 }, (_, at) => String.fromCodePoint(0x20 + at)),
  ...'\u2002\u2009\u200a\u202f\u2010\u2011\u2012\u2013\u2014\u2018\u2019\u201c\u201d\u2022\u2026\u2030\u2032\u2033\u2190\u2191\u2192\u2193\u2212\u2248\u2260\u2264\u2265\u221e\u03b1\u03b2\u03bc\u03c3\u03c4\u03c7\u2581\u2583\u2585\u2587',
].join('');

let made: Promise<WordFonts> | undefined;

/** Source Sans 3, regular and bold, cut down to Latin letters: what Word files carry (SIL Open Font License 1.1). */
export function wordFonts(): Promise<WordFonts> {
  made ??= (async () => {
    const cut = (name: string): Promise<Uint8Array> => {
      const file = figureFontFiles().find((each) => each.endsWith(`_${name}.ttf`));
      if (file === undefined) throw new Error(`no font file of ${name}`);
      return subsetFont(readFileSync(file), latin, { targetFormat: 'truetype' });
    };
    const [regular, bold] = await Promise.all([cut('400Regular'), cut('700Bold')]);
    return { regular, bold };
  })();
  return made;
}
