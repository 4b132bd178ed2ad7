import type { InHundred } from '../certainty/bodyOfEvidence.ts';
import { certaintyOfReview } from '../certainty/certaintyOfReview.ts';
import type { ComparisonQuestion, RateQuestion } from '../certainty/certaintyQuestion.ts';
import { type CertaintyRating, certaintyLevels } from '../certainty/certaintyRating.ts';
import { addUp } from '../certainty/rateCertainty.ts';
import type { NetworkRating } from '../certainty/rateNetworkEstimate.ts';
import type { SitePair } from '../comparison/pairs/comparePairs.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
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
import { methodOf } from './methodOf.ts';
import { cautionsOnModels, comparisonModels, rateModels, withModels } from './modelsBeside.ts';
import { answerId, questionName } from './question.ts';
import { type Verdict, verdictOnDifference, verdictOnRate } from './verdict.ts';

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
  const rated = certaintyOfReview(review, question, { counts });
  const { body } = rated;
  const quoted = quotedRateOf(pool);
  const models = review.protocol.analysis.modelsBeside === true ? rateModels(pool, quoted) : [];
  const rating: CertaintyRating = {
    ...rated,
    cautions: [...rated.cautions, ...cautionsOnModels(question, models, body)],
    ...(asPlanned(counts) && { answer: id }),
  };
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
    quoted,
    otherMethods: withModels(otherRates(pool), models),
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
  'all comparative studies':
    'Randomised trials and other studies that hold both sites, pooled together as the protocol asks; each kind alone stands beside.',
  'series against series':
    'No study holds both sites, so series of one are set against series of the other, which is not a comparison of the randomised kind.',
  network: 'Direct and indirect evidence of all studies that hold two sites or more.',
};

/** One site against another, within studies that hold both where there are any. */
export function comparisonAnswer(
  review: ReviewForAnswers,
  question: ComparisonQuestion,
  counts: OutcomeCounts,
  networks: () => readonly NetworkRating[],
): Answer {
  const { outcome } = counts;
  const material = outcome.thresholdsPer100.materialDifference;
  const id = answerId(question);
  const rated = certaintyOfReview(review, question, { counts });
  const { body } = rated;
  const [effect] = body.absolute;
  const quoted: QuotedNumber | undefined = body.estimate && {
    ...body.estimate,
    level: counts.options.level ?? 0.95,
    prediction: body.prediction,
    unit: per100,
    ...quotedPairOf(body.pair),
    relative: body.relative,
  };
  const verdictOf = (interval: InHundred | undefined): Verdict =>
    verdictOnDifference({
      interval,
      material,
      certainty: rated.level,
      baselineLower: baselineLowerOf(effect),
    });
  const models =
    review.protocol.analysis.modelsBeside === true
      ? comparisonModels(question, body, quoted, {
          zeroEvents: counts.options.zeroEvents,
          material,
          verdictOf,
        })
      : [];
  const rating: CertaintyRating = {
    ...rated,
    cautions: [...rated.cautions, ...cautionsOnModels(question, models, body)],
    ...(asPlanned(counts) && { answer: id }),
  };
  const series =
    body.design === 'series against series'
      ? []
      : [certaintyOfReview(review, question, { counts, body: 'series against series', decisions: [] })];
  let others: readonly OtherBody[] | undefined;
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
    get otherBodies() {
      others ??= [...rating.others, ...networkOn(question, networks()), ...series].map(otherBodyOf);
      return others;
    },
    studies: body.studies,
    ...(body.trials === undefined ? {} : { trials: body.trials }),
    shoulders: body.shoulders,
    events: body.events,
    notInNumber: body.notInNumber.map((each): NotInNumber => ({ ...each })),
    quoted,
    otherMethods: withModels(otherEffects(body.pair, material), models),
    risk: effect && baselineOf(effect, question),
    certainty: certaintyOf(rating),
    verdict: verdictOf(body.estimate),
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
function otherEffects(pair: SitePair | undefined, material: number): readonly OtherMethod[] {
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
              quoted.effect !== undefined &&
              (pair?.pool.scale === 'risk-difference'
                ? 100 * Math.abs(effect - quoted.effect) >= material
                : Math.abs(Math.log(effect / quoted.effect)) > Math.log(1.1)),
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

/** What the network says of this pair; none where it does not link the two. */
const networkOn = (
  { site, comparator }: ComparisonQuestion,
  ratings: readonly NetworkRating[],
): readonly NetworkRating[] =>
  ratings.filter(
    ({ question }) =>
      question.kind === 'comparison' && question.site === site && question.comparator === comparator,
  );

const otherBodyOf = (rating: CertaintyRating | NetworkRating): OtherBody => {
  const { design, studies, trials, shoulders, events, estimate, relative, notInNumber } = rating.body;
  return {
    body: design,
    studies,
    ...(trials === undefined ? {} : { trials }),
    shoulders,
    events,
    quoted: estimate,
    ...(relative === undefined ? {} : { relative }),
    notInNumber,
    certainty: rating.kind === 'network-rating' ? certaintyOfNetwork(rating) : certaintyOf(rating),
  };
};

/** A network starts where the part that carries it stands, and falls by what was decided or else proposed. */
function certaintyOfNetwork({ level, confirmed, body, steps, domains }: NetworkRating): AnswerCertainty {
  const [start] = steps;
  const proposed =
    start === undefined
      ? undefined
      : certaintyLevels[
          Math.max(
            0,
            domains.reduce((sum, each) => sum + each.proposed, start.sum),
          )
        ];
  return { level, proposed, confirmed, body: body.design };
}
