import type { CsvRow } from './demoRows.ts';

/** Rows of missing.csv: invented judgements of what never reached the review. */
export const demoMissing: readonly CsvRow[] = [
  ...missing('cosmetic-deformity', [
    ['known missing results', 'low', 'every eligible study that looked for a bulge prints the number'],
    ['likely missing studies', 'some concerns', 'three registered trials have no report'],
    ['pattern of results', 'low', 'no lean at the sites with ten studies or more'],
  ]),
  ...missing('groove-pain', [
    ['known missing results', 'some concerns', 'two studies mention pain without a number'],
    ['likely missing studies', 'some concerns', 'three registered trials have no report'],
    ['pattern of results', 'low', 'small and large studies tell the same story'],
  ]),
  ...missing('revision', [
    ['known missing results', 'low', 'two studies are silent, and nothing suggests that they looked'],
    ['likely missing studies', 'low', 'registers were searched; a revision is seldom the reason to publish'],
    ['pattern of results', 'some concerns', 'arms without a revision are small'],
    ['overall', 'low', 'the pattern is what rare events in small arms look like'],
  ]),
];

/**
 * Rows of certainty.csv: invented decisions of an invented panel on the main questions, each with its reason. Some keep
 * the proposal, some do not; questions without rows stay undecided.
 */
export const demoCertainty: readonly CsvRow[] = [
  ...decided('rate', 'cosmetic-deformity', 'top-of-groove', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    [
      'inconsistency',
      -1,
      -1,
      'the true rates spread further than the difference that matters, and no subgroup explains it',
    ],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'revision', 'top-of-groove', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'cosmetic-deformity', 'suprapectoral', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'revision', 'suprapectoral', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      -1,
      0,
      'the lean comes from the halves added to arms without a revision; 31 of 33 studies report it',
    ],
  ]),
  ...decided('rate', 'cosmetic-deformity', 'subpectoral', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'revision', 'subpectoral', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      -1,
      0,
      'the lean comes from the halves added to arms without a revision; 31 of 33 studies report it',
    ],
  ]),
  ...decided('rate', 'cosmetic-deformity', 'tenotomy', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    [
      'inconsistency',
      -1,
      -1,
      'the true rates spread further than the difference that matters, and no subgroup explains it',
    ],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', -1, 0, 'the interval misses the threshold by a tenth of a shoulder; 140 events'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'revision', 'tenotomy', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    ['publication bias', -1, -1, 'small studies tell another story'],
  ]),
  ...decided('rate', 'groove-pain', 'top-of-groove', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    ['inconsistency', -2, -2, 'studies lie apart by far more than matters'],
    [
      'indirectness',
      0,
      -1,
      'many of these shoulders also had a cuff repair, which changes pain over the groove',
    ],
    ['imprecision', -1, -1, 'one end of the interval is a difference that matters, the other is not'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'groove-pain', 'suprapectoral', '', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    [
      'inconsistency',
      -1,
      -1,
      'the true rates spread further than the difference that matters, and no subgroup explains it',
    ],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('rate', 'groove-pain', 'subpectoral', '', [
    ['risk of bias', 0, 0, 'more than half of the weight comes from studies of low concern'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', 0, 0, 'both ends of the interval would be told to a patient in the same words'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('comparison', 'cosmetic-deformity', 'subpectoral', 'tenotomy', [
    [
      'risk of bias',
      -2,
      -1,
      'the domains at high risk are concealment and reporting; a bulge was looked for alike in both arms, and all three trials agree',
    ],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', -1, 0, 'the smallest effect in the interval is twice the difference that matters'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('comparison', 'cosmetic-deformity', 'suprapectoral', 'subpectoral', [
    ['risk of bias', -2, -2, 'every trial has a domain at high risk'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', -1, -1, 'one end of the interval is a difference that matters, the other is not'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('comparison', 'groove-pain', 'top-of-groove', 'suprapectoral', [
    ['risk of bias', 0, 0, 'more than half of the weight comes from studies of low concern'],
    ['inconsistency', 0, 0, 'studies differ by less than matters to a patient'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    [
      'imprecision',
      -2,
      -2,
      'called moderate, and the interval holds a slight difference and one that does not matter',
    ],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('comparison', 'revision', 'subpectoral', 'tenotomy', [
    ['risk of bias', -1, -1, 'mostly cohorts and series whose assessors knew the operation'],
    [
      'inconsistency',
      -1,
      -1,
      'the true rates spread further than the difference that matters, and no subgroup explains it',
    ],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', -3, -3, 'compatible with everything'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
  ...decided('comparison', 'revision', 'suprapectoral', 'subpectoral', [
    ['risk of bias', -2, -2, 'every trial has a domain at high risk'],
    ['inconsistency', 0, 0, 'there is one study, so there is nothing to agree with'],
    ['indirectness', 0, 0, 'patients, operations and times are those of the question'],
    ['imprecision', -3, -3, 'compatible with everything'],
    [
      'publication bias',
      0,
      0,
      'not shown; too few studies to look for it, or no lean where there were enough',
    ],
  ]),
];

function missing(
  outcome: string,
  rows: readonly (readonly [question: string, answer: string, reason: string])[],
): readonly CsvRow[] {
  return rows.map(([question, answer, reason]) => ({ outcome, question, answer, reason, extractor: 'A' }));
}

/** Domain, levels proposed by the data when the panel met, levels decided, reason. */
type Decision = readonly [domain: string, proposed: number, levels: number, reason: string];

function decided(
  question: string,
  outcome: string,
  site: string,
  comparator: string,
  decisions: readonly Decision[],
): readonly CsvRow[] {
  return decisions.map(([domain, proposed, levels, reason]) => ({
    outcome,
    question,
    site,
    comparator,
    domain,
    levels: String(levels),
    reason,
    proposed_then: String(proposed),
    decided_by: 'panel',
    decided_on: '2026-07-14',
    notes: levels === proposed ? '' : 'differs from the proposal',
    extractor: 'A',
  }));
}
