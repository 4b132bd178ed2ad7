import { isReported } from '../extraction/reported.ts';
import type { Audit } from '../robustness/audit/auditReview.ts';
import { reportedCell, type Table, table } from './table.ts';

/** What papers print and their other numbers do not give, one row a finding. */
export function auditTable(audit: Audit): Table {
  return table({
    caption: 'Printed numbers that the counts do not give',
    columns: [
      { key: 'study', heading: 'Study' },
      { key: 'subject', heading: 'Number' },
      { key: 'printed', heading: 'Printed', align: 'right' },
      { key: 'counts', heading: 'What the other numbers give' },
      { key: 'fits', heading: 'What would fit' },
      { key: 'strength', heading: 'Kind' },
      { key: 'locator', heading: 'Read from' },
      { key: 'sheet', heading: 'Sheet and line' },
    ],
    rows: audit.findings.map(({ label, subject, printed, counts, wouldFit, strength, row }) => ({
      study: label,
      subject,
      printed,
      counts,
      fits: wouldFit.join(' '),
      strength,
      locator: reportedCell(row.locator),
      sheet: `${row.file}:${row.line}`,
    })),
    sources: audit.findings.map(({ row, against }) => [row, ...against]),
    notes: [
      'A contradiction cannot be right whatever was done; a question can, by a way the paper would have to name. Tests and methods in use were all tried before a number was listed.',
    ],
  });
}

/** The audit in sentences, by what it found. */
export function auditReading(audit: Audit): readonly string[] {
  const { findings, checks, notAudited } = audit;
  if (checks === 0)
    return [
      "Nothing could be checked: no paper's number was typed together with what it could be held against.",
    ];
  const studies = new Set(findings.map(({ study }) => study)).size;
  const contradictions = findings.filter(({ strength }) => strength === 'contradiction').length;
  return [
    findings.length === 0
      ? `${checks} checks were made, and every printed number fits the others of its paper.`
      : `${checks} checks were made; ${findings.length} printed numbers in ${studies} ${studies === 1 ? 'study' : 'studies'} do not fit the others of their paper. ${contradictions} of them cannot be right whatever was done; the others need a word from the authors.`,
    ...(notAudited.length === 0
      ? []
      : [
          `${notAudited.length} printed numbers could be held against nothing, and count neither for nor against a paper.`,
        ]),
    'A finding is a question and not an accusation: most have a harmless answer, such as patients missing from one table. That nothing was found does not show that a number is right.',
  ];
}

/** Where a finding stands in the paper, for a sentence. */
export const placeInPaper = (locator: Audit['findings'][number]['row']['locator']): string =>
  isReported(locator) ? ` (${locator})` : '';
