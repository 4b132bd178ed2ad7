import { countsPeople } from '../../extraction/checks/checkPrinted.ts';
import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { isReported, type Reported } from '../../extraction/reported.ts';
import type { ArmRow, PrintedRow } from '../../extraction/review.ts';
import { type ArithmeticCheck, printsAs } from './arithmeticCheck.ts';
import type { AuditEntry, AuditedSheets } from './auditFinding.ts';

/**
 * Does a printed number of people agree with the arms it is made of?
 *
 * @param parts numbers of the arms; undefined where an arm does not give it
 * @example
 * checkTotal(printed, [40, 42], 'patients enrolled') // 82
 */
export function checkTotal(
  printed: PrintedStatistic,
  parts: readonly (number | undefined)[],
  what: string,
): ArithmeticCheck {
  if (parts.length === 0 || parts.some((part) => part === undefined))
    return { verdict: 'cannot be checked', reason: `Not every arm gives its ${what}.` };
  const known = parts as readonly number[];
  const sum = known.reduce((total, part) => total + part, 0);
  if (printsAs(printed, sum)) return { verdict: 'fits', by: 'the sum of the arms' };
  const shown = known.length === 1 ? `${sum}` : `${known.join(' + ')} = ${sum}`;
  const without = known.length < 3 ? [] : known.filter((part) => printsAs(printed, sum - part));
  return {
    verdict: 'does not fit',
    kind: 'people',
    strength: 'question',
    counts: `The ${known.length === 1 ? 'arm gives' : 'arms give'} ${shown}.`,
    wouldFit: without.length > 0 ? ['It fits when one arm is left out.'] : [],
  };
}

type PeopleColumn = 'patientsEnrolled' | 'shouldersEnrolled' | 'patientsAnalysed' | 'shouldersAnalysed';
const columns: Readonly<Partial<Record<PrintedRow['statistic'], PeopleColumn>>> = {
  'patients enrolled': 'patientsEnrolled',
  'shoulders enrolled': 'shouldersEnrolled',
  'patients analysed': 'patientsAnalysed',
  'shoulders analysed': 'shouldersAnalysed',
};

/** Numbers of patients and shoulders as printed, against the arms, and the arms against themselves. */
export function auditPeople(sheets: AuditedSheets): readonly AuditEntry[] {
  const printed = sheets.printed.filter(({ statistic }) => countsPeople(statistic));
  return [...printed.map((row) => auditPrinted(sheets, row)), ...sheets.arms.flatMap(auditArm)];
}

function auditPrinted(sheets: AuditedSheets, row: PrintedRow): AuditEntry {
  const arms = sheets.arms.filter(
    (each) => each.study === row.study && (!isReported(row.arm) || each.arm === row.arm),
  );
  const known = (value: Reported<number>): number | undefined => (isReported(value) ? value : undefined);
  const column = columns[row.statistic];
  const parts = arms.map((arm) => {
    if (column !== undefined) return known(arm[column]);
    const [entered, seen] = [known(arm.patientsEnrolled), known(arm.patientsAnalysed)];
    return entered === undefined || seen === undefined ? undefined : entered - seen;
  });
  return {
    check: checkTotal(
      row.printed,
      parts,
      column === undefined ? 'patients enrolled and analysed' : row.statistic,
    ),
    study: row.study,
    subject: `${row.statistic}${isReported(row.arm) ? `, ${row.arm}` : ', whole study'}`,
    printed: row.printed.text,
    row: row.row,
    against: arms.map((arm) => arm.row),
  };
}

/** Patients cannot be more than their shoulders, nor those seen more than those who entered. */
function auditArm(arm: ArmRow): readonly AuditEntry[] {
  const pairs = [
    ['patients enrolled', arm.patientsEnrolled, 'shoulders enrolled', arm.shouldersEnrolled],
    ['patients analysed', arm.patientsAnalysed, 'shoulders analysed', arm.shouldersAnalysed],
    ['patients analysed', arm.patientsAnalysed, 'patients enrolled', arm.patientsEnrolled],
    ['shoulders analysed', arm.shouldersAnalysed, 'shoulders enrolled', arm.shouldersEnrolled],
  ] as const;
  return pairs.flatMap(([name, smaller, bound, larger]): AuditEntry[] => {
    if (!isReported(smaller) || !isReported(larger)) return [];
    const check: ArithmeticCheck =
      smaller <= larger
        ? { verdict: 'fits', by: bound }
        : {
            verdict: 'does not fit',
            kind: 'people',
            strength: 'contradiction',
            counts: `There cannot be more than the ${larger} ${bound}.`,
            wouldFit: ['The two may be exchanged.'],
          };
    return [
      {
        check,
        study: arm.study,
        subject: `${name}, ${arm.arm}`,
        printed: String(smaller),
        row: arm.row,
        against: [],
      },
    ];
  });
}
