import { estimateMeans } from '../effects/scores/estimateMeans.ts';
import { estimateScoreContrasts } from '../effects/scores/estimateScoreContrasts.ts';
import type { ScoreArm } from '../effects/scores/scoreArm.ts';
import type { ScoreSelection } from '../effects/scores/scoreSelection.ts';
import type { Protocol } from '../extraction/protocol.ts';
import { siteNames } from '../extraction/site.ts';
import { poolEstimates } from '../pooling/poolEstimates.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import type { PoolOptions } from '../pooling/poolOptions.ts';
import { pointsDigits } from '../wording/numbers.ts';
import type { Answer, AnswerBody, NotInNumber, OtherBody, QuotedNumber } from './answer.ts';
import type { ReviewForAnswers } from './answersOf.ts';
import { methodOf } from './countAnswers.ts';
import { answerId, type MeanDifferenceQuestion, type MeanQuestion, questionName } from './question.ts';

/** Scales that arms were measured on, in the protocol's order: the first is the one a reader is told. */
export const scalesInOrder = ({ arms, options }: ScoreSelection): readonly string[] =>
  options.scales.filter((scale) => arms.some((arm) => arm.scale === scale));

/** The protocol's pooling, for means. */
export function meanOptions({ analysis }: Protocol): Omit<PoolOptions, 'scale' | 'leftOut'> {
  const { model, betweenStudyVariance, interval, prediction, level } = analysis;
  return { model, betweenStudyVariance, interval, prediction, level };
}

const notRated = (body: AnswerBody): Answer['certainty'] => ({
  level: undefined,
  proposed: undefined,
  confirmed: false,
  body,
});

function frame(
  review: ReviewForAnswers,
  question: MeanQuestion | MeanDifferenceQuestion,
  selection: ScoreSelection,
) {
  const known = review.protocol.scales.find(({ id }) => id === question.scale);
  const range = selection.arms.find(({ scale }) => scale === question.scale)?.range;
  const points = range === undefined ? '' : `, ${range.minimum} to ${range.maximum}`;
  const [first] = scalesInOrder(selection);
  return {
    kind: 'answer' as const,
    id: answerId(question),
    asPlanned: true,
    question,
    outcomeName: selection.outcome.name,
    name: questionName(question),
    unit: `points (${known?.name ?? question.scale}${points})`,
    scaleName: known?.name ?? question.scale,
    // Thresholds are stated on the protocol's first scale; on another one none is known.
    material: selection.outcome.thresholdsPoints.materialDifference,
    scaleRule:
      question.scale === first
        ? 'The first of the protocol’s scales that any arm was measured on.'
        : 'A further scale; arms on different scales are never averaged together.',
    events: undefined,
    risk: undefined,
    otherMethods: [],
    verdict: 'not rated' as const,
  };
}

function quotedOf(pool: PooledResult): QuotedNumber | undefined {
  const { mean, prediction } = pool;
  if (mean === undefined) return undefined;
  return {
    value: mean.value,
    lower: mean.interval.lower,
    upper: mean.interval.upper,
    level: mean.interval.level,
    prediction,
    unit: 'points',
    estimand: 'mean of studies',
    method: methodOf(pool),
    why: 'The method of the protocol.',
    coverage: undefined,
    relative: undefined,
  };
}

/** Arms in a pool, and those that are not with the reason. */
function split(pool: PooledResult, own: readonly ScoreArm[]) {
  const used = new Set(pool.estimates.map(({ study }) => study));
  const leftOut = new Map(pool.leftOut.map((each) => [`${each.study} ${each.arm ?? ''}`, each.reason]));
  const inNumber = own.filter(
    (arm) => used.has(arm.study) && !leftOut.has(`${arm.study} ${arm.arm}`) && !leftOut.has(`${arm.study} `),
  );
  const notInNumber = own
    .filter((arm) => !inNumber.includes(arm))
    .map(
      (arm): NotInNumber => ({
        study: arm.study,
        label: arm.label,
        arm: arm.arm,
        shoulders: arm.total,
        reason:
          leftOut.get(`${arm.study} ${arm.arm}`) ??
          leftOut.get(`${arm.study} `) ??
          'Gives no estimate for this question.',
      }),
    );
  return { inNumber, notInNumber, shoulders: inNumber.reduce((sum, { total }) => sum + total, 0) };
}

