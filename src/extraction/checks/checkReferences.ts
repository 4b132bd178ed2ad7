import { armKey } from '../armKey.ts';
import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import { isReported } from '../reported.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Studies, arms, outcomes and scales that rows refer to and nobody has heard of. */
export function checkReferences(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  const studies = placed.studies.map((row) => row.values.study);
  const { unread } = placed;
  const knownStudies = new Set([...studies, ...(unread.studies ?? []).map((row) => row.study)]);
  const knownArms = new Set([...placed.arms.map((row) => row.values), ...(unread.arms ?? [])].map(armKey));
  const { protocol } = placed;
  const outcomes = protocol?.outcomes ?? [];
  const eventOutcomes = outcomes.filter((outcome) => outcome.kind === 'events').map((outcome) => outcome.id);
  const scales = protocol?.scales.map((scale) => scale.id) ?? [];

  const strangeStudy = (study: string): boolean => unread.studies !== undefined && !knownStudies.has(study);
  for (const row of [...placed.arms, ...placed.events, ...placed.scores, ...placed.judgements]) {
    const { study } = row.values;
    if (!strangeStudy(study)) continue;
    const cure = `${didYouMean(study, studies)}Correct the name, or add the study to studies.csv.`;
    problems.push(row.problem('error', 'study', 'a study of studies.csv', cure));
  }
  for (const row of [...placed.events, ...placed.scores]) {
    const { study, arm } = row.values;
    if (unread.arms === undefined || strangeStudy(study) || knownArms.has(armKey(row.values))) continue;
    const arms = placed.arms.filter((each) => each.values.study === study).map((each) => each.values.arm);
    const cure = `${didYouMean(arm, arms)}Arms of this study: ${listNames(arms)}. Correct the name, or add the arm to arms.csv.`;
    problems.push(row.problem('error', 'arm', 'an arm of this study in arms.csv', cure));
  }
  if (protocol === undefined) return problems;
  for (const row of placed.events) {
    const { outcome } = row.values;
    if (eventOutcomes.includes(outcome)) continue;
    const cure = `${didYouMean(outcome, eventOutcomes)}Outcomes counted as events: ${listNames(eventOutcomes)}; others are added to protocol.json.`;
    problems.push(row.problem('error', 'outcome', 'an outcome of protocol.json counted as events', cure));
  }
  for (const row of placed.scores) {
    const { scale } = row.values;
    if (scales.includes(scale)) continue;
    const cure = `${didYouMean(scale, scales)}Known scales: ${listNames(scales)}; others are added to protocol.json.`;
    problems.push(row.problem('error', 'scale', 'a scale of protocol.json', cure));
  }
  const outcomeIds = outcomes.map((outcome) => outcome.id);
  for (const row of placed.judgements) {
    const { outcome } = row.values;
    if (!isReported(outcome) || outcomeIds.includes(outcome)) continue;
    const cure = `${didYouMean(outcome, outcomeIds)}Known outcomes: ${listNames(outcomeIds)}; leave it blank for all.`;
    problems.push(row.problem('error', 'outcome', 'an outcome of protocol.json', cure));
  }
  return problems;
}
