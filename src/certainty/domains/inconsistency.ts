import type { BodyOfEvidence, StudyPart } from '../bodyOfEvidence.ts';
import type { CertaintyRules } from '../certaintyRules.ts';
import { differenceAt } from '../comparisonBodies.ts';
import { type CertaintyEvidence, type DomainProposal, levelsDown } from '../domainProposal.ts';
import { hundredText, thresholdsOf } from '../perHundred.ts';

/**
 * Do the studies tell the same story, as far as it matters?
 *
 * Two measures in 100 shoulders: how much further the prediction interval reaches than the confidence interval, and how
 * far the studies' own true values spread (their middle 95 in 100, without sampling error, so that few studies are not
 * mistaken for differing ones). The smaller of the two counts: beyond the smallest difference that matters one level,
 * beyond the moderate one two, the second only where study intervals actually lie apart.
 *
 * The spread is often estimated as nought from two to four studies, whatever they show. So up to four studies, and any
 * number whose spread was not estimated, are looked at two by two as well: a pair disagrees where neither point lies in the other's interval, the points differ by more than the
 * smallest difference that matters, and they stand on two sides of a line that matters (a rate has no such line). One level
 * from the stated share of disagreeing pairs. Never by I² alone: a share says nothing of size. One study cannot be
 * inconsistent, and cannot be shown to be consistent.
 *
 * @see Guyatt GH and others, GRADE guidelines 7, J Clin Epidemiol 2011;64:1294 (points, overlap of intervals, and where they
 *   lie). IntHout J and others, BMJ Open 2016;6:e010247 (prediction intervals). The measures against thresholds are ours.
 */
export function inconsistency(
  { body }: Pick<CertaintyEvidence, 'body'>,
  rules: CertaintyRules,
): DomainProposal {
  const { estimate, prediction, trueSpread, betweenStudyDeviation } = body;
  const thresholds = thresholdsOf(body.outcome);
  const pooled = body.parts.filter(({ interval }) => interval !== undefined);
  const studies = new Set(pooled.map(({ study }) => study)).size;
  if (studies < 2 || estimate === undefined)
    return {
      proposed: 0,
      evidence: [
        `${studies === 0 ? 'No study' : 'One study'} with an estimate: whether studies agree cannot be asked.`,
      ],
    };
  const { apart, disagreeing, pairs } = comparePairs(pooled, body, thresholds.material);
  const pairWords = (count: number): string =>
    `${count} of ${pairs} ${pairs === 1 ? 'pair' : 'pairs'} of studies`;
  const apartWords = `The intervals of ${pairWords(apart)} do not overlap.`;
  const evidence = [
    apartWords,
    ...(betweenStudyDeviation === undefined
      ? []
      : [`Between-study standard deviation ${betweenStudyDeviation.toPrecision(2)} on the analysis scale.`]),
  ];
  const enough = (count: number): boolean => count > 0 && count >= rules.apartShare * pairs;
  const spreadUntold = studies <= fewStudies || trueSpread === undefined;
  const conflict =
    spreadUntold && enough(disagreeing)
      ? `${pairWords(disagreeing)} ${disagreeing === 1 ? 'disagrees' : 'disagree'}: neither point lies in the interval of the other, and they differ by more than the ${hundredText(thresholds.material)} in 100 that ${pooled.every(isRate) ? 'matters' : 'matters, on two sides of a line that matters'}.`
      : undefined;
  if (conflict !== undefined) evidence.push(conflict);
  const byPairs = (): DomainProposal =>
    conflict === undefined ? { proposed: 0, evidence } : { proposed: -1, evidence, decisive: [conflict] };
  if (trueSpread === undefined)
    return apart > 0 && studies === 2 && conflict === undefined
      ? { proposed: -1, evidence, decisive: [apartWords] }
      : byPairs();
  const beyond = (limits: { readonly lower: number; readonly upper: number }): number =>
    Math.max(0, estimate.lower - limits.lower, limits.upper - estimate.upper);
  const spread = Math.max(trueSpread.upper - estimate.value, estimate.value - trueSpread.lower);
  const spreadWords =
    betweenStudyDeviation === 0 && spread < 0.01
      ? 'No spread of the studies beyond chance was found, which does not rule it out.'
      : `The studies' true values spread over ${hundredText(trueSpread.lower)} to ${hundredText(trueSpread.upper)} in 100 (middle 95 in 100), up to ${hundredText(spread)} from the mean; a difference of ${hundredText(thresholds.material)} matters.`;
  const measures = [spreadWords];
  let size = spread;
  if (prediction === undefined)
    evidence.push(spreadWords, 'No prediction interval with this model or so few studies.');
  else {
    const extra = beyond(prediction);
    const predictionWords = `A new study may show ${hundredText(prediction.lower)} to ${hundredText(prediction.upper)} in 100, ${hundredText(extra)} further than the interval of the mean.`;
    evidence.push(spreadWords, predictionWords);
    measures.push(predictionWords);
    size = Math.min(spread, extra);
  }
  const steps = size > thresholds.moderate ? 2 : size > thresholds.material ? 1 : 0;
  const levels = enough(apart) ? steps : Math.min(steps, 1);
  if (levels === 0) return byPairs();
  return {
    proposed: levelsDown(levels, 2),
    evidence,
    decisive: levels === 2 ? [...measures, apartWords] : measures,
  };
}

