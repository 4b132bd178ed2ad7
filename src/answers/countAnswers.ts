import { certaintyOfReview } from '../certainty/certaintyOfReview.ts';
import type { ComparisonQuestion, RateQuestion } from '../certainty/certaintyQuestion.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { addUp } from '../certainty/rateCertainty.ts';
import type { SitePair } from '../comparison/pairs/comparePairs.ts';
import { meanIntervalMethods } from '../pooling/meanIntervalMethods.ts';
import { correctionText, levelText, scaleNames } from '../pooling/methodsSentence.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import { varianceEstimatorMethods } from '../pooling/varianceEstimatorMethods.ts';
import type {
  Answer,
  AnswerBody,
  AnswerCertainty,
  BaselineSaid,
  Limits,
  NotInNumber,
  OtherBody,
  OtherMethod,
  QuotedNumber,
} from './answer.ts';
import type { OutcomeCounts, ReviewForAnswers } from './answersOf.ts';
import { answerId, questionName } from './question.ts';
import { verdictOnDifference, verdictOnRate } from './verdict.ts';

const per100 = 'per 100 shoulders';

const asPlanned = ({ pools }: OutcomeCounts): boolean =>
  pools.sites.some(({ answer }) => answer !== undefined);

/** How sure, and what the data alone would propose. */
export function certaintyOf(rating: CertaintyRating): AnswerCertainty {
  const { level, confirmed, body, start, domains, ceiling } = rating;
  const proposed =
    level === undefined
      ? undefined
      : addUp(
          start,
          domains.map(({ domain, proposed: levels }) => ({ domain, levels })),
          ceiling,
        ).level;
  return { level, proposed, confirmed, body: body.design };
}

/** How often one outcome happens at one site. */
export function rateAnswer(review: ReviewForAnswers, question: RateQuestion, counts: OutcomeCounts): Answer {
  const { outcome } = counts;
  const { pool } = counts.pools.sites.find(({ site }) => site === question.site)!;
  const id = answerId(question);
  const rating: CertaintyRating = {
    ...certaintyOfReview(review, question, { counts }),
    ...(asPlanned(counts) && { answer: id }),
  };
  const { body } = rating;
  return {
    kind: 'answer',
    id,
    asPlanned: asPlanned(counts),
    question,
    outcomeName: outcome.name,
    name: questionName(question),
    unit: per100,
    material: outcome.thresholdsPer100.materialDifference,
    body: body.design,
    bodyRule: 'Every arm at this site that reports the outcome in a way the protocol accepts.',
    otherBodies: [],
    studies: pool.studies,
    shoulders: pool.shoulders,
    events: pool.events,
    notInNumber: body.notInNumber.map((each) => ({ ...each })),
    quoted: quotedRateOf(pool),
    otherMethods: otherRates(pool),
    risk: undefined,
    certainty: certaintyOf(rating),
    verdict: verdictOnRate(body.estimate, rating.level),
    sentence: rating.sentence,
    cautions: [...rating.cautions, ...pool.cautions],
    rows: rating.rows,
    behind: { rating, pool },
  };
}

function quotedRateOf({ headline, twoStep, quoted }: PooledRate): QuotedNumber | undefined {
  if (headline === undefined) return undefined;
  const exact = headline.basis === 'exact';
  const byRule = quoted !== undefined && quoted.because !== 'fixed';
  return {
    value: 100 * headline.rate,
    lower: 100 * headline.interval.lower,
    upper: 100 * headline.interval.upper,
    level: headline.interval.level,
    prediction: headline.prediction && {
      lower: 100 * headline.prediction.lower,
      upper: 100 * headline.prediction.upper,
    },
    unit: per100,
    ...(byRule
      ? { estimand: quoted.estimand, method: quoted.methodName, why: quoted.why }
      : {
          estimand: exact ? 'one series' : 'centre on the scale',
          method: exact ? 'exact interval (Clopper-Pearson), all shoulders as one series' : methodOf(twoStep),
          why: quoted?.why ?? 'The pool as it was asked for.',
        }),
    coverage: quoted?.coverage,
    relative: undefined,
  };
}

/** Model, scale, interval and what was added to cells, in a few words. */
export function methodOf({ options, scale, mean, estimates }: PooledResult): string {
  const corrected = estimates.filter(({ addedToEachCell }) => addedToEachCell > 0);
  const model =
    options.model === 'common-effect'
      ? 'common effect'
      : `random effects (${varianceEstimatorMethods[options.betweenStudyVariance].name})`;
  const interval = meanIntervalMethods[mean?.intervalMethod ?? options.interval].name;
  return `${scaleNames[scale]}, ${model}, ${interval} ${levelText(options.level)} interval${correctionText(corrected[0]?.addedToEachCell ?? 0, corrected.length, estimates.length)}`;
}

function otherRates({ quoted, oneStep, cautions }: PooledRate): readonly OtherMethod[] {
  if (quoted !== undefined)
    return quoted.others.flatMap(({ methodName, estimand, rate, interval, coverage, toldDifferently }) =>
      rate === undefined || interval === undefined
        ? []
        : [
            {
              method: methodName,
              estimand,
              value: 100 * rate,
              lower: 100 * interval.lower,
              upper: 100 * interval.upper,
              coverage,
              toldDifferently,
            },
          ],
    );
  const { rate, interval } = oneStep;
  if (rate === undefined || interval === undefined) return [];
  return [
    {
      method: 'binomial-normal model in one step',
      estimand: 'median study',
      value: 100 * rate,
      lower: 100 * interval.lower,
      upper: 100 * interval.upper,
      coverage: undefined,
      toldDifferently: cautions.some(({ code }) => code === 'one-step-differs'),
    },
  ];
}

