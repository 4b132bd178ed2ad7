/**
 * Items of the reporting guideline for systematic reviews, in gist words of our own (from memory; the wording that
 * counts is the published one): Page MJ, McKenzie JE, Bossuyt PM et al., BMJ 2021;372:n71, table 1.
 */
export const reportingItems = {
  '1': { section: 'Title', gist: 'says that it is a systematic review' },
  '2': { section: 'Abstract', gist: 'abstract written by its own checklist' },
  '3': { section: 'Introduction', gist: 'why the review is needed, given what is known' },
  '4': { section: 'Introduction', gist: 'the questions the review answers' },
  '5': { section: 'Methods', gist: 'who and what was eligible, and how studies were grouped' },
  '6': { section: 'Methods', gist: 'every source searched, with the last date' },
  '7': { section: 'Methods', gist: 'full search strategies with limits' },
  '8': {
    section: 'Methods',
    gist: 'how reports were selected: how many people, independently or not, with what tools',
  },
  '9': { section: 'Methods', gist: 'how data were collected, by whom, and confirmed with whom' },
  '10a': { section: 'Methods', gist: 'outcomes sought, and how one result was chosen among several' },
  '10b': { section: 'Methods', gist: 'other variables sought, and what was assumed where they were missing' },
  '11': { section: 'Methods', gist: 'how risk of bias in each study was judged' },
  '12': { section: 'Methods', gist: 'effect measure of each outcome' },
  '13a': { section: 'Methods', gist: 'which studies entered which synthesis' },
  '13b': { section: 'Methods', gist: 'how data were prepared: missing values, conversions' },
  '13c': { section: 'Methods', gist: 'how results are tabulated and drawn' },
  '13d': { section: 'Methods', gist: 'how results were synthesised, with model, heterogeneity and software' },
  '13e': { section: 'Methods', gist: 'how causes of heterogeneity were explored' },
  '13f': { section: 'Methods', gist: 'sensitivity analyses' },
  '14': { section: 'Methods', gist: 'how bias from missing results was assessed' },
  '15': { section: 'Methods', gist: 'how certainty of the evidence was assessed' },
  '16a': { section: 'Results', gist: 'flow from records to studies, best as a diagram' },
  '16b': { section: 'Results', gist: 'studies that seem to fit and were excluded, with the reason' },
  '17': { section: 'Results', gist: 'each included study with its characteristics' },
  '18': { section: 'Results', gist: 'risk of bias of each study' },
  '19': { section: 'Results', gist: 'each study\u2019s result with its precision' },
  '20a': { section: 'Results', gist: 'for each synthesis, the studies in it and their risk of bias' },
  '20b': {
    section: 'Results',
    gist: 'each summary with precision and heterogeneity, and the direction of effects',
  },
  '20c': { section: 'Results', gist: 'what the exploration of heterogeneity showed' },
  '20d': { section: 'Results', gist: 'what the sensitivity analyses showed' },
  '21': { section: 'Results', gist: 'risk of bias from missing results for each synthesis' },
  '22': { section: 'Results', gist: 'certainty of the evidence for each outcome' },
  '23a': { section: 'Discussion', gist: 'results read beside other evidence' },
  '23b': { section: 'Discussion', gist: 'limits of the evidence' },
  '23c': { section: 'Discussion', gist: 'limits of the way the review was done' },
  '23d': { section: 'Discussion', gist: 'what follows for practice, policy and research' },
  '24a': { section: 'Other', gist: 'registration, or that there was none' },
  '24b': { section: 'Other', gist: 'where the protocol can be read' },
  '24c': { section: 'Other', gist: 'amendments to registration or protocol' },
  '25': { section: 'Other', gist: 'support, and the role of those who gave it' },
  '26': { section: 'Other', gist: 'competing interests of the authors' },
  '27': { section: 'Other', gist: 'where forms, data and code can be had' },
} as const;
export type ReportingItem = keyof typeof reportingItems;

/** Items of the checklist for abstracts, gist from memory (same paper, table 2). */
export const abstractItems = {
  A1: 'title says systematic review',
  A2: 'objective or question',
  A3: 'eligibility criteria',
  A4: 'sources, with the dates last searched',
  A5: 'how risk of bias was judged',
  A6: 'how results were synthesised',
  A7: 'number and kind of studies and participants included',
  A8: 'main results: studies, participants, summary with interval, direction in plain words',
  A9: 'limits of the evidence',
  A10: 'interpretation and what follows',
  A11: 'funding',
  A12: 'registration',
} as const;
export type AbstractItem = keyof typeof abstractItems;

/**
 * What the network extension adds, gist from memory: Hutton B, Salanti G, Caldwell DM et al., Ann Intern Med
 * 2015;162:777-784.
 */
export const networkItems = {
  S1: 'how the shape of the network was described (methods)',
  S2: 'how agreement of direct and indirect evidence was assessed (methods)',
  S3: 'picture of the network',
  S4: 'what the shape of the network shows: which comparisons are thin or absent',
  S5: 'what the assessment of inconsistency showed',
} as const;
export type NetworkItem = keyof typeof networkItems;

/** Items of the main list in its order; an object puts keys that are numbers first. */
export const reportingItemOrder = (Object.keys(reportingItems) as ReportingItem[]).sort(
  (a, b) => Number.parseInt(a, 10) - Number.parseInt(b, 10) || (a < b ? -1 : 1),
);

/** Every item of the three lists, in their order. */
export const checklistItems: readonly string[] = [
  ...reportingItemOrder,
  ...Object.keys(abstractItems),
  ...Object.keys(networkItems),
];

/** The item as the lists spell it: case, a leading "item" and spaces do not matter; undefined for no item. */
export function knownChecklistItem(typed: string): string | undefined {
  const plain = typed
    .toLowerCase()
    .replace(/^item/, '')
    .replace(/[\s.]+/g, '');
  return checklistItems.find((item) => item.toLowerCase() === plain);
}
