import { median as medianOf } from 'd3-array';
import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { isReported, type Reported } from '../../extraction/reported.ts';
import type { PrintedRow, ScoreRow } from '../../extraction/review.ts';
import type { ArithmeticCheck } from './arithmeticCheck.ts';
import { outcomeName } from './auditCounts.ts';
import { type AuditEntry, type AuditedSheets, bestOf, type StudySheets } from './auditFinding.ts';
import { checkDeviationGranularity, checkMeanGranularity, checkMeanOnScale } from './granularity.ts';
import {
  checkErrorForDeviation,
  checkLargestDeviation,
  checkMeanLimit,
  checkStandardError,
  type ScaleRange,
  type UsualDeviation,
} from './spread.ts';

/** Scores of one arm as one place of the paper gives them. */
interface ScoreFacts {
  readonly study: string;
  readonly scale: string;
  readonly n: number | undefined;
  readonly range: ScaleRange | undefined;
  readonly step: number | undefined;
  readonly mean: PrintedStatistic | undefined;
  readonly deviation: PrintedStatistic | undefined;
  readonly row: ScoreRow | undefined;
}

const noNumber = 'The number scored is not known.';
const noRange = 'The range of the scale is not known.';
const missing = (reason: string): ArithmeticCheck => ({ verdict: 'cannot be checked', reason });

/** A number of scores.csv with the decimals it still shows; those lost only make the check laxer. */
function asPrinted(value: Reported<number>): PrintedStatistic | undefined {
  if (!isReported(value)) return undefined;
  const text = String(value);
  return { relation: '=', value, decimals: text.split('.')[1]?.length ?? 0, text };
}

/** What scores.csv and printed.csv say about scales, held against each other and against the scale. */
export function auditScores(sheets: StudySheets): readonly AuditEntry[] {
  const scales = new Set(sheets.protocol.scales.map(({ id }) => id));
  const counted = new Set(
    sheets.protocol.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id),
  );
  const printed = sheets.printed.filter(
    ({ outcome }) => isReported(outcome) && scales.has(outcome) && !counted.has(outcome),
  );
  return [
    ...printed.flatMap((row) => auditPrintedScore(sheets, row)),
    ...sheets.scores.flatMap((row) => auditScoreRow(sheets, row)),
  ];
}

function rangeOf(sheets: AuditedSheets, scale: string, row: ScoreRow | undefined): ScaleRange | undefined {
  const ranges = sheets.protocol.scales.find(({ id }) => id === scale)?.ranges ?? [];
  const [minimum, maximum] = [row?.scaleMinimum, row?.scaleMaximum];
  const stated =
    minimum !== undefined && maximum !== undefined && isReported(minimum) && isReported(maximum)
      ? { minimum, maximum }
      : undefined;
  // Without a stated range the widest in use: a check may be too lax, never too strict.
  const widest = [...ranges].sort((a, b) => b.maximum - b.minimum - (a.maximum - a.minimum))[0];
  const range = stated ?? widest;
  if (range === undefined || row?.valueType !== 'change') return range;
  const width = range.maximum - range.minimum;
  return { minimum: -width, maximum: width };
}

