import type { ChangeReport, ConclusionChange } from '../../changes/changeReport.ts';
import { isReported } from '../../extraction/reported.ts';
import { capital, counted, listed } from '../../wording/words.ts';
import type { DocumentBlock, ReportDocument } from '../reportDocument.ts';
import type { Table } from '../table.ts';
import {
  cellsChangeTable,
  certaintyChangeTable,
  renamedTable,
  rowsChangeTable,
  rulesChangeTable,
} from './cellTables.ts';
import {
  conclusionsChangeTable,
  movedConclusionsTable,
  ordersTable,
  recommendationsChangeTable,
  splitTable,
  studiesChangeTable,
} from './changeTables.ts';
import { ruleInWords } from './ruleInWords.ts';

/** A picture for the document. */
export interface ChangePicture {
  readonly title: string;
  readonly description: string;
  /** The 190 mm picture. */
  readonly svg: string;
}

export interface ChangeDocumentOptions {
  /** Pictures of numbers before and now, placed after the first page. */
  readonly pictures?: readonly ChangePicture[];
  /** Printed at the top of every page: the notice of invented data. */
  readonly notice?: string | undefined;
  /** Printed at the foot of every page. */
  readonly caution: string;
}

/** So many rows of conclusions fit on the first page; the rest stand in the details. */
const mostOnFirstPage = 5;

const heading = (level: 1 | 2 | 3, text: string): DocumentBlock => ({ kind: 'heading', level, text });
const paragraph = (text: string, emphasis?: 'lead' | 'note' | 'warning'): DocumentBlock =>
  emphasis === undefined ? { kind: 'paragraph', text } : { kind: 'paragraph', text, emphasis };
const tableBlock = (table: Table): readonly DocumentBlock[] =>
  table.rows.length === 0 ? [] : [{ kind: 'table', table }];

const movedConclusions = (report: ChangeReport): readonly ConclusionChange[] =>
  report.conclusions.filter(({ standing }) => !standing.startsWith('still'));

/**
 * What changed, as a document whose first page answers by itself.
 *
 * First page: does what was recommended still stand, what each recommendation rests on before and now, the conclusions that
 * moved with what moved them, what did not change, what came in, what waits. Then the details: every number that moved
 * and its split, every conclusion, every cell, row, rule and rating, and how it was done.
 *
 * @example
 * documentToWord(changeDocument(report, { caution }), { renderPicture })
 */
export function changeDocument(report: ChangeReport, options: ChangeDocumentOptions): ReportDocument {
  return {
    kind: 'report-document',
    title: `What changed since ${report.changes.before.lastSearch}`,
    language: 'en',
    notice: options.notice,
    caution: options.caution,
    blocks: [...firstPage(report), ...details(report, options.pictures ?? [])],
  };
}

/** The page a committee reads in five minutes. */
export function firstPage(report: ChangeReport): readonly DocumentBlock[] {
  const { before, after } = report.changes;
  const [answer = '', ...rest] = report.headline;
  const moved = movedConclusions(report);
  const shown = moved.slice(0, mostOnFirstPage);
  const more = moved.length - shown.length;
  const asked =
    report.recommendations.length > 0
      ? 'Does our recommendation still stand?'
      : 'Do our conclusions still stand?';
  return [
    heading(1, report.changes.nothingChanged ? 'Nothing changed' : asked),
    paragraph(answer, 'lead'),
    ...(report.openDecisions?.sentence === undefined
      ? []
      : [paragraph(report.openDecisions.sentence, 'warning')]),
    paragraph(
      [
        `${report.title.replace(/[.?!]?$/, '.')} Last search ${after.lastSearch} (before: ${before.lastSearch}), ${counted(after.studies, 'report')} (before: ${before.studies}).`,
        ...rest.slice(0, 1),
      ].join(' '),
    ),
    ...(report.recommendations.length > 0 ? tableBlock(recommendationsChangeTable(report)) : []),
    ...(shown.length > 0
      ? tableBlock(movedConclusionsTable(report, shown))
      : report.changes.nothingChanged
        ? []
        : [paragraph('No conclusion about one site against another moved.')]),
    ...(more > 0
      ? [paragraph(`${counted(more, 'more conclusion')} moved; all stand in the details.`, 'note')]
      : []),
    ...(report.changes.nothingChanged
      ? []
      : [heading(2, 'In short'), { kind: 'list', items: inShort(report) } as const]),
  ];
}

