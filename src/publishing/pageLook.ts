import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import subsetFont from 'subset-font';
import type { NotebookRun } from './notebookRun.ts';
import { pageFontFile, pageStyleWith } from './pageStyle.ts';
import { type FigureFonts, figureFonts } from './print/figureFonts.ts';
import { charactersByFace } from './print/pictureText.ts';

/** What the pages of one run share: their style sheet, and the fonts their figures take along when saved. */
export interface PageLook {
  readonly style: string;
  /** WOFF, with the characters of every figure of the run. */
  readonly figureFonts: FigureFonts;
}

/** Latin letters, punctuation, arrows and signs that pages use whatever they say. */
const always = [
  [0x20, 0x7e],
  [0xa0, 0x17f],
  [0x2010, 0x2027],
  [0x2030, 0x203a],
  [0x2190, 0x2193],
  [0x2212, 0x2212],
  [0x2248, 0x2265],
] as const;

/**
 * Cuts the typeface down to what the pages of a run say, about a sixth of the whole, so that each page and each figure
 * saved from it can carry its own.
 *
 * @param texts what pages print beyond notebooks' words, facts and figures: their results as JSON
 */
export async function pageLook(runs: readonly NotebookRun[], texts: Iterable<string>): Promise<PageLook> {
  const others = new Set<string>();
  const said = runs.flatMap(({ source, facts, outputs }) => [
    ...source.cells.map(({ text }) => text),
    JSON.stringify(facts),
    ...outputs.flatMap(({ output }) => (output.kind === 'figure' ? [output.wide, output.narrow] : [])),
  ]);
  for (const text of [...texts, ...said])
    for (const [character] of text.matchAll(/[^\0-\u017f]/gu)) others.add(character);
  const usual = always.flatMap(([first, last]) =>
    Array.from({ length: last - first + 1 }, (_, at) => String.fromCodePoint(first + at)),
  );
  const characters = [...usual, ...others].join('');
  const cut = async (weight: 400 | 600): Promise<Uint8Array> =>
    subsetFont(readFileSync(fileURLToPath(pageFontFile(weight))), characters, {
      targetFormat: 'woff',
      keepFeatures: ['kern', 'liga', 'ccmp', 'locl', 'mark', 'mkmk', 'tnum', 'lnum'],
      noHinting: true,
    });
  const figures = runs.flatMap(({ outputs }) =>
    outputs.flatMap(({ output }) => (output.kind === 'figure' ? [output.wide, output.narrow] : [])),
  );
  return {
    style: pageStyleWith(
      new Map([
        [400, await cut(400)],
        [600, await cut(600)],
      ]),
    ),
    figureFonts: await figureFonts(charactersByFace(figures), 'woff'),
  };
}
