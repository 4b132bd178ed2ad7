import type { Protocol } from '../protocol.ts';
import { type CellValue, foldText } from './compareCells.ts';
import { type DisagreementRank, wholeRow } from './disagreement.ts';
import type { ExtractedSheet } from './readExtraction.ts';

/** Columns whose number, or whose row, an outcome's pool is made of. */
const numbersOfOutcomes: readonly string[] = [
  wholeRow,
  'events',
  'eligible_shoulders',
  'percent',
  'shoulders',
  'mean',
  'sd',
  'se',
  'interval_lower',
  'interval_upper',
  'interval_percent',
  'median',
  'quartile_lower',
  'quartile_upper',
  'minimum',
  'maximum',
  'scale_minimum',
  'scale_maximum',
];
const decidesPool: Readonly<Partial<Record<ExtractedSheet, readonly string[]>>> = {
  studies: [wholeRow, 'design', 'cohort', 'report_kind', 'year', 'follow_up_mean_months'],
  arms: [
    wholeRow,
    'site_as_reported',
    'site_as_classified',
    'distance_mm',
    'distance_from',
    'follow_up_mean_months',
  ],
};

/** How much depends on a cell of a row? */
export function rankDisagreement(
  protocol: Protocol,
  sheet: ExtractedSheet,
  column: string,
  row: { readonly outcome?: CellValue; readonly scale?: CellValue },
): DisagreementRank {
  const inProtocol = (): boolean => {
    if (sheet === 'events')
      return protocol.outcomes.some(({ id }) => foldText(id) === foldText(String(row.outcome)));
    return protocol.outcomes.some(
      (outcome) =>
        outcome.kind === 'score' &&
        outcome.scales.some((scale) => foldText(scale) === foldText(String(row.scale))),
    );
  };
  if ((sheet === 'events' || sheet === 'scores') && numbersOfOutcomes.includes(column) && inProtocol())
    return 'a number of a protocol outcome';
  if (decidesPool[sheet]?.includes(column) === true) return 'which pool an arm is in';
  return sheet === 'judgements' ? 'quality of the study' : 'description';
}
