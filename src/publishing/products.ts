import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { escape as escapeHtml, unescape as unescapeHtml } from 'html-escaper';
import { versions } from './versions.ts';
import { addToFolder, rewriteOwnFile } from './writeFiles.ts';
import { isFolderOfPages } from './writtenFiles.ts';

/** Something a command of its own makes from a review and puts beside the pages. */
export interface Product {
  readonly name: string;
  readonly title: string;
  readonly words: string;
  readonly command: string;
  /** What to open, by path within the folder of pages. */
  readonly open: string;
}

export const products: readonly Product[] = [
  {
    name: 'figures',
    title: 'Figures for print',
    words: 'SVG, PDF and PNG at the size of a journal column, with legends and alternative texts',
    command: 'npm run figures',
    open: 'figures/index.html',
  },
  {
    name: 'evidence',
    title: 'Evidence document',
    words:
      'summaries of findings, rates with their certainty and what each rests on, ready for a committee, in Word, HTML and Markdown',
    command: 'npm run document',
    open: 'evidence/index.html',
  },
  {
    name: 'talk',
    title: 'Slides',
    words: 'a presentation with text that can be edited, and each slide as a picture',
    command: 'npm run talk',
    open: 'talk.pptx',
  },
  {
    name: 'changes',
    title: 'What changed',
    words:
      'since the earlier version: what still stands, what moved and why, as a page and as a Word document',
    command: 'npm run changes',
    open: 'changes.html',
  },
  {
    name: 'manuscript',
    title: 'Methods and results as text',
    words: 'a Word file to write on in, with the flow diagram, the references and the reporting checklists',
    command: 'npm run manuscript',
    open: 'manuscript/manuscript.html',
  },
  {
    name: 'live',
    title: 'Live page',
    words: 'one file to choose and question in: leave a study out, change a rule, see the rates move',
    command: 'npm run live:build',
    open: 'live.html',
  },
];

/** Where a command notes which sheets it worked from. */
const recordOf = (name: string): string => `.tenosite-products/${name}.json`;

/** Hashes of the sheets and rules it was made from. */
export interface ProductRecord {
  readonly data: string;
  readonly rules: string;
}

function readRecord(out: string, name: string): ProductRecord | undefined {
  const path = join(out, recordOf(name));
  if (!existsSync(path)) return undefined;
  try {
    const read: unknown = JSON.parse(readFileSync(path, 'utf8'));
    const { data, rules, version } = read as Partial<ProductRecord> & { readonly version?: unknown };
    if (version !== versions().tenosite) return undefined;
    return typeof data === 'string' && typeof rules === 'string' ? { data, rules } : undefined;
  } catch {
    return undefined;
  }
}

/** Products in a folder that were made from these very sheets and rules by this version. */
export function currentProducts(out: string, { data, rules }: ProductRecord): readonly Product[] {
  return products.filter(({ name, open }) => {
    const record = readRecord(out, name);
    return record?.data === data && record.rules === rules && existsSync(join(out, open));
  });
}

/** Products in a folder that were made from other sheets or rules, by another version, or by nobody knows which. */
export function staleProducts(out: string, fingerprint: ProductRecord): readonly Product[] {
  const current = currentProducts(out, fingerprint);
  return products.filter((product) => !current.includes(product) && existsSync(join(out, product.open)));
}

/**
 * Notes that a product was made, and from which sheets, and puts it on the overview page where there is one from the
 * same sheets. A folder that holds no pages of ours is left as it is.
 */
export function recordProduct(out: string, name: string, { data, rules }: ProductRecord): void {
  if (!isFolderOfPages(out)) return;
  addToFolder(out, [
    { path: recordOf(name), content: `${JSON.stringify({ data, rules, version: versions().tenosite })}\n` },
  ]);
  const index = join(out, 'index.html');
  if (!existsSync(index)) return;
  const html = readFileSync(index, 'utf8');
  const [start, end] = [html.indexOf(sectionStart), html.indexOf(sectionEnd)];
  if (start < 0 || end < start || !html.includes(madeFrom({ data, rules }))) return;
  const folder = unescapeHtml(/ data-folder="([^"]*)"/.exec(html.slice(start, end))?.[1] ?? '');
  const record = { data, rules };
  const made = { current: currentProducts(out, record), stale: staleProducts(out, record) };
  const section = productsSection(made, record, folder);
  rewriteOwnFile(
    out,
    'index.html',
    `${html.slice(0, start)}${section}${html.slice(end + sectionEnd.length)}`,
  );
}

const sectionStart = '<!-- products -->';
const sectionEnd = '<!-- end of products -->';
const madeFrom = ({ data, rules }: ProductRecord): string =>
  `data-sheets="${data.slice(0, 16)} ${rules.slice(0, 16)}"`;

/** Products that stand in a folder: made from the sheets as they are, and from others. */
export interface ProductsMade {
  readonly current: readonly Product[];
  readonly stale: readonly Product[];
}

/** The list of products: a link where there is one from these sheets, else the command that makes it. */
export function productsSection(made: ProductsMade, record: ProductRecord, folder: string): string {
  const items = products.map((product) => {
    const { title, words, command, open } = product;
    const make = `<code>${escapeHtml(command)} -- ${escapeHtml(folder)}</code>`;
    const among = (list: readonly Product[]): boolean => list.some(({ name }) => name === product.name);
    const said = among(made.current)
      ? `<a href="${escapeHtml(open)}">${escapeHtml(title)}</a>: ${escapeHtml(words)}.`
      : `${escapeHtml(title)}: ${escapeHtml(words)}. ${
          among(made.stale)
            ? `${escapeHtml(open)} was made from other sheets or rules, or by another version, and does not go with these pages. To make it anew: ${make}`
            : `Not made yet: ${make}`
        }`;
    return `<li>${said}</li>`;
  });
  return `${sectionStart}<ul ${madeFrom(record)} data-folder="${escapeHtml(folder)}">${items.join('\n')}</ul>${sectionEnd}`;
}
