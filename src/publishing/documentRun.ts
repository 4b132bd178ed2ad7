import { basename, resolve } from 'node:path';
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
import { addPages } from './writeFiles.ts';

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
  const document = evidenceDocument(opened.review, parts);
  const name = `${slug(basename(resolve(asked.folder)))}-evidence`;
  const word = await documentToWord(document, { renderPicture: (svg) => renderPng(svg, { dotsPerInch }) });
  const pictures = `${name}-figures`;
  const files = [
    { path: `${name}.docx`, content: word },
    { path: `${name}.html`, content: documentToHtml(document, { style: pageStyle() }) },
    {
      path: `${name}.md`,
      content: documentToMarkdown(document, { pictureAt: (at) => `${pictures}/figure-${at}.svg` }),
    },
    ...parts.figures.map(({ svg }, at) => ({ path: `${pictures}/figure-${at + 1}.svg`, content: svg })),
  ];
  addPages(asked.out, files);
  recordProduct(asked.out, 'document', opened.fingerprint, {
    open: `${name}.html`,
    paths: files.map(({ path }) => path),
  });
  console.log(`${asked.folder}: ${found}`);
  for (const kind of ['docx', 'html', 'md']) console.log(`${asked.out}/${name}.${kind}`);
  return 0;
}
