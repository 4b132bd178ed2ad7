import { basename, resolve } from 'node:path';
import { provenanceText } from '../extraction/provenance/provenance.ts';
import { documentToHtml } from '../tables/documentToHtml.ts';
import { documentToMarkdown } from '../tables/documentToMarkdown.ts';
import { documentToWord } from '../tables/documentToWord.ts';
import { evidenceDocument } from '../tables/evidenceDocument.ts';
import { evidenceOfReview } from './evidenceOfReview.ts';
import { openReview } from './openReview.ts';
import { pageStyle } from './pageStyle.ts';
import { recordProduct } from './products.ts';
import { renderPng } from './renderPng.ts';
import { slug } from './slug.ts';
import { versions } from './versions.ts';
import { wordFonts } from './wordFonts.ts';
import { keptLines, replaceProduct } from './writeFiles.ts';

const page = 'evidence/index.html';

/** Sharp on paper without making the file heavy. */
const dotsPerInch = 200;

/**
 * Writes a review's evidence document as Word file, page and Markdown.
 *
 * @returns the exit code: 1 when the files hold an error, and then nothing is written
 * @throws when there is no such folder, in a sentence for the person who typed it
 */
export async function documentRun(asked: { readonly folder: string; readonly out: string }): Promise<0 | 1> {
  const opened = await openReview(asked.folder);
  for (const line of opened.problemLines) console.error(line);
  const found = `${opened.errors} ${opened.errors === 1 ? 'error' : 'errors'}`;
  if (opened.review === undefined) {
    console.error(`${asked.folder}: ${found}. Nothing was written.`);
    return 1;
  }
  const parts = evidenceOfReview(opened.review);
  const { tenosite } = versions();
  const document = evidenceDocument(opened.review, {
    ...parts,
    departures: [...parts.departures, ...opened.amendments],
    methods: [...parts.methods, `Made by tenosite ${tenosite} from ${provenanceText(opened.fingerprint)}.`],
  });
  const name = `evidence/${slug(basename(resolve(asked.folder)))}-evidence`;
  const word = await documentToWord(document, {
    renderPicture: (svg) => renderPng(svg, { dotsPerInch }),
    fonts: await wordFonts(),
  });
  const files = [
    { path: `${name}.docx`, content: word },
    { path: page, content: documentToHtml(document, { style: pageStyle() }) },
    {
      path: `${name}.md`,
      content: documentToMarkdown(document, { pictureAt: (at) => `figure-${at}.svg` }),
    },
    ...parts.figures.map(({ svg }, at) => ({ path: `evidence/figure-${at + 1}.svg`, content: svg })),
  ];
  const kept = replaceProduct(asked.out, files, { by: 'evidence', review: asked.folder });
  recordProduct(asked.out, 'evidence', opened.fingerprint);
  console.log(`${asked.folder}: ${found}`);
  for (const line of keptLines(asked.out, kept)) console.log(line);
  for (const path of [`${name}.docx`, page, `${name}.md`]) console.log(`${asked.out}/${path}`);
  return 0;
}
