import { checkArms } from './checks/checkArms.ts';
import { checkCertainty } from './checks/checkCertainty.ts';
import { checkChecklist } from './checks/checkChecklist.ts';
import { checkDuplicates } from './checks/checkDuplicates.ts';
import { checkEvents } from './checks/checkEvents.ts';
import { checkFlow } from './checks/checkFlow.ts';
import { checkJudgements } from './checks/checkJudgements.ts';
import { checkPrinted } from './checks/checkPrinted.ts';
import { checkRecommendations } from './checks/checkRecommendations.ts';
import { checkReferences } from './checks/checkReferences.ts';
import { checkScores } from './checks/checkScores.ts';
import { checkStudies } from './checks/checkStudies.ts';
import type { PlacedSheets } from './checks/placedSheets.ts';
import { nearestName } from './nearestName.ts';
import { type Problem, sortProblems } from './problem.ts';
import { readProtocol } from './readProtocol.ts';
import { readSheet, type SheetReading } from './readSheet.ts';
import type { Review, ReviewReading, RowOf } from './review.ts';
import { knownAnswer, knownItem } from './sheets/judgementsSheet.ts';
import { type SheetName, sheetNames, sheets } from './sheets/sheets.ts';

/** Files that make up a review, in the order a person fills them in. */
export const reviewFiles: readonly string[] = [
  'protocol.json',
  ...sheetNames.map((name) => sheets[name].file),
];

/**
 * What does the review say, and what is wrong with its files?
 *
 * Takes the contents of the files by name, as text or as bytes (UTF-8). Every problem is reported
 * at once; the review is undefined when any of them is an error. Never throws on file content, and
 * a cell that is blank stays `not reported`, never zero.
 *
 * @example
 * const { review, problems } = readReview({ 'protocol.json': protocol, 'studies.csv': studies });
 */
export function readReview(files: Readonly<Record<string, string | Uint8Array>>): ReviewReading {
  const problems: Problem[] = [...fileProblems(Object.keys(files))];
  const protocolText = Object.hasOwn(files, 'protocol.json') ? files['protocol.json'] : undefined;
  const protocolReading =
    protocolText === undefined ? { protocol: undefined, problems: [] } : readProtocol(protocolText);
  problems.push(...protocolReading.problems);
  const read = <Name extends SheetName>(name: Name): SheetReading<RowOf<Name>> => {
    const content = Object.hasOwn(files, sheets[name].file) ? files[sheets[name].file] : undefined;
    if (content === undefined) return { rows: [], unread: undefined, problems: [] };
    const reading = readSheet(name, content);
    problems.push(...reading.problems);
    return reading;
  };
  const studies = read('studies');
  const arms = read('arms');
  const events = read('events');
  const scores = read('scores');
  const judgements = read('judgements');
  const flow = read('flow');
  const missing = read('missing');
  const certainty = read('certainty');
  const printed = read('printed');
  const checklist = read('checklist');
  const recommendations = read('recommendations');
  const awaiting = read('awaiting');
  const placed: PlacedSheets = {
    protocol: protocolReading.protocol,
    studies: studies.rows,
    arms: arms.rows,
    events: events.rows,
    scores: scores.rows,
    judgements: judgements.rows,
    flow: flow.rows,
    missing: missing.rows,
    certainty: certainty.rows,
    printed: printed.rows,
    checklist: checklist.rows,
    recommendations: recommendations.rows,
    awaiting: awaiting.rows,
    unread: {
      studies: studies.unread,
      arms: arms.unread,
      events: events.unread,
      scores: scores.unread,
      judgements: judgements.unread,
      flow: flow.unread,
      missing: missing.unread,
      certainty: certainty.unread,
      printed: printed.unread,
      checklist: checklist.unread,
      recommendations: recommendations.unread,
      awaiting: awaiting.unread,
    },
  };
  problems.push(
    ...checkDuplicates(placed),
    ...checkReferences(placed),
    ...checkStudies(placed),
    ...checkArms(placed),
    ...checkEvents(placed),
    ...checkScores(placed),
    ...checkJudgements(placed),
    ...checkFlow(placed),
    ...checkChecklist(placed),
    ...checkCertainty(placed),
    ...checkPrinted(placed),
    ...checkRecommendations(placed),
  );
  const sorted = sortProblems(problems);
  const { protocol } = placed;
  if (protocol === undefined || sorted.some((problem) => problem.severity === 'error')) {
    return { review: undefined, problems: sorted };
  }
  const review: Review = {
    protocol,
    studies: placed.studies.map((row) => row.values),
    arms: placed.arms.map((row) => row.values),
    events: placed.events.map((row) => row.values),
    scores: placed.scores.map((row) => row.values),
    judgements: placed.judgements.map(({ values }) => ({
      ...values,
      item: knownItem(values.tool, values.item) ?? values.item,
      judgement: knownAnswer(values.tool, values.item, values.judgement) ?? values.judgement,
    })),
    flow: placed.flow.map((row) => row.values),
    missing: placed.missing.map((row) => row.values),
    certainty: placed.certainty.map((row) => row.values),
    printed: placed.printed.map((row) => row.values),
    checklist: placed.checklist.map((row) => row.values),
    recommendations: placed.recommendations.map((row) => row.values),
    awaiting: placed.awaiting.map((row) => row.values),
    warnings: sorted,
  };
  return { review, problems: sorted };
}

/** Files that are absent, and files whose names were probably mistyped. */
function fileProblems(present: readonly string[]): readonly Problem[] {
  const problems: Problem[] = [];
  const add = (severity: Problem['severity'], file: string, expected: string, cure: string): void => {
    problems.push({ severity, file, line: 1, column: 1, value: '', expected, cure });
  };
  const absent = reviewFiles.filter((file) => !present.includes(file));
  for (const file of absent) {
    const required =
      file === 'protocol.json' ||
      sheetNames.some((name) => sheets[name].file === file && sheets[name].required);
    const fine = sheetNames.some((name) => sheets[name].file === file && 'mayBeAbsent' in sheets[name]);
    const stray = present.find(
      (name) => !reviewFiles.includes(name) && nearestName(name, [file]) !== undefined,
    );
    if (fine && stray === undefined) continue;
    const hint = stray === undefined ? '' : `Is it "${stray}"? Rename it. `;
    add(
      required ? 'error' : 'warning',
      file,
      'the file in the folder',
      `${hint}Copy it from data-extraction/template${file.endsWith('.csv') ? ', or save the sheet as "CSV UTF-8" under this name' : ''}.`,
    );
  }
  return problems;
}
