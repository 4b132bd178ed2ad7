import { bodyInWords } from '../certainty/bodyInWords.ts';
import type { ComparativeDesign } from '../certainty/comparisonBodies.ts';
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
import type { Answer, AnswerBody, NotInNumber, OtherBody, OtherMethod, QuotedNumber } from './answer.ts';
import type { ReviewForAnswers } from './answersOf.ts';
import { methodOf } from './methodOf.ts';
import { meanModels } from './modelsBeside.ts';
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
    // Stated in points of the protocol's first scale; on another one none is known.
    material:
      question.scale === selection.outcome.scales[0]
        ? selection.outcome.thresholdsPoints.materialDifference
        : undefined,
    scaleRule:
      question.scale === first
        ? 'The first of the protocol’s scales that any arm was measured on.'
        : 'A further scale; arms on different scales are never averaged together.',
    events: undefined,
    risk: undefined,
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

const modelsOf = (
  { analysis }: Protocol,
  pool: PooledResult,
  quoted: QuotedNumber | undefined,
  material: number | undefined,
): readonly OtherMethod[] => (analysis.modelsBeside === true ? meanModels(pool, quoted, material) : []);

/** Arms in a pool, and those that are not with the reason. */
function split(pool: PooledResult, own: readonly ScoreArm[], scale: string) {
  const used = new Set(pool.estimates.map(({ study }) => study));
  const leftOut = new Map(pool.leftOut.map((each) => [`${each.study} ${each.arm ?? ''}`, each.reason]));
  const inNumber = own.filter(
    (arm) =>
      arm.scale === scale &&
      used.has(arm.study) &&
      !leftOut.has(`${arm.study} ${arm.arm}`) &&
      !leftOut.has(`${arm.study} `),
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
          (arm.scale === scale
            ? 'Gives no estimate for this question.'
            : `Measured on ${arm.scaleName}, another scale than this answer’s.`),
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
  const { inNumber, notInNumber, shoulders } = split(pool, own, question.scale);
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
    otherMethods: modelsOf(review.protocol, pool, quoted, shared.material),
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

/** One kind of studies that hold both sites, and what they give on one scale. */
interface DifferenceBody extends ReturnType<typeof split> {
  readonly body: ComparativeDesign;
  readonly pool: PooledResult;
  /** All their arms at the two sites, on any scale. */
  readonly arms: readonly ScoreArm[];
  readonly trials?: number;
}

/**
 * The difference of two sites' means within studies that hold both. Trials answer where a trial gives an estimate, other
 * studies where none does; the two are mixed only where the protocol asks for it and both give one.
 */
export function meanDifferenceAnswer(
  review: ReviewForAnswers,
  question: MeanDifferenceQuestion,
  selection: ScoreSelection,
): Answer {
  const { scaleName, scaleRule, ...shared } = frame(review, question, selection);
  const { site, comparator, scale } = question;
  const own = selection.arms.filter((arm) => arm.site === site || arm.site === comparator);
  const both = own.filter((arm) =>
    [site, comparator].every((place) => own.some((each) => each.study === arm.study && each.site === place)),
  );
  const among = (body: ComparativeDesign): DifferenceBody => {
    const arms = both.filter(
      ({ design }) =>
        body === 'all comparative studies' ||
        (design === 'randomised trial') === (body === 'randomised trials'),
    );
    // Arms on another scale stand aside where both sites have one on this; elsewhere they are the reason for no estimate.
    const compared = arms.filter(
      (arm) =>
        arm.scale === scale ||
        [site, comparator].some(
          (place) =>
            !arms.some((each) => each.study === arm.study && each.site === place && each.scale === scale),
        ),
    );
    const { estimates, leftOut } = estimateScoreContrasts(compared, { treated: site, comparator, scale });
    const pool = poolEstimates(estimates, {
      ...meanOptions(review.protocol),
      leftOut,
      scale: 'mean-difference',
    });
    const studies = [...new Set(estimates.map(({ study }) => study))];
    return {
      body,
      pool,
      ...split(pool, arms, scale),
      arms,
      ...(body === 'all comparative studies'
        ? {
            trials: studies.filter((study) =>
              arms.some((arm) => arm.study === study && arm.design === 'randomised trial'),
            ).length,
          }
        : {}),
    };
  };
  const apart = [among('randomised trials'), among('non-randomised studies')];
  const told = apart.filter(({ pool }) => pool.mean !== undefined);
  const mixes = review.protocol.analysis.comparisonBody === 'together' && told.length === 2;
  const best = mixes
    ? among('all comparative studies')
    : (told[0] ?? apart.find(({ arms }) => arms.length > 0) ?? apart[0]!);
  const quoted = quotedOf(best.pool);
  const otherBodies = apart
    .filter((each) => each !== best && each.arms.length > 0)
    .map(
      ({ body, pool, shoulders, notInNumber }): OtherBody => ({
        body,
        studies: pool.studies,
        shoulders,
        events: undefined,
        quoted: pool.mean && {
          value: pool.mean.value,
          lower: pool.mean.interval.lower,
          upper: pool.mean.interval.upper,
        },
        notInNumber,
        certainty: notRated(body),
      }),
    );
  const sides = `${siteNames[site].toLowerCase()} less ${siteNames[comparator].toLowerCase()}`;
  return {
    ...shared,
    body: best.body,
    bodyRule: `${mixes ? 'Randomised trials and other studies, pooled together as the protocol asks; each kind alone stands beside.' : 'Randomised trials where any gives a difference, other studies where none does; the two are never mixed.'} ${scaleRule}`,
    otherBodies,
    studies: best.pool.studies,
    ...(best.trials === undefined ? {} : { trials: best.trials }),
    shoulders: best.shoulders,
    notInNumber: best.notInNumber,
    quoted,
    otherMethods: modelsOf(review.protocol, best.pool, quoted, shared.material),
    certainty: notRated(best.body),
    sentence:
      quoted === undefined
        ? `No study gives a difference in ${shared.outcomeName.toLowerCase()} between ${siteNames[site].toLowerCase()} and ${siteNames[comparator].toLowerCase()} on ${scaleName}: we cannot tell.`
        : `${shared.outcomeName}, ${sides}: ${mixes ? `in ${bodyInWords({ design: best.body, studies: best.pool.studies, trials: best.trials })}, ` : ''}${pointsDigits(quoted.value)} points (${pointsDigits(quoted.lower)} to ${pointsDigits(quoted.upper)}) on ${scaleName}, ${selection.outcome.better} is better. Certainty was not rated.`,
    cautions: best.pool.cautions,
    rows: best.inNumber.flatMap(({ rows }) => rows),
    behind: { means: best.pool },
  };
}
