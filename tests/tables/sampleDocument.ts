import type { ReportDocument } from '../../src/tables/reportDocument.ts';
import { table } from '../../src/tables/table.ts';

/** Cells that try to be something else. */
export const hostileTexts = [
  '<img onerror=alert(1) src=x>',
  '=cmd()|calc',
  'line\u0000 with \u0007control\u001b characters\ufffe',
  'half a pair \ud800 alone',
  '\u05e9\u05dc\u05d5\u05dd 12 \u202eright to left',
  ']]><w:p/>&amp;',
  '| pipe | `code` **bold** [link](http://x)',
] as const;

/** A picture as the figures make them: size in mm and a viewBox. */
export const samplePicture =
  '<svg xmlns="http://www.w3.org/2000/svg" width="190mm" height="95mm" viewBox="0 0 538 269"><title>Rates</title>' +
  '<rect width="538" height="269" fill="#eceef1"/><text x="20" y="40" font-size="13">Rates by site</text></svg>';

export const narrowTable = table({
  caption: 'Counts <by> site',
  columns: [
    { key: 'site', heading: 'Site' },
    { key: 'events', heading: 'Events', align: 'right', group: 'Shoulders' },
    { key: 'total', heading: 'All', align: 'right', group: 'Shoulders', notes: ['all'] },
    { key: 'file', heading: 'rate', shownIn: 'file' },
  ],
  rowGroups: [
    { heading: 'Fixed', rows: 1 },
    { heading: 'Released', rows: hostileTexts.length },
  ],
  rows: [
    { site: 'Subpectoral', events: 4, total: { text: 40, notes: ['few'] }, file: 0.1 },
    ...hostileTexts.map((site, at) => ({ site, events: at, total: 50 })),
  ],
  footnotes: [
    { key: 'few', text: 'Few shoulders.' },
    { key: 'all', text: 'With & without a tear.' },
  ],
  notes: ['Not a comparison.'],
});

const words = 'Two small series whose assessors knew the site; the interval reaches from fewer to more';
export const wideTable = table({
  caption: 'A wide table',
  columns: Array.from({ length: 9 }, (_, at) => ({ key: `c${at}`, heading: `Domain number ${at}` })),
  rows: Array.from({ length: 30 }, (_, row) =>
    Object.fromEntries(Array.from({ length: 9 }, (_, at) => [`c${at}`, at === 0 ? `Outcome ${row}` : words])),
  ),
});

export const sampleDocument: ReportDocument = {
  kind: 'report-document',
  title: 'Evidence <tables> & more',
  language: 'en-GB',
  notice: 'Invented data: these studies do not exist.',
  caution: 'Supports and does not replace licensed judgement and local guidance.',
  blocks: [
    { kind: 'paragraph', text: '1. What this is about: #1 of *many*', emphasis: 'lead' },
    { kind: 'heading', level: 1, text: 'Key messages' },
    { kind: 'list', items: ['First message', '- second <b>message</b>'] },
    { kind: 'list', numbered: true, items: ['One', 'Two'] },
    { kind: 'list', numbered: true, items: ['One again'] },
    { kind: 'paragraph', text: 'Not yet decided by people.', emphasis: 'warning' },
    { kind: 'table', table: narrowTable },
    { kind: 'table', table: { ...narrowTable, caption: 'The same again' } },
    { kind: 'heading', level: 1, text: 'Profile' },
    { kind: 'heading', level: 2, text: 'One comparison' },
    { kind: 'table', table: wideTable },
    { kind: 'heading', level: 1, text: 'Pictures' },
    {
      kind: 'figure',
      title: 'Rates',
      description: 'Rates of "deformity" by site: 10 & 27 in 100.',
      svg: samplePicture,
    },
    { kind: 'paragraph', text: 'Made from sheets.', emphasis: 'note' },
    { kind: 'page-break' },
    { kind: 'heading', level: 3, text: 'End' },
  ],
};
