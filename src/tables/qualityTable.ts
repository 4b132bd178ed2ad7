import type { InstrumentJudgement, StudyQuality } from '../certainty/quality/studyQuality.ts';
import { sumInWords } from '../certainty/quality/sumInWords.ts';
import { type Table, table } from './table.ts';

/** Every study: by which instrument, its result by the instrument's own rule, and how it is read. */
export function qualityTable(
  quality: readonly StudyQuality[],
  options: { readonly caption?: string } = {},
): Table {
  const overridden = quality.some(({ judgement }) => judgement?.overrideReason !== undefined);
  return table({
    caption: options.caption ?? 'Quality of the studies',
    columns: [
      { key: 'study', heading: 'Study' },
      { key: 'design', heading: 'Design' },
      { key: 'instrument', heading: 'Instrument' },
      { key: 'result', heading: 'Result' },
      { key: 'reading', heading: 'Read as' },
      ...(overridden ? [{ key: 'override', heading: 'Overridden because' }] : []),
      { key: 'others', heading: 'By other instruments' },
    ],
    rows: quality.map(({ label, design, judgement, others, concern }) => ({
      study: label,
      design,
      instrument: judgement?.instrument ?? 'none',
      result: judgement === undefined ? 'not judged' : resultText(judgement),
      reading: concern,
      ...(overridden ? { override: judgement?.overrideReason } : {}),
      others: others.map((each) => `${each.instrument}: ${resultText(each)}`).join('; '),
    })),
    notes: [
      'The reading on three steps is ours and the same for all instruments; MINORS has no official bands. A study nobody judged is not read as of low concern.',
    ],
  });
}

/** Items of the studies judged by one instrument, one row a study. */
export function qualityItemsTable(
  quality: readonly StudyQuality[],
  instrument: InstrumentJudgement['instrument'],
  options: { readonly caption?: string } = {},
): Table {
  const judged = quality.flatMap(({ label, judgement, others }) =>
    [judgement, ...others].flatMap((each) =>
      each?.instrument === instrument ? [{ label, judgement: each }] : [],
    ),
  );
  const items = [...new Set(judged.flatMap(({ judgement }) => judgement.items.map(({ item }) => item)))];
  return table({
    caption: options.caption ?? `${instrument}, item by item`,
    columns: [
      { key: 'study', heading: 'Study' },
      ...items.map((item) => ({ key: item, heading: item })),
      { key: 'result', heading: 'Result' },
    ],
    rows: judged.map(({ label, judgement }) => ({
      study: label,
      ...Object.fromEntries(judgement.items.map(({ item, answer }) => [item, answer ?? 'not judged'])),
      result: resultText(judgement),
    })),
  });
}

function resultText(judgement: InstrumentJudgement): string {
  const { items, sum, derived, typed, overridden } = judgement;
  const open = items.filter(({ answer }) => answer === undefined).length;
  const unjudged = open === 0 ? '' : `, ${open} of ${items.length} items not judged`;
  if (sum !== undefined) {
    const word = derived !== undefined && !derived.includes(' of ') ? `, ${derived}` : '';
    return `${sumInWords(judgement)}${word}`;
  }
  const overall = typed ?? derived;
  if (overall === undefined) return `no overall judgement${unjudged}`;
  return `${overall}${overridden ? ` (${derived} by rule)` : ''}${unjudged}`;
}
