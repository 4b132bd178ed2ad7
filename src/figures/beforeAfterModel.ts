import { nice, ticks } from 'd3-array';
import type { AnswerTold } from '../changes/answerTold.ts';
import type { AnswerChange, ChangeReport } from '../changes/changeReport.ts';
import { type ChangeCause, changeCauses } from '../changes/mixReviews.ts';
import { sizeDigits } from '../wording/numbers.ts';
import type { Axis } from './axis.ts';
import { fixed } from './formatNumber.ts';

/** One outcome's answers, with the axes of its numbers and of its steps. */
export interface BeforeAfterGroup {
  readonly outcome: string;
  readonly unit: string;
  readonly changes: readonly AnswerChange[];
  readonly axis: Axis;
  readonly steps: Axis;
  readonly decimals: number;
}

/** Causes that moved any number of the report, in the order they are told. */
export function causesShown(report: ChangeReport): readonly ChangeCause[] {
  return changeCauses.filter((cause) => report.causes.includes(cause));
}

/** The parts of a change, by cause; nought for a cause that has none. */
export function partsOf(
  { split }: AnswerChange,
  causes: readonly ChangeCause[],
): readonly number[] | undefined {
  return split && causes.map((cause) => split.parts.find((part) => part.cause === cause)?.value ?? 0);
}

/** Enough decimals to tell the numbers of a group apart. */
const decimalsFor = (largest: number): number => (largest < 2 ? 2 : 1);

/** An even axis with ticks at round numbers. */
function evenAxis(lower: number, upper: number, count: number, title: string): Axis {
  const [from, to] = lower === upper ? [lower - 1, upper + 1] : nice(lower, upper, count);
  return {
    lower: from,
    upper: to,
    ticks: ticks(from, to, count).map((at) => ({ at, text: String(at).replace('-', '\u2212') })),
    title,
    toAxis: (value) => value,
  };
}

/** Numbers of one kind that moved, by outcome; outcomes in which nothing moved are left out. */
export function beforeAfterGroups(
  report: ChangeReport,
  kind: AnswerTold['question']['kind'],
  narrow: boolean,
): readonly BeforeAfterGroup[] {
  const of = (change: AnswerChange): AnswerTold => (change.after ?? change.before) as AnswerTold;
  const own = report.answers.filter((change) => of(change).question.kind === kind);
  const moved = (change: AnswerChange): boolean =>
    change.before?.value !== change.after?.value || (change.split?.total ?? 0) !== 0;
  // A score told on two scales makes two groups.
  const groupOf = (change: AnswerChange): string => `${of(change).question.outcome} ${of(change).unit}`;
  const outcomes = [...new Set(own.filter(moved).map(groupOf))];
  const causes = causesShown(report);
  return outcomes.map((outcome) => {
    const changes = own.filter((change) => {
      const { studies } = of(change);
      const any = studies > 0 || (change.before?.studies ?? 0) > 0;
      // Of many pairs, those that moved; of the few sites, all.
      return groupOf(change) === outcome && any && (kind !== 'comparison' || moved(change));
    });
    const answers = changes.flatMap(({ before, after }) =>
      [before, after].filter((each) => each !== undefined),
    );
    const values = answers.flatMap(({ value }) => (value === undefined ? [] : [value]));
    const limits = answers.flatMap(({ lower, upper }) => [lower, upper].filter((each) => each !== undefined));
    const largest = Math.max(0, ...values.map(Math.abs));
    // Wide intervals end in arrows rather than squeeze the numbers into a corner.
    const reach = 2.5 * Math.max(largest, 1e-9);
    const held = limits.map((each) => Math.min(Math.max(each, -reach), reach));
    const ends = [...values, ...held, ...(kind === 'mean' ? [] : [0])];
    const sums = changes.flatMap((change) => {
      let sum = 0;
      return (partsOf(change, causes) ?? []).map((part) => (sum += part));
    });
    const first = of(changes[0]!);
    return {
      outcome: first.outcomeName,
      unit: first.unit,
      changes,
      axis: evenAxis(Math.min(...ends), Math.max(...ends), narrow ? 4 : 5, first.unit),
      steps: evenAxis(Math.min(0, ...sums), Math.max(0, ...sums), 3, 'Change'),
      decimals: decimalsFor(largest),
    };
  });
}

/** `9.2 (7.0 – 12.1)`, or why there is no number. */
export function answerText(answer: AnswerTold | undefined, decimals: number): string {
  if (answer === undefined) return 'not asked';
  const { value, lower, upper } = answer;
  if (value === undefined || lower === undefined || upper === undefined)
    return answer.studies === 0 ? 'no study' : 'no answer';
  // Never fewer decimals than the rule of every other product gives the same number.
  const write = (each: number): string =>
    fixed(each, Math.max(decimals, sizeDigits(each).split('.')[1]?.length ?? 0));
  return `${write(value)} (${write(lower)} to ${write(upper)})`;
}

/** A change with its sign; a part that rounds to nothing says so. */
export function signedText(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  if (Number(value.toFixed(decimals)) === 0) return '0';
  return value > 0 ? `+${text}` : text;
}
