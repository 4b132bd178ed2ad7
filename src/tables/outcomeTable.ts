import { definitionText } from '../extraction/definitions.ts';
import type { EventSelection } from '../extraction/eventSelection.ts';
import { type Table, table } from './table.ts';

/** What was counted, by whose eyes, when, and among whom: the choices behind one outcome. */
export function outcomeTable(selection: EventSelection, options: { readonly caption?: string } = {}): Table {
  const { outcome, options: choices, arms } = selection;
  const window = choices.windowMonths;
  const months = arms.flatMap((arm) => (typeof arm.followUpMonths === 'number' ? [arm.followUpMonths] : []));
  const entries: readonly (readonly [string, string])[] = [
    ['Outcome', outcome.name],
    ...(outcome.description === undefined ? [] : [['Meaning', outcome.description] as const]),
    ['Definitions accepted, best first', choices.definitions.map(definitionText).join('; ')],
    ['Assessors accepted, best first', choices.assessors.join('; ')],
    ['Time window', window === undefined ? 'any' : `${window.minimum} to ${window.maximum} months`],
    [
      'When several times fit',
      outcome.prefer === 'longest' ? 'the longest' : `closest to ${outcome.targetMonths} months`,
    ],
    [
      'Follow-up of the arms used',
      months.length === 0 ? 'not reported' : `${Math.min(...months)} to ${Math.max(...months)} months`,
    ],
    ['Counted among', outcome.denominator],
    ['Mid-groove arms', midGrooveNames[choices.siteRule.midGroove]],
    ['Several reports of one cohort', overlapNames[choices.overlapRule]],
    [
      'Difference that would matter',
      `${outcome.thresholdsPer100.materialDifference} per 100 (${outcome.thresholdsPer100.source})`,
    ],
  ];
  return table({
    caption: options.caption ?? 'What was counted',
    columns: [
      { key: 'choice', heading: 'Choice' },
      { key: 'value', heading: 'In this analysis' },
    ],
    rows: entries.map(([choice, value]) => ({ choice, value })),
  });
}

/** Where mid-groove arms are counted, in words. */
export const midGrooveNames: Readonly<Record<EventSelection['options']['siteRule']['midGroove'], string>> = {
  'with-top-of-groove': 'counted with top of groove',
  'with-suprapectoral': 'counted with suprapectoral',
  'split-by-half': 'split by half of the groove',
};

const overlapNames: Readonly<Record<EventSelection['options']['overlapRule'], string>> = {
  largest: 'the largest counts',
  latest: 'the latest counts',
  'primary-report': 'the primary report counts',
};