/** Up to so many studies an estimated spread tells little. */
const fewStudies = 4;

/** A study that takes part by one arm gives a rate, and a rate has no line that matters. */
const isRate = ({ arm }: StudyPart): boolean => arm !== undefined;

/** The middle of a study's interval on the analysis scale: its point. */
const middle = ({ interval }: StudyPart): number => (interval!.lower + interval!.upper) / 2;

/**
 * A study's own number of 100: its count for a rate, its effect at the baseline for a comparison; undefined where neither
 * can be said.
 */
function inHundred(part: StudyPart, { arms, relative, absolute }: BodyOfEvidence): number | undefined {
  if (isRate(part)) {
    const arm = arms.find((each) => each.study === part.study && each.arm === part.arm);
    return arm && (100 * arm.events) / arm.total;
  }
  const baseline = absolute[0]?.baselineRisk;
  return relative === undefined || baseline === undefined
    ? undefined
    : 100 * differenceAt(relative.measure, middle(part), baseline);
}

function comparePairs(
  parts: readonly StudyPart[],
  body: BodyOfEvidence,
  material: number,
): { readonly apart: number; readonly disagreeing: number; readonly pairs: number } {
  const points = parts.map((part) => ({
    middle: middle(part),
    hundred: inHundred(part, body),
    interval: part.interval!,
    site: part.site,
    rate: isRate(part),
  }));
  type Point = (typeof points)[number];
  const within = ({ middle: value }: Point, { interval }: Point): boolean =>
    interval.lower <= value && value <= interval.upper;
  const differ = (one: Point, other: Point): boolean => {
    // Without a baseline the difference cannot be said in 100: then only opposite directions count.
    if (one.hundred === undefined || other.hundred === undefined)
      return !one.rate && one.middle * other.middle < 0;
    if (Math.abs(one.hundred - other.hundred) <= material) return false;
    const [low, high] = [Math.min(one.hundred, other.hundred), Math.max(one.hundred, other.hundred)];
    return one.rate || [-material, material].some((line) => low < line && line < high);
  };
  let [apart, disagreeing, pairs] = [0, 0, 0];
  for (const [at, one] of points.entries()) {
    for (const other of points.slice(at + 1)) {
      if (one.site !== other.site) continue;
      pairs += 1;
      if (one.interval.lower > other.interval.upper || other.interval.lower > one.interval.upper) apart += 1;
      if (!within(one, other) && !within(other, one) && differ(one, other)) disagreeing += 1;
    }
  }
  return { apart, disagreeing, pairs };
}
