import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fontFaces } from '../figures/textWidth.ts';
import { figureFonts } from './print/figureFonts.ts';

/** Latin letters of Western Europe, and the signs figures use whatever they say. */
const usual = [
  [0x20, 0x7e],
  [0xa0, 0xff],
  [0x2010, 0x2015],
  [0x2018, 0x201e],
  [0x2026, 0x2026],
  [0x2190, 0x2193],
  [0x2212, 0x2212],
  [0x2248, 0x2248],
  [0x2264, 0x2265],
] as const;

const characters = usual
  .flatMap(([first, last]) =>
    Array.from({ length: last - first + 1 }, (_, at) => String.fromCodePoint(first + at)),
  )
  .join('');

/** The figure fonts cut down to usual characters, in a folder of their own. */
export interface LightFonts {
  readonly files: readonly string[];
  /** Is a picture drawn from these as it would be from the whole fonts? */
  readonly covers: (svg: string) => boolean;
  readonly remove: () => void;
}

/**
 * Lays out light copies of the figure fonts for drawing many pictures: each text of a picture has its font read from
 * disk again, so that half the time of drawing goes into reading characters no figure has.
 */
export async function layLightFonts(): Promise<LightFonts> {
  const cuts = await figureFonts(new Map(fontFaces.map((face) => [face, characters])), 'truetype');
  const folder = mkdtempSync(join(tmpdir(), 'tenosite-fonts-'));
  const known = new Set([...characters, '\n', '\t']);
  return {
    files: [...cuts].map(([face, font]) => {
      const file = join(folder, `${face}.ttf`);
      writeFileSync(file, font);
      return file;
    }),
    covers: (svg) => {
      for (const character of svg) if (!known.has(character)) return false;
      return true;
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
