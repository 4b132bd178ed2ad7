import { bodyInWords, bodyName } from '../../certainty/bodyInWords.ts';
import type { AnswerTold } from '../../changes/answerTold.ts';
import type { ChangeReport, ConclusionChange } from '../../changes/changeReport.ts';
import { causeWords } from '../../changes/compareConclusions.ts';
import type { ChangeCause } from '../../changes/mixReviews.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { capital, listed } from '../../wording/words.ts';
import { type Table, table } from '../table.ts';
import { answerCell, certaintyCell, hasMoved, printedBefore, signedCell } from './changeWords.ts';

/**
 * Does each recommendation still stand, and what does the evidence now say of what it rests on?
 *
 * One row for each thing a recommendation rests on.
 */
export function recommendationsChangeTable(report: ChangeReport): Table {
  const answers = new Map(report.answers.map((answer) => [answer.key, answer]));
  return table({
    caption: 'Recommendations and what they rest on, in 100 shoulders',
    columns: [
      { key: 'recommendation', heading: 'Recommendation, and what it rests on' },
      { key: 'before', heading: 'Before', beside: 'earlier version' },
      { key: 'now', heading: 'Now' },
      { key: 'standing', heading: 'Does it stand?' },
    ],
    rows: report.recommendations.flatMap(({ statement, premises, standing }) =>
      premises.map(({ name, claim, before, after }, at) => {
        const sure = certaintyCell(before.certainty, after.certainty);
        return {
          recommendation: `${at === 0 ? `${statement} Rests on` : 'And on'}: ${name.charAt(0).toLowerCase()}${name.slice(1)}, ${claim}.`,
          before: answerCell(printedBefore(answers.get(before.answer?.key ?? '')) ?? before.answer),
          now: answerCell(after.answer, true),
          standing: `${at === 0 ? `${capital(standing)}. ` : ''}Certainty ${sure}.${anotherBody(before.answer, after.answer)}`,
        };
      }),
    ),
  });
}

const anotherBody = (before: AnswerTold | undefined, after: AnswerTold | undefined): string =>
  before === undefined || after === undefined || before.body === after.body
    ? ''
    : ` Another body answers: ${bodyName(after.body)}, before ${bodyName(before.body)}.`;

/** Why a conclusion is another, in few words. */
function causeCell({ sufficient, standing }: ConclusionChange): string {
  if (standing.startsWith('still')) return '';
  if (sufficient.length === 0) return 'several causes together, or certainty';
  return listed(
    sufficient.map((cause) => causeWords[cause]),
    'or',
  );
}

/** Said where the number now comes from other studies than before. */
const bodyCell = ({ before, after }: ConclusionChange): string =>
  before.body === undefined || after.body === undefined || before.body === after.body
    ? ''
    : ` Another body answers: ${bodyName(after.body)}, before ${bodyName(before.body)}.`;

const conclusionName = ({ answer }: ConclusionChange): string =>
  `${answer.outcomeName}: ${answer.name.charAt(0).toLowerCase()}${answer.name.slice(1)}`;

const conclusionNote =
  'Fewer, more: by the smallest difference that matters or beyond, over the whole interval. Not more, not fewer: that much more (or fewer) is ruled out. No difference that matters: both are ruled out. Cannot be told: neither is.';

/** The conclusions that moved, in four columns, for a first page. */
export function movedConclusionsTable(report: ChangeReport, conclusions: readonly ConclusionChange[]): Table {
  const answers = new Map(report.answers.map((answer) => [answer.key, answer]));
  return table({
    caption: 'Conclusions about one site against another that moved, in 100 shoulders',
    columns: [
      { key: 'conclusion', heading: 'Outcome and sites' },
      { key: 'before', heading: 'Before', beside: 'earlier version' },
      { key: 'now', heading: 'Now' },
      { key: 'standing', heading: 'What became of it' },
    ],
    rows: conclusions.map((conclusion) => {
      const { key, before, after, standing } = conclusion;
      const cause = causeCell(conclusion);
      return {
        conclusion: conclusionName(conclusion),
        before: `${capital(before.short)}: ${answerCell(printedBefore(answers.get(key)))}`,
        now: `${capital(after.short)}: ${answerCell(answers.get(key)?.after, true)}`,
        standing: `${capital(standing)}${cause === '' ? '' : `, because of ${cause}`}.${bodyCell(conclusion)} Certainty ${certaintyCell(before.certainty, after.certainty)}.`,
      };
    }),
    notes: [conclusionNote],
  });
}