function auditPrintedScore(sheets: StudySheets, row: PrintedRow): readonly AuditEntry[] {
  const scale = String(row.outcome);
  const arm = String(row.arm);
  const months = row.followUpMonths;
  const candidates = sheets.scores.filter(
    (each) =>
      each.study === row.study &&
      each.arm === arm &&
      each.scale === scale &&
      (!isReported(months) || each.followUpMonths === months),
  );
  const beside = (statistic: PrintedRow['statistic']): PrintedRow | undefined =>
    sheets.printed.find(
      (each) =>
        each.study === row.study &&
        each.outcome === row.outcome &&
        each.arm === row.arm &&
        each.statistic === statistic &&
        each.followUpMonths === months,
    );
  const [meanRow, deviationRow] = [beside('mean'), beside('standard deviation')];
  const step = [row, meanRow, deviationRow]
    .map((each) => each?.step)
    .find((each) => each !== undefined && isReported(each));
  const total = [row, meanRow, deviationRow]
    .map((each) => each?.total)
    .find((each) => each !== undefined && isReported(each));
  const factsOf = (candidate: ScoreRow | undefined): ScoreFacts => ({
    study: row.study,
    scale,
    n:
      typeof total === 'number'
        ? total
        : candidate !== undefined && isReported(candidate.shoulders)
          ? candidate.shoulders
          : undefined,
    range: rangeOf(sheets, scale, candidate),
    step: typeof step === 'number' ? step : undefined,
    mean: meanRow?.printed ?? (candidate === undefined ? undefined : asPrinted(candidate.mean)),
    deviation: deviationRow?.printed ?? (candidate === undefined ? undefined : asPrinted(candidate.sd)),
    row: candidate,
  });
  const facts = candidates.length > 0 ? candidates.map(factsOf) : [factsOf(undefined)];
  // Each check must fit for one of the rows the statistic may belong to.
  const perRow = facts.map((each) => checksOf(sheets, row.statistic, row.printed, each));
  const longest = Math.max(...perRow.map((each) => each.length));
  const against = [
    ...candidates.map((each) => each.row),
    ...[meanRow, deviationRow].flatMap((each) => (each === undefined || each === row ? [] : [each.row])),
  ];
  return Array.from({ length: longest }, (_, at): AuditEntry => {
    const check = bestOf(
      perRow.flatMap((each) => each[at] ?? []),
      noNumber,
    );
    const subject = `${row.statistic} of ${outcomeName(sheets, scale)}, ${arm}${isReported(months) ? `, ${months} months` : ''}`;
    return { check, study: row.study, subject, printed: row.printed.text, row: row.row, against };
  });
}

/** The checks a statistic of a scale goes through, always in the same order. */
function checksOf(
  sheets: StudySheets,
  statistic: PrintedRow['statistic'],
  printed: PrintedStatistic,
  facts: ScoreFacts,
): readonly ArithmeticCheck[] {
  const { n, range, step, mean, deviation } = facts;
  const stepped = step === undefined ? undefined : { step, ...range };
  switch (statistic) {
    case 'mean': {
      const onScale = range === undefined ? missing(noRange) : checkMeanOnScale(printed, range);
      if (stepped === undefined || onScale.verdict === 'does not fit') return [onScale];
      return [onScale, n === undefined ? missing(noNumber) : checkMeanGranularity(printed, n, stepped)];
    }
    case 'standard deviation': {
      if (n === undefined) return [missing(noNumber)];
      const largest = range === undefined ? missing(noRange) : checkLargestDeviation(printed, n, range, mean);
      if (largest.verdict === 'does not fit') return [largest];
      const usual = checkErrorForDeviation(statistic, printed, n, usualDeviation(sheets, facts));
      if (usual.verdict === 'does not fit') return [largest, usual];
      if (stepped === undefined || mean === undefined) return [largest, usual];
      return [largest, usual, checkDeviationGranularity(mean, printed, n, stepped)];
    }
    case 'standard error':
      if (n === undefined) return [missing(noNumber)];
      if (deviation !== undefined) return [checkStandardError(printed, deviation, n)];
      return [checkErrorForDeviation(statistic, printed, n, usualDeviation(sheets, facts))];
    case 'mean lower limit':
    case 'mean upper limit': {
      if (n === undefined || mean === undefined || deviation === undefined)
        return [missing('Mean, standard deviation or number scored are not known.')];
      return [
        checkMeanLimit(statistic === 'mean lower limit' ? 'lower' : 'upper', printed, mean, deviation, n),
      ];
    }
    default:
      return [missing(`A ${statistic} of scores is not worked out here.`)];
  }
}

