import { type RowGroup, type Table, table } from '../table.ts';
import type { ChecklistEntry, ChecklistList, ReportingChecklist } from './reportingChecklist.ts';

const captions: Readonly<Record<ChecklistList, string>> = {
  'PRISMA 2020': 'Reporting checklist: PRISMA 2020',
  abstract: 'Reporting checklist for the abstract',
  'network extension': 'Reporting checklist: what a network adds',
};

/** Runs of entries of one section, as headings over their rows. */
function sections(entries: readonly ChecklistEntry[]): readonly RowGroup[] {
  const groups: { heading: string; rows: number }[] = [];
  for (const { section } of entries) {
    const last = groups.at(-1);
    if (last?.heading === section) last.rows += 1;
    else groups.push({ heading: section, rows: 1 });
  }
  return groups;
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
      { key: 'section', heading: 'Section', shownIn: 'file' },
      { key: 'gist', heading: 'What it asks, in short' },
      { key: 'state', heading: 'State' },
      { key: 'where', heading: 'Where' },
      { key: 'open', heading: 'To supply, or comment' },
    ],
    rows: entries.map(({ item, section, gist, state, places, toSupply, comment }) => ({
      item,
      section,
      gist,
      state,
      where: places.join('; '),
      open: [...toSupply, ...(comment === undefined ? [] : [comment])].join('; '),
    })),
    rowGroups: sections(entries),
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
