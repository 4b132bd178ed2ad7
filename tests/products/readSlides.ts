import JSZip from 'jszip';
import { parseHTML } from 'linkedom';
import { headlinesIn } from './headline.ts';

/** A slide read back: what it prints, and the answers that its notes name. */
export interface ReadSlide {
  readonly slide: string;
  readonly texts: readonly string[];
  readonly answers: readonly string[];
}

const paragraphs = (xml: string): readonly string[] =>
  [...xml.matchAll(/<a:p>(.*?)<\/a:p>|<a:p [^>]*>(.*?)<\/a:p>/gs)].map(([, one, two]) =>
    [...(one ?? two ?? '').matchAll(/<a:t>([^<]*)<\/a:t>/g)].map(([, text]) => plain(text!)).join(''),
  );
const plain = (xml: string): string =>
  parseHTML(`<html><body>${xml}</body></html>`).document.body.textContent ?? '';

/** The slides of a PowerPoint file. */
export async function readSlides(file: Uint8Array): Promise<readonly ReadSlide[]> {
  const zip = await JSZip.loadAsync(file);
  const text = (path: string) => zip.file(path)?.async('string') ?? Promise.resolve('');
  const numbers = Object.keys(zip.files).flatMap(
    (path) => /^ppt\/slides\/slide(\d+)\.xml$/.exec(path)?.[1] ?? [],
  );
  return Promise.all(
    numbers
      .sort((a, b) => Number(a) - Number(b))
      .map(async (number) => {
        const relations = await text(`ppt/slides/_rels/slide${number}.xml.rels`);
        const notes = /notesSlides\/(notesSlide\d+\.xml)/.exec(relations)?.[1];
        const noted = notes === undefined ? [] : paragraphs(await text(`ppt/notesSlides/${notes}`));
        const told = noted.find((line) => line.startsWith('Answers told on this slide (answers.json): '));
        return {
          slide: `slide ${number}`,
          texts: paragraphs(await text(`ppt/slides/slide${number}.xml`)),
          answers:
            told === undefined
              ? []
              : told
                  .replace(/^[^:]*: /, '')
                  .replace(/\.$/, '')
                  .split('; '),
        };
      }),
  );
}

/** Values with an interval on a slide. */
export const headlinesOf = ({ texts }: ReadSlide) => texts.flatMap((text) => headlinesIn(text));
