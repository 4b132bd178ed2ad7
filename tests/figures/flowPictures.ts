import { flowCounts } from '../../src/extraction/flowCounts.ts';
import type { FlowRow } from '../../src/extraction/review.ts';
import type { FlowStage } from '../../src/extraction/sheets/flowSheet.ts';
import { flowDiagram } from '../../src/figures/flowDiagram.ts';
import { invented } from './inventedPools.ts';

type Typed = readonly (readonly [stage: FlowStage, count: number, detail?: string])[];

/** Rows of flow.csv as a review holds them. */
export const flowRowsOf = (typed: Typed): readonly FlowRow[] =>
  typed.map(([stage, count, detail = 'not reported'], at) => ({
    stage,
    count,
    detail,
    locator: 'not reported',
    notes: 'not reported',
    extractor: 'not reported',
    row: { file: 'flow.csv', line: at + 2, locator: 'not reported' },
  }));

export const newReview: Typed = [
  ['records identified', 1753, 'database one'],
  ['records identified', 214, 'database two'],
  ['records identified', 31, 'trial register'],
  ['records removed before screening', 287, 'duplicates'],
  ['records removed before screening', 12, 'automation tools'],
  ['records screened', 1699],
  ['records excluded', 1600, 'title and abstract'],
  ['reports sought', 99],
  ['reports not retrieved', 4],
  ['reports assessed', 95],
  ['reports excluded', 41, 'no result by site'],
  ['reports excluded', 12, 'fewer than five shoulders'],
  ['reports excluded', 9, 'follow-up too short'],
  ['reports included', 33],
  ['studies included', 32],
];

const updated: Typed = [
  ['previous studies included', 21],
  ['previous reports included', 21],
  ['records identified', 510, 'database one'],
  ['records removed before screening', 110, 'duplicates'],
  ['records screened', 400],
  ['records excluded', 362],
  ['reports sought', 38],
  ['reports not retrieved', 1],
  ['reports assessed', 37],
  ['reports excluded', 20, 'no result by site'],
  ['reports excluded', 8, 'the same patients as in a report already included'],
  ['other records identified', 31, 'reference lists'],
  ['other records identified', 6, 'websites of societies'],
  ['other reports sought', 9],
  ['other reports not retrieved', 0],
  ['other reports assessed', 9],
  ['other reports excluded', 6, 'follow-up too short'],
  ['reports included', 33],
  ['studies included', 32],
];

const gaps: Typed = [
  ['records identified', 900],
  ['records screened', 700],
  ['records excluded', 650],
  ['reports sought', 40],
  [
    'reports excluded',
    3,
    'the operation was done together with a repair of the cuff, and no result was given for shoulders without one <img onerror=alert(1)>',
  ],
  ['reports excluded', 1, '=HYPERLINK("x") Donaudampfschifffahrtsgesellschaftskapitänsmützenabzeichen'],
  ['reports included', 33],
];

const drawn = (typed: Typed) => (width: '90mm' | '190mm') =>
  flowDiagram(flowCounts(flowRowsOf(typed)), { width, notice: invented });

export const flowPictures: Readonly<Record<string, (width: '90mm' | '190mm') => string>> = {
  'flow-new-review': drawn(newReview),
  'flow-update': drawn(updated),
  'flow-other-sources': drawn(updated.filter(([stage]) => !stage.startsWith('previous'))),
  'flow-update-alone': drawn(updated.filter(([stage]) => !stage.startsWith('other'))),
  'flow-gaps': drawn(gaps),
  'flow-nothing': drawn([]),
};
