import { classifySite } from '../../extraction/classifySite.ts';
import { didYouMean, listNames } from '../../extraction/nearestName.ts';
import { overlappingReports } from '../../extraction/overlappingReports.ts';
import type { Protocol, ScoreOutcome } from '../../extraction/protocol.ts';
import { isReported, notReported } from '../../extraction/reported.ts';
import type { ArmRow, Review, ScoreRow, StudyRow } from '../../extraction/review.ts';
import type { LeftOut } from '../estimate.ts';
import { deriveChange } from './deriveChange.ts';
import { harmoniseScore } from './harmoniseScore.ts';
import { resolveScoreSelection } from './resolveScoreSelection.ts';
import { scaleFromProtocol } from './scaleFromProtocol.ts';
import type { ScoreArm } from './scoreArm.ts';
import type { ScoreScale } from './scoreScale.ts';
import type { ResolvedScoreSelection, ScoreSelection, ScoreSelectionDepartures } from './scoreSelection.ts';
import { summariseScoreRow } from './summariseScoreRow.ts';

/**
 * Which score stands for each arm, for one outcome?
 *
 * Each row is converted to mean and standard deviation, put on the reference version of its scale, and
 * of an arm's rows the one on the best scale is taken, of those the best kind of value, of those the
 * time point the protocol prefers within its window; of several reports of one cohort, the one the
 * overlap rule names. Every other row of the scales is in `leftOut` with its reason. Arms may be on
 * different scales: each says which, and they are not to be averaged as they stand.
 *
 * @param outcomeId An outcome of the protocol that is a score; an unknown one throws, naming them.
 * @param departures Choices that differ from the protocol; each is said in `departures` of the result.
 * @example
 * selectScores(review, 'pain', { conversions: { rangeOnly: 'convert' } }).arms
 */
export function selectScores(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'scores'>,
  outcomeId: string,
  departures: ScoreSelectionDepartures = {},
): ScoreSelection {
  const outcome = findOutcome(review.protocol, outcomeId);
  const { options, sentences } = resolveScoreSelection(review.protocol, outcome, departures);
  const scales = new Map(
    review.protocol.scales
      .filter((scale) => options.scales.includes(scale.id))
      .map((scale) => [scale.id, scaleFromProtocol(scale)]),
  );
  const studies = new Map(review.studies.map((study) => [study.study, study]));
  const arms = new Map(review.arms.map((arm) => [`${arm.study} ${arm.arm}`, arm]));
  const leftOut: LeftOut[] = [];
  const leave = (row: ScoreRow['row'], study: string, arm: string, reason: string): void => {
    leftOut.push({ study, label: studies.get(study)?.label ?? study, arm, reason, rows: [row] });
  };
  const byArm = new Map<ArmRow, ScoreArm[]>();
  for (const row of review.scores) {
    const scale = scales.get(row.scale);
    if (scale === undefined) continue;
    const study = studies.get(row.study);
    const arm = arms.get(`${row.study} ${row.arm}`);
    if (study === undefined || arm === undefined) {
      leave(row.row, row.study, row.arm, 'The study or arm is not in the review.');
      continue;
    }
    const read = readScore(row, study, arm, scale, options);
    if (typeof read === 'string') leave(row.row, row.study, row.arm, read);
    else byArm.set(arm, [...(byArm.get(arm) ?? []), read]);
  }
  const chosen: ScoreArm[] = [];
  // In the order of arms.csv, so that the result does not depend on the order of scores.csv.
  for (const arm of review.arms) {
    const all = withDerivedChanges(byArm.get(arm) ?? [], options);
    const accepted: ScoreArm[] = [];
    for (const score of all) {
      const reason = whyNotAccepted(score, options);
      if (reason === undefined) accepted.push(score);
      else leave(score.row, score.study, score.arm, reason);
    }
    const [best, ...others] = accepted.sort((a, b) => compareScores(a, b, outcome, options));
    if (best === undefined) continue;
    chosen.push(best);
    for (const other of others)
      leave(other.row, other.study, other.arm, whyNotPreferred(other, best, outcome));
  }
  const overlapping = overlappingReports(
    chosen.map((score) => ({ study: studies.get(score.study)!, total: score.total })),
    options.overlapRule,
  );
  const kept = chosen.filter((score) => {
    const reason = overlapping.get(score.study);
    if (reason !== undefined) leave(score.row, score.study, score.arm, reason);
    return reason === undefined;
  });
  return { outcome, arms: kept, leftOut: withoutUsedRows(leftOut, kept), departures: sentences, options };
}

function findOutcome(protocol: Protocol, outcomeId: string): ScoreOutcome {
  const known = protocol.outcomes.filter((outcome) => outcome.kind === 'score');
  const found = known.find((outcome) => outcome.id === outcomeId);
  if (found !== undefined) return found;
  const names = known.map((outcome) => outcome.id);
  throw new RangeError(
    `unknown outcome "${outcomeId}". ${didYouMean(outcomeId, names)}Outcomes that are scores: ${listNames(names)}`,
  );
}

