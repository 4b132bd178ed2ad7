import { escape as escapeHtml } from 'html-escaper';

/** A link and what one finds behind it. */
interface Entry {
  readonly page: string;
  readonly words: string;
  /** Anchor on this page, for what is not a page of its own. */
  readonly here?: string;
}

const readers: readonly { readonly who: string; readonly entries: readonly Entry[] }[] = [
  {
    who: 'For a researcher running the review',
    entries: [
      { page: 'extraction-agreement', words: 'where the two extractors differ, and what the audit found' },
      { page: 'manuscript-text', words: 'text for the manuscript, each sentence with the rows behind it' },
      { page: 'methods-compared', words: 'whether another method would have given another answer' },
      { page: 'every-defensible-choice', words: 'every analysis another careful review might have run' },
      { page: 'trace', words: 'from a row of the sheets to the numbers it feeds, and back' },
      { page: '', here: 'made', words: 'figures for print, and the manuscript as a document' },
    ],
  },
  {
    who: 'For a surgeon preparing a talk',
    entries: [
      { page: 'overview-by-site', words: 'all outcomes side by side, in one picture' },
      { page: 'rare-events', words: 'what a series without events can and cannot rule out' },
      { page: 'claim-check', words: 'whether a sentence for a slide holds' },
      { page: 'site-against-site', words: 'what may be said of two sites, and what may not' },
      { page: '', here: 'made', words: 'slides' },
    ],
  },
  {
    who: 'For a guideline committee',
    entries: [
      { page: 'evidence-tables', words: 'summary of findings and evidence profile' },
      { page: 'how-sure', words: 'how the certainty of each answer was reached, step by step' },
      {
        page: 'site-against-site',
        words: 'each pair of sites: the difference in 100, what may be said, and the evidence layer by layer',
      },
      { page: 'what-would-change-the-answer', words: 'the studies without which a rate would be another' },
      { page: 'what-changed', words: 'what is new since the last version' },
      { page: '', here: 'made', words: 'the evidence as a document, to edit and to send' },
      { page: '', here: 'left-out', words: 'arms used and rows not used, outcome by outcome' },
    ],
  },
];

/**
 * Three short ways in. An entry whose page this run did not make is left out.
 *
 * @param titles of the pages there are, by file name without ending
 */
export function entryLists(titles: ReadonlyMap<string, string>): string {
  const lists = readers.map(({ who, entries }) => {
    const items = entries.flatMap(({ page, here, words }) => {
      if (here !== undefined)
        return [
          `<li><a href="#${here}">${escapeHtml(hereNames[here] ?? here)}</a>: ${escapeHtml(words)}</li>`,
        ];
      const title = titles.get(page);
      return title === undefined
        ? []
        : [`<li><a href="${escapeHtml(page)}.html">${escapeHtml(title)}</a>: ${escapeHtml(words)}</li>`];
    });
    return `<div class="card"><h3>${escapeHtml(who)}</h3><ul>${items.join('')}</ul></div>`;
  });
  return `<div class="cards narrow-cards">${lists.join('\n')}</div>`;
}

const hereNames: Readonly<Record<string, string>> = {
  made: 'Also made from this review',
  'left-out': 'What was left out',
};
