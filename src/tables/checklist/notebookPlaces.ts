/** A section of a notebook's page that answers items of the checklists. */
export interface NotebookPlace {
  readonly items: readonly string[];
  /** Name of the notebook, and of its page. */
  readonly page: string;
  /** The section's heading. */
  readonly heading: string;
  /** Outcomes without which the page is left out of a run. */
  readonly needs?: readonly string[];
}

/** Where the pages of a run answer an item. A test holds the headings against the notebooks. */
export const notebookPlaces: readonly NotebookPlace[] = [
  { items: ['16a'], page: 'manuscript-text', heading: 'From search to inclusion' },
  ...(['cosmetic-deformity', 'groove-pain'] as const).flatMap((page): NotebookPlace[] => [
    { items: ['19', '20b'], page, heading: 'The rate at each site', needs: [page] },
    { items: ['19', '20a'], page, heading: 'The arms behind it', needs: [page] },
    { items: ['20b'], page, heading: 'How much the studies differ', needs: [page] },
    { items: ['20d'], page, heading: 'Where mid-groove belongs', needs: [page] },
    { items: ['21'], page, heading: 'Small studies', needs: [page] },
    { items: ['23b'], page, heading: 'What we cannot tell', needs: [page] },
  ]),
  {
    items: ['20c'],
    page: 'moderators',
    heading: 'Every feature by itself',
    needs: ['groove-pain', 'cosmetic-deformity'],
  },
  { items: ['17'], page: 'evidence-tables', heading: 'The studies' },
  { items: ['20b', '22'], page: 'evidence-tables', heading: 'How often, at each site' },
  { items: ['22'], page: 'evidence-tables', heading: 'Why each answer is as certain as it is' },
  { items: ['18'], page: 'how-sure', heading: 'How well the studies were done' },
  { items: ['22'], page: 'how-sure', heading: 'Every answer, and how sure' },
  { items: ['20d'], page: 'what-would-change-the-answer', heading: 'Which study decides?' },
  { items: ['20d'], page: 'every-defensible-choice', heading: 'One curve', needs: ['groove-pain'] },
  {
    items: ['21'],
    page: 'every-defensible-choice',
    heading: 'The choice nobody made: results that are not there',
    needs: ['groove-pain'],
  },
  {
    items: ['S3', 'S4'],
    page: 'site-against-site',
    heading: 'Who was compared with whom',
    needs: ['cosmetic-deformity', 'revision'],
  },
  {
    items: ['S5'],
    page: 'site-against-site',
    heading: 'Direct and indirect evidence',
    needs: ['cosmetic-deformity', 'revision'],
  },
  {
    items: ['S5'],
    page: 'network-checks',
    heading: "The review's network, taken apart",
    needs: ['cosmetic-deformity'],
  },
];
