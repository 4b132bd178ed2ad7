import { auditCounts } from './auditCounts.ts';
import {
  type AuditEntry,
  type AuditedSheets,
  type AuditFinding,
  auditQuestions,
  type NotAudited,
  type StudySheets,
} from './auditFinding.ts';
import { auditPeople } from './auditPeople.ts';
import { auditScores, relativeDeviations } from './auditScores.ts';

/** What the arithmetic of the papers gives. */
export interface Audit {
  readonly kind: 'audit';
  /** In the order of studies.csv, contradictions of a study first. */
  readonly findings: readonly AuditFinding[];
  /** Checks that had an answer, findings among them. */
  readonly checks: number;
  /** Printed numbers that nothing could be held against. */
  readonly notAudited: readonly NotAudited[];
}

/**
 * Which numbers that papers print do their other numbers not give?
 *
 * Percentages no whole count gives, p values no usual test gives, ratios and their limits against the counts,
 * denominators of another arm, means off the scale or that no whole answers have, standard deviations too large or that look
 * like standard errors, and numbers of patients that do not add up. Reads `printed.csv` and the sheets it stands beside.
 * A finding is a question to the authors and not an accusation: most have a harmless answer.
 *
 * Values that agree with one of several rows they may belong to are no finding.
 *
 * @example
 * auditReview(review).findings.map(({ label, subject, counts }) => `${label}: ${subject}. ${counts}`)
 */
export function auditReview(sheets: AuditedSheets): Audit {
  const entries = studySheets(sheets).flatMap((each) => [
    ...auditCounts(each),
    ...auditScores(each),
    ...auditPeople(each),
  ]);
  const labels = new Map(sheets.studies.map(({ study, label }) => [study, label]));
  const order = new Map(sheets.studies.map(({ study }, at) => [study, at]));
  // A number that one check could judge is audited, though another had nothing to go by.
  const told = new Set(entries.flatMap(({ check, row }) => (answered(check) ? [row] : [])));
  const findings: AuditFinding[] = [];
  const notAudited: NotAudited[] = [];
  for (const { check, study, subject, printed, row, against } of entries) {
    const about = { study, label: labels.get(study) ?? study, subject, printed, row };
    if (check.verdict === 'does not fit') {
      const { kind, strength, counts, wouldFit } = check;
      findings.push({ ...about, kind, strength, counts, wouldFit, question: auditQuestions[kind], against });
    } else if (check.verdict === 'cannot be checked' && row.file === 'printed.csv' && !told.has(row)) {
      notAudited.push({ ...about, reason: check.reason });
    }
  }
  const place = (each: { readonly study: string }): number => order.get(each.study) ?? order.size;
  findings.sort(
    (a, b) =>
      place(a) - place(b) ||
      Number(a.strength === 'question') - Number(b.strength === 'question') ||
      a.row.line - b.row.line,
  );
  notAudited.sort((a, b) => place(a) - place(b) || a.row.line - b.row.line);
  const checks = entries.filter(({ check }) => answered(check)).length;
  return { kind: 'audit', findings, checks, notAudited };
}

const answered = (check: AuditEntry['check']): boolean => check.verdict !== 'cannot be checked';

/** The sheets study by study, so that no row is looked for among those of other studies. */
function studySheets(sheets: AuditedSheets): readonly StudySheets[] {
  const deviations = relativeDeviations(sheets);
  const group = <Row extends { readonly study: string }>(
    rows: readonly Row[],
  ): ReadonlyMap<string, readonly Row[]> => {
    const groups = new Map<string, Row[]>();
    for (const row of rows) {
      const own = groups.get(row.study);
      if (own === undefined) groups.set(row.study, [row]);
      else own.push(row);
    }
    return groups;
  };
  const [arms, events, scores, printed] = [
    group(sheets.arms),
    group(sheets.events),
    group(sheets.scores),
    group(sheets.printed),
  ];
  const names = new Set([...arms.keys(), ...events.keys(), ...scores.keys(), ...printed.keys()]);
  return [...names].map((study) => ({
    protocol: sheets.protocol,
    studies: sheets.studies,
    arms: arms.get(study) ?? [],
    events: events.get(study) ?? [],
    scores: scores.get(study) ?? [],
    printed: printed.get(study) ?? [],
    deviations,
  }));
}
