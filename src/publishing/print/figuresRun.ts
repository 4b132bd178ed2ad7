import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { factsOfReview } from '../factsOfReview.ts';
import { openReview } from '../openReview.ts';
import { inventedDataNotice, showsInventedData } from '../pageFacts.ts';
import { openPngMaker } from '../pngMaker.ts';
import { recordProduct } from '../products.ts';
import { openProgress } from '../progress.ts';
import { addPages, type FileToWrite, keptLines, replaceFolder } from '../writeFiles.ts';
import { outFolderOf } from '../writtenFiles.ts';
import { type DrawnFigure, drawPlanned } from './drawPlanned.ts';
import { embedFonts } from './embedFonts.ts';
import { figureFonts } from './figureFonts.ts';
import type { FiguresCommandLine } from './figuresCommandLine.ts';
import { figuresListing, legendsText } from './figuresListing.ts';
import { pdfFromSvg } from './pdfFromSvg.ts';
import { charactersByFace } from './pictureText.ts';
import { planFigures } from './planFigures.ts';
import { pngWithResolution } from './pngWithResolution.ts';

/**
 * One run of `npm run figures`: check the sheets, draw every figure, write all files and a list of them.
 *
 * @returns the exit code: 1 when the sheets hold an error or the choice leaves nothing to draw
 */
export async function figuresRun(asked: FiguresCommandLine): Promise<0 | 1> {
  const opened = await openReview(asked.folder);
  for (const line of opened.problemLines) console.error(line);
  const { review } = opened;
  if (review === undefined) {
    console.error(`${asked.folder}: ${opened.errors} errors. Nothing was written.`);
    return 1;
  }
  const outcomes = review.protocol.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id);
  if (asked.outcome !== undefined && !outcomes.includes(asked.outcome)) {
    console.error(
      `--outcome must be one of ${outcomes.join(', ')}, received ${asked.outcome}. Nothing was written.`,
    );
    return 1;
  }
  const progress = await openProgress();
  try {
    await progress.step('drawing the figures');
    const facts = factsOfReview(review, asked.folder);
    const notice = showsInventedData(facts) ? inventedDataNotice : undefined;
    const planned = planFigures(review, {
      ...(asked.outcome === undefined ? {} : { outcome: asked.outcome }),
      ...(asked.only === undefined ? {} : { only: asked.only }),
    });
    const drawn: DrawnFigure[] = [];
    for (const width of asked.widths)
      for (const figure of planned) {
        await progress.step(`drawing ${figure.file} at ${width.replace('mm', ' mm')}`);
        drawn.push(...drawPlanned(figure, width, notice));
      }
    if (drawn.length === 0) {
      progress.end();
      console.error('This review has no such figure. Nothing was written.');
      return 1;
    }
    const files = await filesOf(drawn, asked, progress.step);
    files.push(
      { path: 'index.html', content: figuresListing(facts, drawn, asked) },
      { path: 'legends.txt', content: legendsText(facts, drawn) },
    );
    await progress.step(`writing ${asked.out}`);
    const pages = dirname(asked.out);
    const writer = { by: 'figures', review: asked.folder };
    if (!existsSync(pages)) addPages(pages, [], writer);
    const amongOthers = asked.out === `${outFolderOf(asked.folder)}/figures`;
    const kept = replaceFolder(asked.out, files, { ...writer, amongOthers });
    if (basename(asked.out) === 'figures') recordProduct(pages, 'figures', opened.fingerprint);
    progress.end();
    for (const line of keptLines(asked.out, kept)) console.log(line);
    for (const { file, size } of drawn) for (const line of size.complaints) console.log(`${file}: ${line}`);
    console.log(
      `${drawn.length} figures as ${asked.formats.join(', ')}, with legends and alternative texts: ${asked.out}/index.html`,
    );
    return 0;
  } finally {
    progress.end();
  }
}

/** Each figure in each format asked for. PNGs are drawn in other threads while the rest is written. */
async function filesOf(
  drawn: readonly DrawnFigure[],
  { formats, dotsPerInch }: FiguresCommandLine,
  step: (text: string) => Promise<void>,
): Promise<FileToWrite[]> {
  const files: FileToWrite[] = [];
  const characters = charactersByFace(drawn.map(({ svg }) => svg));
  const cuts = await figureFonts(characters, 'truetype');
  const fontFolder = mkdtempSync(join(tmpdir(), 'tenosite-fonts-'));
  const fontFiles = [...cuts.keys()].map((face) => join(fontFolder, `${face}.ttf`));
  for (const [index, font] of [...cuts.values()].entries()) writeFileSync(fontFiles[index]!, font);
  const pngMaker = formats.includes('png') ? openPngMaker({ dotsPerInch, fontFiles }) : undefined;
  try {
    for (const { svg } of drawn) void pngMaker?.make(svg);
    const packed = formats.includes('svg') ? await figureFonts(characters, 'woff2') : undefined;
    const made = new Date();
    for (const [index, { file, svg }] of drawn.entries()) {
      if (index % 5 === 0) await step(`writing figure ${index + 1} of ${drawn.length}`);
      if (packed !== undefined)
        files.push({ path: `${file}.svg`, content: embedFonts(svg, packed, 'woff2') });
      if (formats.includes('pdf'))
        files.push({ path: `${file}.pdf`, content: await pdfFromSvg(svg, { fonts: cuts, made }) });
      if (pngMaker !== undefined)
        files.push({
          path: `${file}.png`,
          content: pngWithResolution(await pngMaker.make(svg), dotsPerInch),
        });
    }
    return files;
  } finally {
    await pngMaker?.close();
    rmSync(fontFolder, { recursive: true, force: true });
  }
}
