import type { ChangeReport, ConclusionChange } from '../../certainty/changes/changeReport.ts';
import { causeWords } from '../../certainty/changes/compareConclusions.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { type Table, table } from '../table.ts';
import { answerCell, capital, certaintyCell, hasMoved, listed, signedCell } from './changeWords.ts';

/**
 * Does each recommendation still stand, and what does the evidence now say of what it rests on?
 *
 * One row for each thing a recommendation rests on.
 */
export function recommendationsChangeTable(report: ChangeReport): Table {
  return table({
    caption: 'Recommendations and what they rest on',
    columns: [
      { key: 'recommendation', heading: 'Recommendation' },
      { key: 'rests', heading: 'Rests on' },
      { key: 'before', heading: 'Before', group: 'In 100 shoulders' },
      { key: 'now', heading: 'Now', group: 'In 100 shoulders' },
      { key: 'certainty', heading: 'Certainty' },
      { key: 'standing', heading: 'Does it stand?' },
    ],
    rows: report.recommendations.flatMap(({ statement, premises, standing }) =>
      premises.map((premise, at) => ({
        recommendation: at === 0 ? statement : 'The same',
        rests: `${premise.name}: ${premise.claim}`,
        before: answerCell(premise.before.answer),
        now: answerCell(premise.after.answer),
        certainty: certaintyCell(premise.before.certainty, premise.after.certainty),
        standing: at === 0 ? capital(standing) : '',
      })),
    ),
  });
}

/** Why a conclusion is another, in few words. */
function causeCell({ sufficient, standing }: ConclusionChange): string {
  if (standing.startsWith('still')) return '';
  if (sufficient.length === 0) return 'several causes together, or certainty';
  return listed(
    sufficient.map((cause) => causeWords[cause]),
    'or',
  );
}

/** Conclusions about one site against another, before and now, those that moved first. */
export function conclusionsChangeTable(
  report: ChangeReport,
  conclusions: readonly ConclusionChange[],
  caption: string,
): Table {
  const answers = new Map(report.answers.map((answer) => [answer.key, answer]));
  return table({
    caption,
    columns: [
      { key: 'conclusion', heading: 'Outcome and sites' },
      { key: 'before', heading: 'In 100 shoulders', group: 'Before' },
      { key: 'saidBefore', heading: 'So', group: 'Before' },
      { key: 'now', heading: 'In 100 shoulders', group: 'Now' },
      { key: 'saidNow', heading: 'So', group: 'Now' },
      { key: 'standing', heading: 'What became of it' },
      { key: 'cause', heading: 'Because of' },
    ],
    rows: conclusions.map((conclusion) => ({
      conclusion: `${conclusion.answer.outcomeName}: ${conclusion.answer.name.charAt(0).toLowerCase()}${conclusion.answer.name.slice(1)}`,
      before: answerCell(answers.get(conclusion.key)?.before),
      saidBefore: conclusion.before.short,
      now: answerCell(answers.get(conclusion.key)?.after),
      saidNow: conclusion.after.short,
      standing: capital(conclusion.standing),
      cause: causeCell(conclusion),
    })),
    notes: [
      'Fewer, more: by the smallest difference that matters or beyond, over the whole interval. Not more, not fewer: that much more (or fewer) is ruled out. No difference that matters: both are ruled out. Cannot be told: neither is.',
    ],
  });
}

