import type { ArmEvents } from './armEvents.ts';
import { armKey } from './armKey.ts';
import { classifySite } from './classifySite.ts';
import { countOfRow } from './countOfRow.ts';
import { namesOfDefinition, rankOfDefinition } from './definitions.ts';
import type {
  EventSelection,
  EventsLeftOut,
  ResolvedSelection,
  SelectionDepartures,
} from './eventSelection.ts';
import { didYouMean, listNames } from './nearestName.ts';
import { overlappingReports } from './overlappingReports.ts';
import type { EventsOutcome, Protocol } from './protocol.ts';
import { isReported, notReported, type Reported } from './reported.ts';
import { resolveSelection } from './resolveSelection.ts';
import type { ArmRow, EventRow, Review, StudyRow } from './review.ts';

interface Candidate {
  readonly row: EventRow;
  readonly study: StudyRow;
  readonly arm: ArmRow;
  readonly followUpMonths: Reported<number>;
  readonly definitionRank: number;
  readonly assessorRank: number;
  readonly count: { readonly events: number; readonly total: number; readonly notes: readonly string[] };
}

/**
 * Which count stands for each arm, for one outcome?
 *
 * Of the rows of an arm the one with the best definition is taken, of those the best assessor, of
 * those the time point the protocol prefers within its window; of several reports of one cohort, the
 * one the overlap rule names. Every other row is in `leftOut` with its reason, also rows whose events
 * or denominator the paper does not report: they are never read as zero.
 *
 * @param outcomeId An outcome of the protocol counted as events; an unknown one throws, naming them.
 * @param departures Choices that differ from the protocol; each is said in `departures` of the result.
 * @example
 * selectEvents(review, 'groove-pain', { siteRule: { midGroove: 'split-by-half' } }).arms
 */
export function selectEvents(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events'>,
  outcomeId: string,
  departures: SelectionDepartures = {},
): EventSelection {
  const outcome = findOutcome(review.protocol, outcomeId);
  const { options, sentences } = resolveSelection(review.protocol, outcome, departures);
  const studies = new Map(review.studies.map((study) => [study.study, study]));
  const arms = new Map(review.arms.map((arm) => [armKey(arm), arm]));
  const leftOut: EventsLeftOut[] = [];
  const leave = (row: EventRow, reason: string): void => {
    const label = studies.get(row.study)?.label ?? row.study;
    leftOut.push({ study: row.study, label, arm: row.arm, outcome: outcome.id, reason, row: row.row });
  };
  const byArm = new Map<ArmRow, Candidate[]>();
  for (const row of review.events) {
    if (row.outcome !== outcome.id) continue;
    const study = studies.get(row.study);
    const arm = arms.get(armKey(row));
    if (study === undefined || arm === undefined) {
      leave(row, 'The study or arm is not in the review.');
      continue;
    }
    const candidate = readCandidate(row, study, arm, options);
    if (typeof candidate === 'string') leave(row, candidate);
    else byArm.set(arm, [...(byArm.get(arm) ?? []), candidate]);
  }
  const chosen: Candidate[] = [];
  // In the order of arms.csv, so that the result does not depend on the order of events.csv.
  for (const arm of review.arms) {
    const [best, ...others] = [...(byArm.get(arm) ?? [])].sort((a, b) => compareCandidates(a, b, outcome));
    if (best === undefined) continue;
    chosen.push(best);
    for (const other of others) leave(other.row, whyNot(other, best, outcome));
  }
  const overlapping = overlappingReports(
    chosen.map(({ study, count }) => ({ study, total: count.total })),
    options.overlapRule,
  );
  const kept = chosen.filter((candidate) => {
    const reason = overlapping.get(candidate.study.study);
    if (reason !== undefined) leave(candidate.row, reason);
    return reason === undefined;
  });
  leftOut.sort((a, b) => a.row.line - b.row.line);
  const selected = kept.map((candidate) => armEvents(candidate, options));
  return { outcome, arms: selected, leftOut, departures: sentences, options };
}

