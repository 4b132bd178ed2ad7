import { renderPng } from '../renderPng.ts';
import { type FileToWrite, type KeptFile, replaceProduct } from '../writeFiles.ts';
import { drawSlide } from './drawSlide.ts';
import { layOutTalk } from './layOutTalk.ts';
import { pptxOfTalk } from './pptxOfTalk.ts';
import type { Talk } from './slide.ts';

/** Dots per inch of a slide as PNG: 1,920 by 1,080. */
const slideDots = 144;

/** Every file of a talk, made in memory: the presentation, and each slide as SVG and PNG. */
export async function filesOfTalk(
  talk: Talk,
  names: { readonly pptx: string; readonly slide: (number: number) => string },
  onStep: (text: string) => Promise<void> = async () => undefined,
): Promise<readonly FileToWrite[]> {
  const files: FileToWrite[] = [];
  for (const [at, slide] of layOutTalk(talk).entries()) {
    const name = names.slide(at + 1);
    await onStep(`drawing ${name}`);
    const svg = drawSlide(slide);
    files.push({ path: `${name}.svg`, content: svg });
    files.push({ path: `${name}.png`, content: renderPng(svg, { dotsPerInch: slideDots }) });
  }
  await onStep(`writing ${names.pptx}`);
  const content = await pptxOfTalk(talk, { png: (svg) => renderPng(svg, { dotsPerInch: slideDots }) });
  return [{ path: names.pptx, content }, ...files];
}

/** Names of a whole talk's files. */
export const talkNames = {
  pptx: 'talk.pptx',
  slide: (number: number): string => `talk/slide-${String(number).padStart(2, '0')}`,
} as const;

/** Writes a talk's files; slides of a longer, earlier talk do not stay among them. */
export const writeTalk = (out: string, files: readonly FileToWrite[], review?: string): readonly KeptFile[] =>
  replaceProduct(out, files, { by: 'talk', ...(review === undefined ? {} : { review }) });
