import { type Table, table } from '../table.ts';
import type { ChecklistEntry, ChecklistList, ReportingChecklist } from './reportingChecklist.ts';

const captions: Readonly<Record<ChecklistList, string>> = {
  'PRISMA 2020': 'Reporting checklist: PRISMA 2020',
  abstract: 'Reporting checklist for the abstract',
  'network extension': 'Reporting checklist: what a network adds',
};

function stateText({ state, toSupply }: ChecklistEntry): string {
  if (state === 'in part') return `in part; to supply: ${toSupply.join('; ')}`;
  if (state === 'not answered' && toSupply.length > 0)
    return `not answered; to supply: ${toSupply.join('; ')}`;
  return state;
}

/**
 * One list of a reporting checklist, item by item: where it is answered, and what is missing.
 *
 * @example
 * tableToMarkdown(checklistTable(reportingChecklist(review, manuscript), 'PRISMA 2020'));
 */
export function checklistTable(checklist: ReportingChecklist, list: ChecklistList): Table {
  const entries = checklist.entries.filter((entry) => entry.list === list);
  return table({
    caption: captions[list],
    columns: [
      { key: 'item', heading: 'Item' },
      { key: 'section', heading: 'Section' },
      { key: 'gist', heading: 'What it asks, in short' },
      { key: 'state', heading: 'Answered' },
      { key: 'where', heading: 'Where' },
      { key: 'comment', heading: 'Comment' },
    ],
    rows: entries.map((entry) => ({
      item: entry.item,
      section: entry.section,
      gist: entry.gist,
      state: stateText(entry),
      where: entry.places.join('; '),
      comment: entry.comment,
    })),
    sources: entries.map(({ row }) => (row === undefined ? [] : [row])),
    notes: [
      'Gist in our own words, from memory: use the published checklist for submission. Reported: a person says where. Proposed: found by rule in what was generated, and nobody has confirmed it.',
    ],
  });
}

/** Which items are open, as one sentence a list; nothing is called complete that nobody has confirmed. */
export function checklistReading(checklist: ReportingChecklist): readonly string[] {
  const lists = [...new Set(checklist.entries.map(({ list }) => list))];
  return lists.map((list) => {
    const entries = checklist.entries.filter((entry) => entry.list === list);
    const of = (state: ChecklistEntry['state']): readonly ChecklistEntry[] =>
      entries.filter((entry) => entry.state === state);
    const open = of('not answered').map(({ item }) => item);
    return `${captions[list]}: of ${entries.length} items ${of('reported').length} are reported as typed by a person, ${of('proposed').length} proposed, ${of('in part').length} answered in part, ${open.length} not answered${open.length > 0 ? ` (${open.join(', ')})` : ''}.`;
  });
}