function findOutcome(protocol: Protocol, outcomeId: string): EventsOutcome {
  const known = protocol.outcomes.filter((outcome) => outcome.kind === 'events');
  const found = known.find((outcome) => outcome.id === outcomeId);
  if (found !== undefined) return found;
  const names = known.map((outcome) => outcome.id);
  throw new RangeError(
    `unknown outcome "${outcomeId}". ${didYouMean(outcomeId, names)}Outcomes counted as events: ${listNames(names)}`,
  );
}

const rankOf = (value: string, accepted: readonly string[]): number =>
  accepted.findIndex((each) => each.toLowerCase() === value.toLowerCase());

/** A row that may be used, or the reason it may not. */
function readCandidate(
  row: EventRow,
  study: StudyRow,
  arm: ArmRow,
  options: ResolvedSelection,
): Candidate | string {
  if (!options.designs.includes(study.design)) return `Design "${study.design}" is not included.`;
  const definitionRank = rankOfDefinition(row.definition, options.definitions);
  if (definitionRank < 0) return `Definition "${row.definition}" is not accepted.`;
  const assessorRank = rankOf(row.assessor, options.assessors);
  if (assessorRank < 0) return `Assessor "${row.assessor}" is not accepted.`;
  const followUpMonths =
    [row.followUpMonths, arm.followUpMeanMonths, study.followUpMeanMonths].find(isReported) ?? notReported;
  const window = options.windowMonths;
  if (window !== undefined) {
    if (!isReported(followUpMonths))
      return 'The time of follow-up is not reported, so the time window cannot be checked.';
    if (followUpMonths < window.minimum || followUpMonths > window.maximum) {
      return `Follow-up of ${followUpMonths} months lies outside the window of ${window.minimum} to ${window.maximum}.`;
    }
  }
  const count = countOfRow(row);
  if (typeof count === 'string') return count;
  return { row, study, arm, followUpMonths, definitionRank, assessorRank, count };
}

function timeRank(candidate: Candidate, outcome: EventsOutcome): number {
  if (!isReported(candidate.followUpMonths)) return Number.MAX_VALUE;
  return outcome.prefer === 'closest-to-target' && outcome.targetMonths !== undefined
    ? Math.abs(candidate.followUpMonths - outcome.targetMonths)
    : -candidate.followUpMonths;
}

/** Best first; of equals the larger denominator, then the earlier line. */
function compareCandidates(a: Candidate, b: Candidate, outcome: EventsOutcome): number {
  return (
    a.definitionRank - b.definitionRank ||
    a.assessorRank - b.assessorRank ||
    timeRank(a, outcome) - timeRank(b, outcome) ||
    b.count.total - a.count.total ||
    a.row.row.line - b.row.row.line
  );
}

function whyNot(other: Candidate, best: Candidate, outcome: EventsOutcome): string {
  const line = `line ${best.row.row.line}`;
  if (other.definitionRank !== best.definitionRank) {
    return `Definition "${best.row.definition}" (${line}) is preferred to "${other.row.definition}".`;
  }
  if (other.assessorRank !== best.assessorRank) {
    return `Assessor "${best.row.assessor}" (${line}) is preferred to "${other.row.assessor}".`;
  }
  if (timeRank(other, outcome) !== timeRank(best, outcome)) {
    const preference =
      outcome.prefer === 'longest'
        ? 'the longest follow-up'
        : `the time closest to ${outcome.targetMonths} months`;
    return `Another time point (${line}) is preferred: ${preference}.`;
  }
  return `Another row of the arm (${line}) is used.`;
}

function armEvents(candidate: Candidate, options: ResolvedSelection): ArmEvents {
  const { row, study, arm, count, followUpMonths } = candidate;
  const notes = [...count.notes];
  if (!isReported(row.followUpMonths) && isReported(followUpMonths)) {
    notes.push('Follow-up is the mean of the arm or study, since the row gives none.');
  }
  return {
    study: study.study,
    label: study.label,
    year: study.year,
    arm: arm.arm,
    site: classifySite(arm, options.siteRule).site,
    events: count.events,
    total: count.total,
    followUpMonths,
    // As the protocol spells them, so that groups by definition or assessor do not split on case.
    definition: namesOfDefinition(options.definitions[candidate.definitionRank] ?? row.definition)[0]!,
    assessor: options.assessors[candidate.assessorRank] ?? row.assessor,
    design: study.design,
    row: row.row,
    ...(notes.length > 0 ? { notes } : {}),
  };
}
