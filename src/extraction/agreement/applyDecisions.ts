import { isMissingText } from '../missingText.ts';
import { type Problem, sortProblems } from '../problem.ts';
import { isReported, notReported, type Reported } from '../reported.ts';
import { sheets } from '../sheets/sheets.ts';
import { type CellValue, compareCells, foldText, schemaOf } from './compareCells.ts';
import type { Comparison } from './compareExtractions.ts';
import type { PlacedDecision, TakenFrom } from './decisionsSheet.ts';
import { type Disagreement, wholeRow } from './disagreement.ts';
import type { DecisionsReading } from './readDecisions.ts';

/** A disagreement with what was decided about it. */
export interface DecidedDisagreement {
  readonly disagreement: Disagreement;
  readonly takenFrom: TakenFrom;
  /** As it will stand in the sheet; `present` or `absent` for a whole row. */
  readonly decidedText: string;
  readonly decidedBy: string;
  readonly date: string;
  readonly reason: string;
}

/** Every disagreement decided, or what stands in the way. */
export interface Consensus {
  readonly kind: 'consensus';
  readonly comparison: Comparison;
  readonly decided: readonly DecidedDisagreement[];
}

export interface ConsensusReading {
  /** Undefined while anything is undecided, stale or unclear. */
  readonly consensus: Consensus | undefined;
  readonly problems: readonly Problem[];
}

const idOf = (file: string, row: string, column: string): string =>
  JSON.stringify([foldText(file), foldText(row), foldText(column)]);

/**
 * Is every disagreement settled, by a decision that still fits what the two typed?
 *
 * Refused, each with its place: a disagreement without a decision, a decision that matches no disagreement, two for one,
 * one made about values that have changed since, and a decided value that the column cannot hold.
 *
 * @example
 * const { consensus, problems } = applyDecisions(comparison, readDecisions(text));
 */
export function applyDecisions(comparison: Comparison, reading: DecisionsReading): ConsensusReading {
  const problems: Problem[] = [...reading.problems];
  const open = new Map(
    comparison.disagreements.map((each) => [idOf(each.file, each.rowKey, each.column), each]),
  );
  const taken = new Map<Disagreement, PlacedDecision>();
  const decided: DecidedDisagreement[] = [];
  for (const decision of reading.decisions) {
    const { file, column } = decision.values;
    const disagreement = open.get(idOf(file, decision.text('row'), column));
    if (disagreement === undefined) {
      const cure =
        'The two extractors agree on it now, or have no such row: delete the decision, or correct file, row and column as the work list has them.';
      problems.push(decision.problem('error', 'row', 'a disagreement of the work list', cure));
      continue;
    }
    const earlier = taken.get(disagreement);
    if (earlier !== undefined) {
      const cure = `Line ${earlier.values.row.line} decides the same cell: delete one of the two.`;
      problems.push(decision.problem('error', 'row', 'one decision for each disagreement', cure));
      continue;
    }
    taken.set(disagreement, decision);
    const outcome = settle(disagreement, decision, problems);
    if (outcome !== undefined) decided.push(outcome);
  }
  for (const disagreement of comparison.disagreements) {
    if (taken.has(disagreement)) continue;
    const { file, rowKey, column, first, second } = disagreement;
    problems.push({
      severity: 'error',
      file,
      line: first.row?.line ?? second.row?.line ?? 1,
      column: 1,
      heading: column,
      value: `${first.text} / ${second.text}`,
      expected: `a decision about "${rowKey}"`,
      cure: 'Copy its line of the work list to decisions.csv and fill in the last columns.',
    });
  }
  const sorted = sortProblems(problems);
  if (sorted.some(({ severity }) => severity === 'error')) return { consensus: undefined, problems: sorted };
  const order = (each: DecidedDisagreement): number => comparison.disagreements.indexOf(each.disagreement);
  decided.sort((a, b) => order(a) - order(b));
  return { consensus: { kind: 'consensus', comparison, decided }, problems: sorted };
}

function settle(
  disagreement: Disagreement,
  decision: PlacedDecision,
  problems: Problem[],
): DecidedDisagreement | undefined {
  const { values } = decision;
  const { sheet, column, first, second } = disagreement;
  let sound = true;
  const refuse = (heading: string, expected: string, cure: string): void => {
    sound = false;
    problems.push(decision.problem('error', heading, expected, cure));
  };
  for (const [heading, side] of [
    ['first_value', first],
    ['second_value', second],
  ] as const) {
    if (sameText(disagreement, decision.text(heading), side.text)) continue;
    const now = side.text === '' ? 'a blank' : `"${side.text}"`;
    const cure = `The sheet has ${now} now; look again and decide about that.`;
    refuse(heading, 'the value that was decided upon', cure);
  }
  const takenFrom = values.takenFrom as TakenFrom;
  const typed = decision.text('decided_value');
  let decidedText = takenFrom === 'first' ? first.text : second.text;
  if (takenFrom === 'neither') {
    decidedText = typed;
    if (column === wholeRow) {
      const cure = 'A row is there or not; to have another row, add it to both folders.';
      refuse('taken_from', '`first` or `second`', cure);
    } else if (typed === '') {
      refuse('decided_value', 'the value that stands', 'Type it, or NR when the paper does not say.');
    } else {
      const { shape } = sheets[sheet].columns;
      const parsed = column in shape ? schemaOf(sheet, column).safeParse(typed) : undefined;
      if (parsed?.success === false) {
        const expected = parsed.error.issues[0]?.message ?? 'a value the column can hold';
        refuse('decided_value', expected, `It must be a cell that ${sheets[sheet].file} takes.`);
      }
    }
  } else if (typed !== '' && !sameText(disagreement, typed, decidedText)) {
    const cure = `taken_from says "${takenFrom}", which is "${decidedText}": correct one of the two.`;
    refuse('decided_value', `"${decidedText}"`, cure);
  }
  if (!sound) return undefined;
  const words = (value: Reported<string>): string => (isReported(value) ? value : '');
  return {
    disagreement,
    takenFrom,
    decidedText,
    decidedBy: words(values.decidedBy),
    date: words(values.date),
    reason: words(values.reason),
  };
}

/** Do two texts stand for one value of the column? Blank and NR are one; so are 6.60 and 6.6. */
function sameText({ sheet, column }: Disagreement, one: string, other: string): boolean {
  if (foldText(one) === foldText(other)) return true;
  if (column === wholeRow) return false;
  const readValue = (text: string): CellValue | undefined => {
    if (isMissingText(text)) return notReported;
    const parsed = schemaOf(sheet, column).safeParse(text);
    return parsed.success ? (parsed.data as CellValue) : undefined;
  };
  const [a, b] = [readValue(one), readValue(other)];
  return a !== undefined && b !== undefined && compareCells(sheet, column, a, b) === undefined;
}
