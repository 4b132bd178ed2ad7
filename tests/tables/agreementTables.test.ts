import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { demoExtractorFiles, demoFiles } from '../../data-extraction/makeDemo.ts';
import { applyDecisions } from '../../src/extraction/agreement/applyDecisions.ts';
import { compareExtractions } from '../../src/extraction/agreement/compareExtractions.ts';
import { readDecisions } from '../../src/extraction/agreement/readDecisions.ts';
import { type Extraction, readExtraction } from '../../src/extraction/agreement/readExtraction.ts';
import { auditReview } from '../../src/robustness/audit/auditReview.ts';
import {
  agreementReading,
  decisionsTable,
  differencesTable,
  kappaTable,
  workListTable,
} from '../../src/tables/agreementTables.ts';
import { auditLetter } from '../../src/tables/auditLetter.ts';
import { auditReading, auditTable } from '../../src/tables/auditTables.ts';
import { documentToMarkdown } from '../../src/tables/documentToMarkdown.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';
import { tableToText } from '../../src/tables/tableToText.ts';
import { readSound } from '../extraction/smallReview.ts';

const files = demoExtractorFiles();
const extraction = (name: string): Extraction => {
  const start = `extractors/${name}/`;
  const own = Object.entries(files).filter(([path]) => path.startsWith(start));
  return readExtraction(name, Object.fromEntries(own.map(([path, text]) => [path.slice(start.length), text])))
    .extraction!;
};
const comparison = compareExtractions(extraction('first'), extraction('second'));

describe('tables of agreement', () => {
  it('the work list as CSV, filled in, is a decisions.csv', () => {
    const rows = parse(tableToCsv(workListTable(comparison)), { columns: true, bom: true }) as Record<
      string,
      string
    >[];
    expect(rows).toHaveLength(comparison.disagreements.length);
    const filled = rows.map((row) => ({
      ...row,
      'Taken from': 'first',
      'Decided by': 'A',
      Date: '2026-07-01',
      Reason: 'looked again',
    }));
    const headings = Object.keys(filled[0]!);
    const quote = (text: string): string => `"${text.replaceAll('"', '""')}"`;
    const csv = [
      headings,
      ...filled.map((row) => headings.map((key) => String(row[key as keyof typeof row]))),
    ]
      .map((cells) => cells.map(quote).join(','))
      .join('\n');
    const { consensus, problems } = applyDecisions(comparison, readDecisions(`${csv}\n`));
    expect(problems).toEqual([]);
    expect(consensus?.decided).toHaveLength(rows.length);
    expect(tableToText(decisionsTable(consensus!))).toContain('looked again');
    // Left as it is, it decides nothing, and says so for each line.
    const open = applyDecisions(comparison, readDecisions(tableToCsv(workListTable(comparison))));
    expect(open.consensus).toBeUndefined();
    expect(open.problems).toHaveLength(rows.length);
  });

  it('kappa stands beside what explains it, and no word grades it', () => {
    const text = tableToText(kappaTable(comparison));
    for (const heading of ['Agree', 'By chance', 'Prevalence', 'Bias', 'Quadratic'])
      expect(text).toContain(heading);
    expect(text.toLowerCase()).not.toMatch(/\b(excellent|substantial|moderate|fair|good)\b/);
    const minors = kappaTable(comparison).rows.find(({ column }) => column === 'MINORS');
    expect(minors).toMatchObject({ pairs: 272, file: 'judgements.csv' });
  });

  it('counts the columns that agree throughout in place of listing them', () => {
    const { rows, notes } = differencesTable(comparison);
    expect(rows.map(({ column }) => column)).toContain('events');
    expect(rows.map(({ column }) => column)).not.toContain('year');
    expect(notes[0]).toMatch(/^In \d+ other columns/);
  });

  it('two who agree have nothing to settle', () => {
    const same = compareExtractions(extraction('first'), extraction('first'));
    expect(agreementReading(same).join(' ')).toContain('Nothing is left to settle.');
    expect(workListTable(same).rows).toEqual([]);
  });
});

describe('findings of the audit', () => {
  const audit = auditReview(readSound(demoFiles()));

  it('each has its line in the table, with the sheet lines it rests on', () => {
    const { rows, sources } = auditTable(audit);
    expect(rows).toHaveLength(audit.findings.length);
    expect(sources?.[0]?.[0]?.file).toBe('printed.csv');
    expect(auditReading(audit)[0]).toContain(`${audit.findings.length} printed numbers`);
    expect(auditReading({ ...audit, findings: [] })[0]).toContain('fits the others');
    expect(auditReading({ ...audit, findings: [], checks: 0 })[0]).toContain('Nothing could be checked');
  });

  it('each study has a letter that numbers its questions, with the place in the paper', () => {
    const studies = [...new Set(audit.findings.map(({ study }) => study))];
    for (const study of studies) {
      const own = audit.findings.filter((each) => each.study === study);
      const letter = auditLetter(audit, study, { review: 'A review', notice: 'Invented data' })!;
      const text = documentToMarkdown(letter);
      for (const [at, { printed, question }] of own.entries()) {
        expect(text).toContain(`${at + 1}. `);
        expect(text.replaceAll('\\', '')).toContain(`: ${printed} is printed.`);
        expect(text).toContain(question);
      }
      expect(text).toContain('Invented data');
      expect(text).toContain('The mistake may well be ours.');
    }
    expect(auditLetter(audit, 'no-such-study')).toBeUndefined();
    expect(() => auditLetter(audit, studies[0]!, { from: ' ' })).toThrow('from must be words');
  });
});