const widthOf = (range: ScaleRange | undefined): number | undefined =>
  range === undefined ? undefined : range.maximum - range.minimum;

/** What other studies have on the scale, in the units of this study. */
function usualDeviation(sheets: StudySheets, facts: ScoreFacts): UsualDeviation {
  const width = widthOf(facts.range);
  const known = sheets.deviations.get(facts.scale);
  if (width === undefined || known === undefined || facts.row?.valueType === 'change')
    return { studies: 0, median: 0 };
  const { sorted, placeOf } = known;
  const own = placeOf.get(facts.study) ?? sorted.length;
  const studies = sorted.length - (own < sorted.length ? 1 : 0);
  // The place among the others, the own one left out.
  const at = (place: number): number => sorted[place < own ? place : place + 1] ?? 0;
  const middle = studies >> 1;
  const median = studies % 2 === 1 ? at(middle) : (at(middle - 1) + at(middle)) / 2;
  return { studies, median: median * width };
}

/**
 * Each study's standard deviation on each scale, as a share of the scale's width; changes left out. Of several rows of one
 * study the middle one counts (of two, their mean), so that the order of the sheet decides nothing.
 */
export function relativeDeviations(sheets: AuditedSheets): StudySheets['deviations'] {
  const found = new Map<string, Map<string, number[]>>();
  for (const row of sheets.scores) {
    const width = widthOf(rangeOf(sheets, row.scale, row));
    const ofScale = found.get(row.scale) ?? new Map<string, number[]>();
    if (width === undefined || row.valueType === 'change') continue;
    const spread = isReported(row.sd)
      ? row.sd
      : isReported(row.se) && isReported(row.shoulders)
        ? row.se * Math.sqrt(row.shoulders)
        : 0;
    if (spread > 0)
      found.set(row.scale, ofScale.set(row.study, [...(ofScale.get(row.study) ?? []), spread / width]));
  }
  return new Map(
    [...found].map(([scale, studies]) => {
      const inOrder = [...studies]
        .map(([study, shares]) => [study, medianOf(shares)!] as const)
        .sort(([, a], [, b]) => a - b);
      return [
        scale,
        {
          sorted: inOrder.map(([, relative]) => relative),
          placeOf: new Map(inOrder.map(([study], place) => [study, place])),
        },
      ];
    }),
  );
}

/** A row of scores.csv against itself. */
function auditScoreRow(sheets: StudySheets, row: ScoreRow): readonly AuditEntry[] {
  const [mean, deviation, error] = [asPrinted(row.mean), asPrinted(row.sd), asPrinted(row.se)];
  const facts: ScoreFacts = {
    study: row.study,
    scale: row.scale,
    n: isReported(row.shoulders) ? row.shoulders : undefined,
    range: rangeOf(sheets, row.scale, row),
    step: undefined,
    mean,
    deviation,
    row,
  };
  const months = isReported(row.followUpMonths) ? `, ${row.followUpMonths} months` : '';
  const lower = row.intervalPercent === 95 ? asPrinted(row.intervalLower) : undefined;
  const upper = row.intervalPercent === 95 ? asPrinted(row.intervalUpper) : undefined;
  const limited = mean !== undefined && deviation !== undefined;
  const parts: readonly (readonly [PrintedRow['statistic'], PrintedStatistic | undefined])[] = [
    ['mean', mean],
    ['standard deviation', deviation],
    ['standard error', error],
    ['mean lower limit', limited ? lower : undefined],
    ['mean upper limit', limited ? upper : undefined],
  ];
  return parts.flatMap(([statistic, printed]) => {
    if (printed === undefined) return [];
    return checksOf(sheets, statistic, printed, facts).map((check): AuditEntry => {
      const subject = `${statistic} of ${outcomeName(sheets, row.scale)}, ${row.arm}${months}`;
      return { check, study: row.study, subject, printed: printed.text, row: row.row, against: [] };
    });
  });
}