/** The mean score at one site, on one scale; arms on other scales are listed with the reason. */
export function meanAnswer(
  review: ReviewForAnswers,
  question: MeanQuestion,
  selection: ScoreSelection,
): Answer {
  const { scaleName, scaleRule, ...shared } = frame(review, question, selection);
  const own = selection.arms.filter(({ site }) => site === question.site);
  const { estimates, leftOut } = estimateMeans(own, { scale: question.scale });
  const pool = poolEstimates(estimates, { ...meanOptions(review.protocol), leftOut, scale: 'plain' });
  const { inNumber, notInNumber, shoulders } = split(pool, own);
  const quoted = quotedOf(pool);
  return {
    ...shared,
    body: 'arms at one site',
    bodyRule: `Every arm at this site measured on this scale. ${scaleRule}`,
    otherBodies: [],
    studies: pool.studies,
    shoulders,
    notInNumber,
    quoted,
    certainty: notRated('arms at one site'),
    sentence:
      quoted === undefined
        ? `No study gives a mean ${shared.outcomeName.toLowerCase()} after ${siteNames[question.site].toLowerCase()} on ${scaleName}: we cannot tell.`
        : `Mean ${shared.outcomeName.toLowerCase()} at ${siteNames[question.site].toLowerCase()}: ${pointsDigits(quoted.value)} points (${pointsDigits(quoted.lower)} to ${pointsDigits(quoted.upper)}) on ${scaleName}. Certainty was not rated.`,
    cautions: pool.cautions,
    rows: inNumber.flatMap(({ rows }) => rows),
    behind: { means: pool },
  };
}

/**
 * The difference of two sites' means within studies that hold both. Trials answer where a trial gives an estimate, other
 * studies where none does; the two are never mixed.
 */
export function meanDifferenceAnswer(
  review: ReviewForAnswers,
  question: MeanDifferenceQuestion,
  selection: ScoreSelection,
): Answer {
  const { scaleName, scaleRule, ...shared } = frame(review, question, selection);
  const { site, comparator, scale } = question;
  const among = (body: 'randomised trials' | 'non-randomised studies') => {
    const own = selection.arms.filter(
      (arm) =>
        (arm.site === site || arm.site === comparator) &&
        (arm.design === 'randomised trial') === (body === 'randomised trials'),
    );
    const both = own.filter((arm) =>
      [site, comparator].every((place) =>
        own.some((each) => each.study === arm.study && each.site === place),
      ),
    );
    const onScale = both.filter((arm) => arm.scale === scale);
    const { estimates, leftOut } = estimateScoreContrasts(onScale, { treated: site, comparator, scale });
    const pool = poolEstimates(estimates, {
      ...meanOptions(review.protocol),
      leftOut,
      scale: 'mean-difference',
    });
    return { body, pool, ...split(pool, both), rowsOf: onScale };
  };
  const [trials, others] = [among('randomised trials'), among('non-randomised studies')] as const;
  const [best, second] =
    trials.pool.mean === undefined && others.pool.mean !== undefined ? [others, trials] : [trials, others];
  const quoted = quotedOf(best.pool);
  const otherBodies = [second]
    .filter(({ pool }) => pool.mean !== undefined)
    .map(
      ({ body, pool, shoulders }): OtherBody => ({
        body,
        studies: pool.studies,
        shoulders,
        events: undefined,
        quoted: {
          value: pool.mean!.value,
          lower: pool.mean!.interval.lower,
          upper: pool.mean!.interval.upper,
        },
        certainty: notRated(body),
      }),
    );
  const sides = `${siteNames[site].toLowerCase()} less ${siteNames[comparator].toLowerCase()}`;
  return {
    ...shared,
    body: best.body,
    bodyRule: `Randomised trials where any gives a difference, other studies where none does; the two are never mixed. ${scaleRule}`,
    otherBodies,
    studies: best.pool.studies,
    shoulders: best.shoulders,
    notInNumber: best.notInNumber,
    quoted,
    certainty: notRated(best.body),
    sentence:
      quoted === undefined
        ? `No study gives a difference in ${shared.outcomeName.toLowerCase()} between ${siteNames[site].toLowerCase()} and ${siteNames[comparator].toLowerCase()} on ${scaleName}: we cannot tell.`
        : `${shared.outcomeName}, ${sides}: ${pointsDigits(quoted.value)} points (${pointsDigits(quoted.lower)} to ${pointsDigits(quoted.upper)}) on ${scaleName}, ${selection.outcome.better} is better. Certainty was not rated.`,
    cautions: best.pool.cautions,
    rows: best.inNumber.flatMap(({ rows }) => rows),
    behind: { means: best.pool },
  };
}
