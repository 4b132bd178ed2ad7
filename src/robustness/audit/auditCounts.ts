import { isReported } from '../../extraction/reported.ts';
import type { PrintedRow } from '../../extraction/review.ts';
import type { ArithmeticCheck } from './arithmeticCheck.ts';
import { countsFor, eventRowsFor, pairsFor, totalsOfArm } from './auditedCounts.ts';
import { type AuditEntry, type AuditedSheets, bestOf } from './auditFinding.ts';
import { checkCount } from './checkCount.ts';
import { checkPercentage } from './checkPercentage.ts';
import { checkPValue } from './checkPValue.ts';
import { type AuditedMeasure, auditedMeasures, checkRatio } from './checkRatio.ts';
import { checkRatioLimit } from './checkRatioLimit.ts';

const noCount = 'The sheets hold no count of this outcome to work it out from.';

/** What printed.csv and events.csv say about outcomes counted as events, held against the counts. */
export function auditCounts(sheets: AuditedSheets): readonly AuditEntry[] {
  const counted = new Set(
    sheets.protocol.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id),
  );
  const printed = sheets.printed
    .filter(({ outcome }) => isReported(outcome) && counted.has(outcome))
    .map((row) => auditPrinted(sheets, row));
  return [...printed, ...typedPercentages(sheets)];
}

/** The outcome as the protocol names it, within a sentence. */
export function outcomeName(sheets: AuditedSheets, id: string): string {
  const named =
    sheets.protocol.outcomes.find((each) => each.id === id) ??
    sheets.protocol.scales.find((each) => each.id === id);
  return named?.name ?? id;
}

const otherArms = (sheets: AuditedSheets, row: { readonly study: string }, arm: string): readonly string[] =>
  sheets.arms.filter((each) => each.study === row.study && each.arm !== arm).map((each) => each.arm);

function auditPrinted(sheets: AuditedSheets, row: PrintedRow): AuditEntry {
  const outcome = outcomeName(sheets, String(row.outcome));
  const { statistic, printed } = row;
  const arm = isReported(row.arm) ? row.arm : undefined;
  const entry = (check: ArithmeticCheck, where: string, against: AuditEntry['against'] = []): AuditEntry => ({
    check,
    study: row.study,
    subject: `${statistic} of ${outcome}${where}`,
    printed: printed.text,
    row: row.row,
    against,
  });
  if (statistic === 'percentage' || statistic === 'count') {
    if (arm === undefined) return entry({ verdict: 'cannot be checked', reason: 'No arm is named.' }, '');
    const against = eventRowsFor(sheets, row, arm).map((each) => each.row);
    const check = statistic === 'count' ? auditCount(sheets, row, arm) : auditPercentage(sheets, row, arm);
    return entry(check, `, ${arm}`, against);
  }
  const pair = armsCompared(sheets, row);
  if (typeof pair === 'string') return entry({ verdict: 'cannot be checked', reason: pair }, ', all arms');
  const pairs = pairsFor(sheets, row, ...pair);
  const checks = pairs.map(({ one, other }): ArithmeticCheck => {
    if (statistic === 'p value') return checkPValue(printed, one.count, other.count);
    const measure = auditedMeasures.find((each) => statistic.startsWith(each));
    if (measure === undefined)
      return { verdict: 'cannot be checked', reason: `A ${statistic} belongs to a scale.` };
    if (statistic === measure) return checkRatio(measure, printed, one.count, other.count);
    return checkRatioLimit(
      measure as Exclude<AuditedMeasure, 'risk difference'>,
      statistic.includes('lower') ? 'lower' : 'upper',
      printed,
      one.count,
      other.count,
    );
  });
  const used = pairs.flatMap(({ one, other }) => [one.row, other.row]).filter((each) => each !== row.row);
  return entry(bestOf(checks, noCount), `, ${pair[0]} against ${pair[1]}`, used);
}

/** The two arms a statistic compares, or why they cannot be told. */
function armsCompared(sheets: AuditedSheets, row: PrintedRow): readonly [string, string] | string {
  const { arm, comparatorArm } = row;
  if (isReported(arm) && isReported(comparatorArm)) return [arm, comparatorArm];
  const arms = sheets.arms.filter(({ study }) => study === row.study).map((each) => each.arm);
  const [one, two, more] = arms;
  if (one === undefined || two === undefined)
    return 'The study has one arm only, so there is nothing to compare.';
  if (more !== undefined) return 'A p value across more than two arms is not worked out here.';
  return isReported(arm) && arm === two ? [two, one] : [one, two];
}

function auditPercentage(sheets: AuditedSheets, row: PrintedRow, arm: string): ArithmeticCheck {
  const otherTotals = otherArms(sheets, row, arm).flatMap((name) =>
    totalsOfArm(sheets, row, name).map((total) => ({ name, total })),
  );
  const { events, total, printed } = row;
  if (isReported(total))
    return checkPercentage(printed, { total, otherTotals, ...(isReported(events) ? { events } : {}) });
  const typed = isReported(events) ? { events } : undefined;
  const counts = countsFor(sheets, row, arm);
  const withCount = counts.map(({ count }) => checkPercentage(printed, { ...count, ...typed, otherTotals }));
  if (withCount.length > 0) return bestOf(withCount, noCount);
  const totals = eventRowsFor(sheets, row, arm)
    .map((each) => each.eligibleShoulders)
    .filter(isReported);
  return bestOf(
    totals.map((each) => checkPercentage(printed, { total: each, otherTotals, ...typed })),
    noCount,
  );
}

function auditCount(sheets: AuditedSheets, row: PrintedRow, arm: string): ArithmeticCheck {
  const rows = eventRowsFor(sheets, row, arm);
  return checkCount(
    row.printed,
    { name: arm, totals: totalsOfArm(sheets, row, arm) },
    otherArms(sheets, row, arm).map((name) => ({ name, totals: totalsOfArm(sheets, row, name) })),
    rows.flatMap((each) => [each.events, each.eventPatients]).filter(isReported),
  );
}

/** Percentages typed into events.csv beside their counts. */
function typedPercentages(sheets: AuditedSheets): readonly AuditEntry[] {
  return sheets.events.flatMap((row): AuditEntry[] => {
    const { percent, eligibleShoulders: total, events } = row;
    if (!isReported(percent) || !isReported(total)) return [];
    const text = percent.value.toFixed(percent.decimals);
    const check = checkPercentage(
      { relation: '=', ...percent, text },
      {
        total,
        ...(isReported(events) ? { events } : {}),
        otherTotals: sheets.events
          .filter((each) => each.study === row.study && each.outcome === row.outcome && each.arm !== row.arm)
          .flatMap((each) =>
            isReported(each.eligibleShoulders) ? [{ name: each.arm, total: each.eligibleShoulders }] : [],
          ),
      },
    );
    const subject = `percentage of ${outcomeName(sheets, row.outcome)}, ${row.arm}`;
    return [{ check, study: row.study, subject, printed: `${text} %`, row: row.row, against: [] }];
  });
}