/** Every conclusion about one site against another, before and now, those that moved first. */
export function conclusionsChangeTable(report: ChangeReport): Table {
  const answers = new Map(report.answers.map((answer) => [answer.key, answer]));
  return table({
    caption: 'Every conclusion about one site against another, in 100 shoulders',
    columns: [
      { key: 'conclusion', heading: 'Outcome and sites' },
      { key: 'before', heading: 'Difference', group: 'Before', beside: 'earlier version' },
      { key: 'saidBefore', heading: 'So', group: 'Before' },
      { key: 'now', heading: 'Difference', group: 'Now' },
      { key: 'saidNow', heading: 'So', group: 'Now' },
      { key: 'from', heading: 'From', group: 'Now' },
      { key: 'certainty', heading: 'Certainty', group: 'Now' },
      { key: 'standing', heading: 'What became of it' },
    ],
    rows: report.conclusions.map((conclusion) => ({
      conclusion: conclusionName(conclusion),
      before: answerCell(printedBefore(answers.get(conclusion.key))),
      saidBefore: conclusion.before.short,
      now: answerCell(answers.get(conclusion.key)?.after, true),
      saidNow: conclusion.after.short,
      from: studiesText(conclusion.answer),
      certainty: certaintyCell(conclusion.before.certainty, conclusion.after.certainty),
      standing: capital(conclusion.standing),
    })),
    notes: [conclusionNote],
  });
}

/** `3 randomised trials`, `2 non-randomised studies`. */
const studiesText = ({ body, ...studies }: AnswerTold): string => bodyInWords({ ...studies, design: body });

const causeHeadings: Readonly<Record<ChangeCause, string>> = {
  'studies added': 'In',
  'studies removed': 'Out',
  'cells corrected': 'Cells',
  rules: 'Rules',
  software: 'Software',
};

/** Every number that moved, with its change split among the causes; in the unit of the number. */
export function splitTable(report: ChangeReport): Table {
  const moved = report.answers.filter(hasMoved);
  const causes = report.causes;
  const groups = new Map<string, number>();
  for (const { before, after } of moved) {
    const { outcomeName, unit, question } = (after ?? before)!;
    const heading = `${outcomeName}, ${question.kind === 'comparison' ? `difference ${unit}` : unit}`;
    groups.set(heading, (groups.get(heading) ?? 0) + 1);
  }
  return table({
    caption: 'Numbers that moved, and what moved them',
    columns: [
      { key: 'name', heading: 'Site' },
      { key: 'before', heading: 'Before', align: 'right', beside: 'earlier version' },
      { key: 'now', heading: 'Now', align: 'right' },
      { key: 'change', heading: 'Change', align: 'right' },
      ...causes.map((cause, at) => ({
        key: `cause${at}`,
        heading: causeHeadings[cause],
        align: 'right' as const,
        group: 'Of which',
      })),
    ],
    rows: moved
      .map((change) => [change, change.split] as const)
      .map(([change, split]) => ({
        name: (change.after ?? change.before)!.name,
        before: answerCell(printedBefore(change)),
        now: answerCell(change.after, true),
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
      'In and out: studies added and removed; cells: those that changed in studies of both versions. The parts are averages over the orders in which the causes can come; they add up to the change before rounding. Differences: first site less second.',
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