/** A row's score on the reference version of its scale, or the reason there is none. */
function readScore(
  row: ScoreRow,
  study: StudyRow,
  arm: ArmRow,
  scale: ScoreScale,
  options: ResolvedScoreSelection,
): ScoreArm | string {
  if (!options.designs.includes(study.design)) return `Design "${study.design}" is not included.`;
  const followUpMonths =
    row.valueType === 'baseline'
      ? 0
      : ([row.followUpMonths, arm.followUpMeanMonths, study.followUpMeanMonths].find(isReported) ??
        notReported);
  const window = options.windowMonths;
  if (row.valueType !== 'baseline' && window !== undefined) {
    if (!isReported(followUpMonths)) {
      return 'The time of follow-up is not reported, so the time window cannot be checked.';
    }
    if (followUpMonths < window.minimum || followUpMonths > window.maximum) {
      return `Follow-up of ${followUpMonths} months lies outside the window of ${window.minimum} to ${window.maximum}.`;
    }
  }
  const summary = summariseScoreRow(row, options.conversions);
  if (typeof summary === 'string') return summary;
  const { mean, standardDeviation, total, conversions } = summary;
  const harmonised = harmoniseScore(
    {
      scale: row.scale,
      mean,
      standardDeviation,
      kind: row.valueType,
      converted: conversions.some((conversion) => 'skewness' in conversion),
      ...(isReported(row.scaleMinimum) ? { minimum: row.scaleMinimum } : {}),
      ...(isReported(row.scaleMaximum) ? { maximum: row.scaleMaximum } : {}),
    },
    scale,
  );
  if (harmonised.status === 'refused') return harmonised.reason;
  return {
    study: study.study,
    label: study.label,
    year: study.year,
    arm: arm.arm,
    site: classifySite(arm, options.siteRule).site,
    design: study.design,
    followUpMonths,
    scale: scale.id,
    scaleName: scale.name,
    range: harmonised.range,
    unit: harmonised.unit,
    better: harmonised.better,
    zeroIsNone: scale.zeroIsNone,
    kind: harmonised.kind,
    mean: harmonised.mean,
    standardDeviation: harmonised.standardDeviation,
    total,
    conversions,
    line: harmonised.line,
    cautions: [...conversions.flatMap((conversion) => conversion.cautions), ...harmonised.cautions],
    row: row.row,
    rows: [row.row],
  };
}

function withDerivedChanges(
  scores: readonly ScoreArm[],
  options: ResolvedScoreSelection,
): readonly ScoreArm[] {
  const { correlation } = options.conversions;
  if (correlation === undefined || !options.valueTypes.includes('change')) return scores;
  const changes = scores.flatMap((final) => {
    const printed = scores.some((each) => each.kind === 'change' && each.scale === final.scale);
    const baseline = scores.find((each) => each.kind === 'baseline' && each.scale === final.scale);
    if (final.kind !== 'final' || printed || baseline === undefined) return [];
    return deriveChange(baseline, final, correlation) ?? [];
  });
  return [...scores, ...changes];
}

function whyNotAccepted(score: ScoreArm, options: ResolvedScoreSelection): string | undefined {
  if (!options.valueTypes.includes(score.kind))
    return `A ${score.kind} score is not what the outcome asks for.`;
  if (score.standardDeviation === 0) return 'The standard deviation is 0, so the score cannot be weighed.';
  return undefined;
}

function timeRank(score: ScoreArm, outcome: ScoreOutcome): number {
  if (!isReported(score.followUpMonths)) return Number.MAX_VALUE;
  return outcome.prefer === 'closest-to-target' && outcome.targetMonths !== undefined
    ? Math.abs(score.followUpMonths - outcome.targetMonths)
    : -score.followUpMonths;
}

/** Best first; of equals the one with more shoulders, then the earlier line. */
function compareScores(
  a: ScoreArm,
  b: ScoreArm,
  outcome: ScoreOutcome,
  { scales, valueTypes }: ResolvedScoreSelection,
): number {
  return (
    scales.indexOf(a.scale) - scales.indexOf(b.scale) ||
    valueTypes.indexOf(a.kind) - valueTypes.indexOf(b.kind) ||
    timeRank(a, outcome) - timeRank(b, outcome) ||
    b.total - a.total ||
    a.row.line - b.row.line
  );
}

function whyNotPreferred(other: ScoreArm, best: ScoreArm, outcome: ScoreOutcome): string {
  const line = `line ${best.row.line}`;
  if (other.scale !== best.scale) return `${best.scaleName} (${line}) is preferred to ${other.scaleName}.`;
  if (other.kind !== best.kind)
    return `The ${best.kind} score (${line}) is preferred to the ${other.kind} score.`;
  if (timeRank(other, outcome) !== timeRank(best, outcome)) {
    const preference =
      outcome.prefer === 'longest'
        ? 'the longest follow-up'
        : `the time closest to ${outcome.targetMonths} months`;
    return `Another time point (${line}) is preferred: ${preference}.`;
  }
  return `Another row of the arm (${line}) is used.`;
}

/** Rows that went into a kept score after all (a baseline in a change) are not left out; one reason a row is enough. */
function withoutUsedRows(leftOut: readonly LeftOut[], kept: readonly ScoreArm[]): readonly LeftOut[] {
  const used = new Set(kept.flatMap((score) => score.rows.map((row) => row.line)));
  const seen = new Set<number>();
  return [...leftOut]
    .sort((a, b) => a.rows[0]!.line - b.rows[0]!.line)
    .filter(({ rows }) => {
      const { line } = rows[0]!;
      if (used.has(line) || seen.has(line)) return false;
      seen.add(line);
      return true;
    });
}