const bodyRules: Readonly<Record<AnswerBody, string>> = {
  'arms at one site': 'Every arm at this site that reports the outcome in a way the protocol accepts.',
  'randomised trials':
    'Randomised trials that hold both sites. Trials and other studies are rated apart and never mixed; the body of more certainty answers, and trials at a tie.',
  'non-randomised studies':
    'Studies other than randomised trials that hold both sites. Trials and other studies are rated apart and never mixed; the body of more certainty answers, and trials at a tie.',
  'series against series':
    'No study holds both sites, so series of one are set against series of the other, which is not a comparison of the randomised kind.',
  network: 'Direct and indirect evidence of all studies that hold two sites or more.',
};

/** One site against another, within studies that hold both where there are any. */
export function comparisonAnswer(
  review: ReviewForAnswers,
  question: ComparisonQuestion,
  counts: OutcomeCounts,
): Answer {
  const { outcome } = counts;
  const material = outcome.thresholdsPer100.materialDifference;
  const id = answerId(question);
  const rating: CertaintyRating = {
    ...certaintyOfReview(review, question, { counts }),
    ...(asPlanned(counts) && { answer: id }),
  };
  const { body } = rating;
  const [effect] = body.absolute;
  const series =
    body.design === 'series against series'
      ? []
      : [certaintyOfReview(review, question, { counts, body: 'series against series', decisions: [] })];
  return {
    kind: 'answer',
    id,
    asPlanned: asPlanned(counts),
    question,
    outcomeName: outcome.name,
    name: questionName(question),
    unit: per100,
    material,
    body: body.design,
    bodyRule: bodyRules[body.design],
    otherBodies: [...rating.others, ...series].map(otherBodyOf),
    studies: body.studies,
    shoulders: body.shoulders,
    events: body.events,
    notInNumber: body.notInNumber.map((each): NotInNumber => ({ ...each })),
    quoted: body.estimate && {
      ...body.estimate,
      level: counts.options.level ?? 0.95,
      prediction: body.prediction,
      unit: per100,
      ...quotedPairOf(body.pair),
      relative: body.relative,
    },
    otherMethods: otherEffects(body.pair),
    risk: effect && baselineOf(effect, question),
    certainty: certaintyOf(rating),
    verdict: verdictOnDifference({
      interval: body.estimate,
      material,
      certainty: rating.level,
      baselineLower: baselineLowerOf(effect),
    }),
    sentence: rating.sentence,
    cautions: [...rating.cautions, ...(body.pair?.pool.cautions ?? [])],
    rows: rating.rows,
    behind: { rating, ...(body.pair === undefined ? {} : { pair: body.pair }) },
  };
}

/** What the quoted difference is a number of, and how it was made. */
function quotedPairOf(pair: SitePair | undefined) {
  if (pair === undefined)
    return {
      estimand: 'centre on the scale',
      method: 'difference of two quoted rates',
      why: 'No study holds both sites.',
      coverage: undefined,
    };
  const { quoted } = pair;
  return quoted === undefined || quoted.because === 'fixed'
    ? {
        estimand: 'centre on the scale',
        method: methodOf(pair.pool),
        why: quoted?.why ?? 'The pool as it was asked for.',
        coverage: quoted?.coverage,
      }
    : { estimand: quoted.estimand, method: quoted.methodName, why: quoted.why, coverage: quoted.coverage };
}

/** The ratio (or difference) by other methods; none of them is said in 100, since each has a meaning of its own. */
function otherEffects(pair: SitePair | undefined): readonly OtherMethod[] {
  const quoted = pair?.quoted;
  if (quoted === undefined) return [];
  return quoted.others.flatMap(({ methodName, estimand, effect, interval, coverage }) =>
    effect === undefined || interval === undefined
      ? []
      : [
          {
            method: methodName,
            estimand,
            value: effect,
            lower: interval.lower,
            upper: interval.upper,
            coverage,
            toldDifferently:
              quoted.effect !== undefined && Math.abs(Math.log(effect / quoted.effect)) > Math.log(1.1),
          },
        ],
  );
}

type Effect = CertaintyRating['body']['absolute'][number];

const baselineOf = (effect: Effect, { comparator }: ComparisonQuestion): BaselineSaid => ({
  value: 100 * effect.baselineRisk,
  interval: effect.baselineKnown
    ? undefined
    : { lower: 100 * effect.baselineInterval.lower, upper: 100 * effect.baselineInterval.upper },
  site: effect.riskOf ?? comparator,
  source: effect.baselineSource,
  follows: scaled(effect.risk, 100),
  ratio: scaled(effect.atThatRisk.risk, 1 / effect.baselineRisk),
});

const scaled = (
  { value, lower, upper }: Limits & { readonly value: number },
  by: number,
): Limits & { readonly value: number } => ({ value: by * value, lower: by * lower, upper: by * upper });

const baselineLowerOf = (effect: Effect | undefined): number | undefined =>
  effect && 100 * effect.baselineInterval.lower;

const otherBodyOf = (rating: CertaintyRating): OtherBody => ({
  body: rating.body.design,
  studies: rating.body.studies,
  shoulders: rating.body.shoulders,
  events: rating.body.events,
  quoted: rating.body.estimate,
  certainty: certaintyOf(rating),
});
