import type { CountedStudy, FlowCounts, FlowMismatch } from './flowCounts.ts';
import { isReported } from './reported.ts';
import { type FlowStage, flowStages } from './sheets/flowSheet.ts';

/** Each step is what came before it less what fell out. */
const steps: readonly (readonly [before: FlowStage, fell: FlowStage, after: FlowStage])[] = [
  ['records identified', 'records removed before screening', 'records screened'],
  ['records screened', 'records excluded', 'reports sought'],
  ['reports sought', 'reports not retrieved', 'reports assessed'],
  ['other reports sought', 'other reports not retrieved', 'other reports assessed'],
];

/** The smaller of each pair can never exceed the larger. */
const bounds: readonly (readonly [smaller: FlowStage, larger: FlowStage])[] = [
  ['studies included', 'reports included'],
  ['new studies included', 'new reports included'],
  ['previous studies included', 'previous reports included'],
  ['other reports sought', 'other records identified'],
];

type Flow = Pick<FlowCounts, 'counts' | 'update' | 'otherSources'>;
interface Tally {
  readonly flow: Flow;
  /** The total as typed; undefined where no row gives it. */
  readonly total: (stage: FlowStage) => number | undefined;
  readonly report: (stage: FlowStage, expected: string, cure: string) => void;
}

/** Counts of a selection that contradict each other, or studies.csv. */
export function flowMismatches(flow: Flow, studies?: readonly CountedStudy[]): readonly FlowMismatch[] {
  const found: FlowMismatch[] = [];
  const tally: Tally = {
    flow,
    total: (stage) => {
      const { total, workedOut } = flow.counts[stage];
      return isReported(total) && workedOut === undefined ? total : undefined;
    },
    report: (stage, expected, cure) => {
      const last = flow.counts[stage].parts.at(-1);
      if (last !== undefined) found.push({ stage, expected, cure, row: last.row });
    },
  };
  for (const step of steps) checkStep(tally, ...step);
  checkInclusion(tally);
  checkUpdate(tally);
  for (const [smaller, larger] of bounds) {
    const [few, many] = [tally.total(smaller), tally.total(larger)];
    if (few === undefined || many === undefined || few <= many) continue;
    tally.report(
      smaller,
      `at most ${many}`,
      `There cannot be more than the ${many} of "${larger}": check both.`,
    );
  }
  found.push(...sumsBesideParts(flow));
  if (studies !== undefined) checkStudies(tally, studies);
  return found;
}

function checkStep({ total, report }: Tally, before: FlowStage, fell: FlowStage, after: FlowStage): void {
  const [from, out, to] = [total(before), total(fell), total(after)];
  if (from === undefined) return;
  if (out !== undefined && out > from) {
    report(fell, `at most ${from}`, `${before} ${from}, and ${out} cannot fall out of them: check both.`);
  } else if (to !== undefined && out === undefined && to !== from) {
    const cure = `Add the rows of "${fell}", or check the counts.`;
    report(after, `${from}, as no row says how many fell out`, cure);
  } else if (to !== undefined && out !== undefined && from - out !== to) {
    report(after, `${from - out} in all`, `${before} ${from} less ${fell} ${out}: check the three counts.`);
  }
}

/** What was assessed less what was excluded is what is newly included, over both columns. */
function checkInclusion(tally: Tally): void {
  const { flow, total, report } = tally;
  const newlyTyped = total('new reports included') !== undefined;
  const included = newlyTyped ? 'new reports included' : 'reports included';
  const before = flow.update && !newlyTyped ? total('previous reports included') : 0;
  if (!flow.otherSources && before === 0) {
    checkStep(tally, 'reports assessed', 'reports excluded', included);
    return;
  }
  const [assessed, excluded, after] = [total('reports assessed'), total('reports excluded'), total(included)];
  const other = flow.otherSources ? total('other reports assessed') : 0;
  const otherExcluded = total('other reports excluded');
  if (assessed === undefined || other === undefined || before === undefined || after === undefined) return;
  const expected = assessed - (excluded ?? 0) + other - (otherExcluded ?? 0) + before;
  if (expected === after) return;
  const parts = [
    `reports assessed ${assessed} less reports excluded ${excluded ?? 'not reported'}`,
    ...(flow.otherSources
      ? [`other reports assessed ${other} less other reports excluded ${otherExcluded ?? 'not reported'}`]
      : []),
    ...(before > 0 ? [`previous reports included ${before}`] : []),
  ];
  report(included, `${expected} in all`, `${parts.join(', and ')}: check the counts.`);
}

function checkUpdate({ total, report }: Tally): void {
  for (const what of ['studies included', 'reports included'] as const) {
    const [earlier, added, whole] = [total(`previous ${what}`), total(`new ${what}`), total(what)];
    if (whole === undefined || earlier === undefined) continue;
    if (earlier > whole) {
      report(`previous ${what}`, `at most ${whole}`, `${what} ${whole} in all: check both.`);
    } else if (added !== undefined && earlier + added !== whole) {
      report(
        what,
        `${earlier + added} in all`,
        `previous ${earlier} and new ${added}: check the three counts.`,
      );
    }
  }
}

/** A row without a detail that repeats the sum of the rows beside it would be counted twice. */
function sumsBesideParts(flow: Flow): readonly FlowMismatch[] {
  return flowStages.flatMap((stage): FlowMismatch[] => {
    const { parts } = flow.counts[stage];
    const blank = parts.find(({ detail }) => !isReported(detail));
    if (blank === undefined || parts.length < 2) return [];
    const rest = parts.reduce((sum, { count }) => sum + count, 0) - blank.count;
    if (blank.count !== rest || rest === 0) return [];
    const expected = 'the parts or their sum, not both';
    const cure = `Rows of one stage add up, and this one repeats the sum of the others of "${stage}": delete it.`;
    return [{ stage, expected, cure, row: blank.row }];
  });
}

function checkStudies({ total, report }: Tally, studies: readonly CountedStudy[]): void {
  const reports = total('reports included');
  if (reports !== undefined && reports !== studies.length) {
    const cure = 'Check the count, or add the missing reports.';
    report('reports included', `${studies.length}, the rows of studies.csv`, cure);
  }
  const cohorts = new Set(
    studies.map(({ study, cohort }) => (isReported(cohort) ? `cohort ${cohort}` : `study ${study}`)),
  ).size;
  const counted = total('studies included');
  if (counted !== undefined && counted !== cohorts) {
    const cure = 'Check the count, or the cohorts.';
    report('studies included', `${cohorts}, the distinct cohorts of studies.csv`, cure);
  }
}
