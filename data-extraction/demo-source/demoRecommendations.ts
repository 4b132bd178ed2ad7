import type { CsvRow } from './demoRows.ts';

/** Rows of recommendations.csv: an invented panel's, one for each thing a later version can do to a recommendation. */
export const demoRecommendations: readonly CsvRow[] = [
  {
    recommendation: 'bulge',
    statement:
      'To patients who would mind a bulge of the biceps, offer subpectoral fixation rather than release alone.',
    outcome: 'cosmetic-deformity',
    site: 'subpectoral',
    comparator: 'tenotomy',
    claim: 'fewer',
    extractor: 'panel',
  },
  {
    recommendation: 'groove-pain',
    statement:
      'Do not advise against subpectoral fixation for fear of more groove pain than after release alone.',
    outcome: 'groove-pain',
    site: 'subpectoral',
    comparator: 'tenotomy',
    claim: 'not more',
    extractor: 'panel',
  },
  {
    recommendation: 'revision-rare',
    statement:
      'Tell patients that another operation for the biceps is rare after suprapectoral fixation: at most 3 in 100.',
    outcome: 'revision',
    site: 'suprapectoral',
    claim: 'at most',
    per_100: '3',
    extractor: 'panel',
  },
];

/** Rows of awaiting.csv. */
export const demoAwaiting: readonly CsvRow[] = [
  {
    report: 'Invented Journal of Shoulders 36:41',
    found: '2026-06-30',
    waits_for: 'the full text',
    extractor: 'A',
  },
  {
    report: 'Invented trial register, entry INVENTED-2025',
    found: '2026-05-31',
    waits_for: 'results, expected at the end of 2026',
    extractor: 'B',
  },
];