/** What came in, what was mended, what did not change, what waits. */
export function inShort(report: ChangeReport): readonly string[] {
  const { changes, conclusions, awaiting } = report;
  const names = (studies: readonly { readonly label: string }[]): string =>
    listed(studies.map(({ label }) => label));
  const ofStudies = changes.cells.filter(({ study }) => study !== undefined);
  const found = ofStudies.filter(({ kind }) => kind === 'now reported').length;
  const rules = changes.rules.filter(({ kind }) => kind === 'rule');
  const still = conclusions.filter(({ standing }) => standing === 'still stands').length;
  const open = conclusions.filter(({ standing }) => standing === 'still cannot be told').length;
  const items: string[] = [];
  const studies = [
    ...(changes.studiesAdded.length > 0 ? [`${names(changes.studiesAdded)} added`] : []),
    ...(changes.studiesRemoved.length > 0 ? [`${names(changes.studiesRemoved)} removed`] : []),
  ];
  if (studies.length > 0) items.push(`Studies: ${studies.join('; ')}.`);
  if (ofStudies.length > 0) {
    const values = found === 0 ? '' : `, ${found} of them not reported before`;
    items.push(`Cells: ${ofStudies.length} changed in studies of both versions${values}.`);
  }
  if (rules.length > 0) {
    const told = rules.map(ruleInWords);
    items.push(
      `Rules: ${told.slice(0, 3).join('; ')}${told.length > 3 ? `; and ${told.length - 3} more` : ''}.`,
    );
  }
  const certainty =
    report.certainty?.filter(
      ({ before, after }) => before !== after && before !== undefined && after !== undefined,
    ) ?? [];
  if (report.certainty !== undefined)
    items.push(
      certainty.length === 0
        ? 'Certainty: no level moved among the questions that were rated.'
        : `Certainty: ${certainty.map(({ name, before, after }) => `${name}, from ${before} to ${after}`).join('; ')}.`,
    );
  items.push(
    `Did not change: ${counted(still, 'conclusion')} ${still === 1 ? 'stands' : 'stand'} as before; ${open} could be told neither before nor now.`,
  );
  items.push(
    awaiting.length === 0
      ? 'Waiting: no report is listed as waiting to be taken in.'
      : `Waiting: ${counted(awaiting.length, 'report')} found and not yet taken in.`,
  );
  return items;
}

function details(report: ChangeReport, pictures: readonly ChangePicture[]): readonly DocumentBlock[] {
  const { changes } = report;
  if (changes.nothingChanged) return madeFrom(report);
  const ofStudies = changes.cells.filter(({ study }) => study !== undefined);
  const others = changes.cells.filter(({ study }) => study === undefined);
  const moved = movedConclusions(report);
  return [
    { kind: 'page-break' },
    heading(1, 'Details'),
    ...(report.recommendations.length === 0
      ? []
      : [
          heading(2, 'Recommendations, one by one'),
          {
            kind: 'list',
            items: report.recommendations.map(({ statement, sentence }) => `${statement} ${sentence}`),
          } as const,
        ]),
    ...(moved.length === 0
      ? []
      : [
          heading(2, 'Conclusions that moved, in words'),
          { kind: 'list', items: moved.map(({ sentence }) => sentence) } as const,
        ]),
    ...(pictures.length === 0 ? [] : [heading(2, 'Numbers before and now')]),
    ...pictures.map((picture): DocumentBlock => ({ kind: 'figure', ...picture })),
    ...section('Numbers that moved', [splitTable(report), ordersTable(report)]),
    ...section('Every conclusion', [conclusionsChangeTable(report)]),
    ...section('Certainty', [certaintyChangeTable(report)]),
    ...section('What changed in the data', [
      studiesChangeTable(report),
      renamedTable(report),
      cellsChangeTable(ofStudies, 'Cells of studies in both versions'),
      cellsChangeTable(others, 'Cells of other sheets'),
      rowsChangeTable(report),
    ]),
    ...section('What changed in the rules', [rulesChangeTable(report)]),
    ...waiting(report),
    ...madeFrom(report),
  ];
}

function section(title: string, tables: readonly Table[]): readonly DocumentBlock[] {
  const blocks = tables.flatMap(tableBlock);
  return blocks.length === 0 ? [] : [heading(2, title), ...blocks];
}

function waiting({ awaiting }: ChangeReport): readonly DocumentBlock[] {
  if (awaiting.length === 0) return [];
  const items = awaiting.map(({ report, found, waitsFor }) => {
    const when = isReported(found) ? `, found ${found}` : '';
    return `${report}${when}${isReported(waitsFor) ? `: waits for ${waitsFor}` : ''}.`;
  });
  return [heading(2, 'Waiting to be taken in'), { kind: 'list', items }];
}

function madeFrom({ changes, software, methodsSentence }: ChangeReport): readonly DocumentBlock[] {
  const version = (name: string, { fingerprint }: typeof changes.before): string =>
    `${capital(name)}: data ${fingerprint.data.slice(0, 16)}, rules ${fingerprint.rules.slice(0, 16)} (first digits of SHA-256).`;
  const program = ({ tenosite, revision }: NonNullable<typeof software.after>): string =>
    `tenosite ${tenosite}${revision === undefined ? '' : `, revision ${revision}`}`;
  return [
    heading(2, 'How this was made'),
    paragraph(methodsSentence),
    {
      kind: 'list',
      items: [
        version(`earlier version (${changes.before.name})`, changes.before),
        version(`this version (${changes.after.name})`, changes.after),
        ...(software.before === undefined
          ? []
          : [`The earlier version's printed numbers were made with ${program(software.before)}.`]),
        ...(software.after === undefined ? [] : [`This report was made with ${program(software.after)}.`]),
      ],
    },
  ];
}