/** Every number that moved, with its change split among the causes; in the unit of the number. */
export function splitTable(report: ChangeReport): Table {
  const moved = report.answers.filter(hasMoved);
  const causes = report.causes;
  const groups = new Map<string, number>();
  for (const { before, after } of moved) {
    const { outcomeName, unit, question } = (after ?? before)!;
    const heading = `${outcomeName}, ${question.kind === 'difference' ? `difference ${unit}` : unit}`;
    groups.set(heading, (groups.get(heading) ?? 0) + 1);
  }
  return table({
    caption: 'Numbers that moved, and what moved them',
    columns: [
      { key: 'name', heading: 'Site' },
      { key: 'before', heading: 'Before', align: 'right' },
      { key: 'now', heading: 'Now', align: 'right' },
      { key: 'change', heading: 'Change', align: 'right' },
      ...causes.map((cause, at) => ({
        key: `cause${at}`,
        heading: capital(cause),
        align: 'right' as const,
        group: 'Of which',
      })),
    ],
    rows: moved.map(({ before, after, split }) => ({
      name: (after ?? before)!.name,
      before: answerCell(before),
      now: answerCell(after),
      change: split === undefined ? 'no split' : signedCell(split.total, 2),
      ...Object.fromEntries(
        causes.map((cause, at) => {
          const part = split?.parts.find((each) => each.cause === cause);
          return [`cause${at}`, part === undefined ? '' : signedCell(part.value, 2)];
        }),
      ),
    })),
    ...(groups.size > 0 ? { rowGroups: [...groups].map(([heading, rows]) => ({ heading, rows })) } : {}),
    notes: [
      'The parts are averages over the orders in which the causes can come; they add up to the change before rounding. Differences: first site less second.',
    ],
  });
}

/** Numbers for which the order of the causes matters: what data and rules contribute when each comes first. */
export function ordersTable(report: ChangeReport): Table {
  const rows = report.answers.flatMap(({ before, after, split }) => {
    const own = split?.orders ?? [];
    const [one, other] = own;
    if (own.length < 2 || one === undefined || other === undefined) return [];
    const partOf = (order: typeof one, rules: boolean): number =>
      order.parts[order.groups.findIndex((group) => group.includes('rules') === rules)] ?? 0;
    const [dataFirst, rulesFirst] = one.groups[0]?.includes('rules') ? [other, one] : [one, other];
    if (Math.abs(partOf(dataFirst, false) - partOf(rulesFirst, false)) < 0.005) return [];
    const { outcomeName, name } = (after ?? before)!;
    return [
      {
        name: `${outcomeName}: ${name}`,
        data1: signedCell(partOf(dataFirst, false), 2),
        rules1: signedCell(partOf(dataFirst, true), 2),
        data2: signedCell(partOf(rulesFirst, false), 2),
        rules2: signedCell(partOf(rulesFirst, true), 2),
      },
    ];
  });
  return table({
    caption: 'Where data and rules act on each other: the two orders',
    columns: [
      { key: 'name', heading: 'Number' },
      { key: 'data1', heading: 'Data', align: 'right', group: 'Data first' },
      { key: 'rules1', heading: 'Rules', align: 'right', group: 'Data first' },
      { key: 'data2', heading: 'Data', align: 'right', group: 'Rules first' },
      { key: 'rules2', heading: 'Rules', align: 'right', group: 'Rules first' },
    ],
    rows,
    notes: ['Shown where the two orders differ by 0.01 or more.'],
  });
}

/** Studies that came in and went out. */
export function studiesChangeTable({ changes }: ChangeReport): Table {
  const all = [
    ...changes.studiesAdded.map((study) => ({ study, what: 'added' })),
    ...changes.studiesRemoved.map((study) => ({ study, what: 'removed' })),
  ];
  return table({
    caption: 'Studies added and removed',
    columns: [
      { key: 'label', heading: 'Study' },
      { key: 'what', heading: 'What happened' },
      { key: 'design', heading: 'Design' },
      { key: 'arms', heading: 'Arms', align: 'right' },
      { key: 'rows', heading: 'Rows', align: 'right' },
      { key: 'place', heading: 'Where' },
    ],
    rows: all.map(({ study, what }) => ({
      label: study.label,
      what,
      design: study.design,
      arms: study.arms,
      rows: study.rows,
      place: `${study.place.file}, line ${study.place.line}${what === 'added' ? '' : ' of the earlier version'}`,
    })),
    sources: all.map(({ study, what }): readonly RowAddress[] =>
      what === 'added'
        ? [{ file: study.place.file, line: study.place.line, locator: study.place.locator }]
        : [],
    ),
  });
}
