import { backTransformRate } from '../../effects/backTransformRate.ts';
import type { Count } from '../../effects/estimate.ts';
import { rateInterval } from '../../effects/rateInterval.ts';
import { amountToAdd } from '../../effects/zeroEvents.ts';
import type { Interval } from '../../numerics/interval.ts';
import { rateDigits } from '../../wording/numbers.ts';
import { describePriors } from '../bayesian/posteriorCautions.ts';
import type { Caution } from '../caution.ts';
import { checkCounts } from '../checkCounts.ts';
import { type MeasuredCoverage, measuredRateCoverage } from './measuredCoverage.ts';
import {
  type QuotedRateOptions,
  type ResolvedQuotedRateOptions,
  resolveQuotedRateOptions,
} from './quotedOptions.ts';
import { type RateContext, rateContext } from './rateContext.ts';
import {
  derSimonianLairdRate,
  type QuotedEstimand,
  type RateMethod,
  type RateMethodName,
  rateMethodNames,
  rateMethods,
} from './rateMethods.ts';
import {
  chooseForOutcome,
  chooseRate,
  type RateChoice,
  type RateFacts,
  rateBorders,
  rateFacts,
} from './rateRule.ts';
import { rememberLatest } from './rememberLatest.ts';

/** What a quoted rate reads of an arm; an `ArmEvents` of the extraction stage is one. */
export interface QuotedArm {
  readonly study: string;
  readonly label: string;
  readonly events: number;
  readonly total: number;
}

/** A DerSimonian-Laird pool that no calibration was made of. */
export type QuotedRateMethodName = RateMethodName | 'dersimonian-laird-as-stated';

/** One answer to "how often", by one method. Rates are shares of 1. */
export interface QuotedRateAnswer {
  readonly method: QuotedRateMethodName;
  /** The method in full, as printed. */
  readonly methodName: string;
  readonly source: string;
  readonly estimand: QuotedEstimand;
  readonly rate: number | undefined;
  readonly interval: Interval | undefined;
  /** What share of simulated reviews of this kind its interval held; undefined where none was made. */
  readonly coverage: MeasuredCoverage | undefined;
}

/** An answer that stands beside the quoted one. */
export interface OtherRateAnswer extends QuotedRateAnswer {
  /** Would a reader be told another number? More than a tenth apart, in events or in shoulders without. */
  readonly toldDifferently: boolean;
}

/** Why a rate is quoted by its method. */
export type QuotedRateReason = RateChoice['because'] | 'fixed' | 'no-limit' | 'nothing-to-pool';

/** The number that is quoted for one outcome at one site, named for what it is. */
export interface QuotedRate extends QuotedRateAnswer {
  readonly kind: 'quoted-rate';
  readonly options: ResolvedQuotedRateOptions;
  readonly arms: number;
  readonly studies: number;
  readonly events: number;
  readonly shoulders: number;
  /** Rate to expect in the next study; undefined below three arms and without events. */
  readonly prediction: Interval | undefined;
  /** Priors behind the prediction, in words; undefined where there is none. */
  readonly predictionPriors: string | undefined;
  readonly because: QuotedRateReason;
  /** The same in a sentence. */
  readonly why: string;
  readonly others: readonly OtherRateAnswer[];
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/** The rates of one outcome at several sites, all by one method. */
export interface QuotedRates {
  readonly kind: 'quoted-rates';
  readonly options: ResolvedQuotedRateOptions;
  /** What all sites are quoted by; a site of one arm or without events is one series whatever the others are. */
  readonly estimand: QuotedEstimand;
  readonly method: QuotedRateMethodName;
  readonly methodName: string;
  /** For the head of a table. */
  readonly head: string;
  readonly sites: ReadonlyMap<string, QuotedRate>;
}

const deviationPrior = { kind: 'half-normal', scale: 1 } as const;
const meanPrior = { kind: 'normal', mean: 0, deviation: 2.5 } as const;
const quotedMean = 'beta-binomial-profile-calibrated';
const binomialNormalMean = 'mean-of-studies-profile-calibrated';
const quotedMedian = 'median-study-profile-calibrated';
const quotedPosterior = 'mean-of-studies-posterior-half-normal-1-wide-mean';
const narrowPosterior = 'mean-of-studies-posterior-half-normal-1';
/** Of few arms the mean has a prior that says next to nothing: a narrower one pulled rare rates up by a third. */
const wideMeanPrior = { kind: 'normal', mean: 0, deviation: 10 } as const;

/**
 * How often does this happen: which number may be quoted, what is it a number of, and what does its interval cover?
 *
 * The method follows from the counts by {@link chooseRate}, whose borders were found by simulation. The mean of the
 * studies is that of the beta-binomial model at its maximum, its interval every value whose profile deviance is at most the
 * larger of `k ln(1 + t²/(k − 1))` and F(1, max(k − 1, 6)); beside it stand mean and median of the binomial-normal model.
 * For two to four arms, and wherever neither model reaches a limit, the posterior of the binomial-normal mean (half-normal
 * 1, normal(0, 10²)) is quoted and says that it leans on its priors. The prediction interval is that of this posterior
 * (between-study deviation half-normal 1; mean normal(0, 2.5²), or normal(0, 10²) where that is quoted).
 *
 * @param arms events among shoulders that could have had one, one row an arm
 * @param options level; `fixed: 'dersimonian-laird'` quotes the pool that the protocol names; see {@link QuotedRateOptions}
 * @returns shares of 1; `rate` is undefined only where there is no arm
 * @throws RangeError for an unknown option or an impossible count, naming the bound and the value received
 *
 * Sources: as the methods' own; the rule and its coverage: docs/methods-rare-events.md.
 *
 * @example
 * const { rate, interval, estimand, why } = quotedRate(arms);
 */
export function quotedRate(arms: readonly QuotedArm[], options: QuotedRateOptions = {}): QuotedRate {
  const resolved = resolveQuotedRateOptions(options);
  checkCounts(arms);
  return quote(arms, resolved, undefined);
}

/**
 * The same for all sites of one outcome, or all layers of a table: one method and one estimand for all of them.
 *
 * DerSimonian-Laird is quoted only where every site allows it; if one needs the one-step model, all are quoted by it:
 * by its profile likelihood from five arms on, by its posterior for two to four.
 *
 * @param armsBySite arms of each site, by any key; the result keeps keys and order
 * @throws as {@link quotedRate}
 *
 * @example
 * const { head, sites } = quotedRates(new Map([['suprapectoral', arms], ['tenotomy', others]]));
 */
export function quotedRates(
  armsBySite: ReadonlyMap<string, readonly QuotedArm[]>,
  options: QuotedRateOptions = {},
): QuotedRates {
  const resolved = resolveQuotedRateOptions(options);
  for (const arms of armsBySite.values()) checkCounts(arms);
  const filled = [...armsBySite.values()].filter((arms) => arms.length > 0);
  const pool = chooseForOutcome(filled.map(rateFacts));
  const sites = new Map<string, QuotedRate>();
  for (const [site, arms] of armsBySite) sites.set(site, quote(arms, resolved, pool));
  const fixed = resolved.fixed === 'dersimonian-laird' || pool === 'dersimonian-laird';
  const quotedBy = new Set([...sites.values()].map((site) => site.method));
  const meanMethod: RateMethodName =
    quotedBy.has(quotedPosterior) && !quotedBy.has(quotedMean) ? quotedPosterior : quotedMean;
  const { id, method } = fixed
    ? derSimonianLairdOf(resolved)
    : pool === 'one-series'
      ? { id: 'one-series-exact' as const, method: rateMethods['one-series-exact'] }
      : { id: meanMethod, method: rateMethods[meanMethod] };
  return {
    kind: 'quoted-rates',
    options: resolved,
    estimand: method.estimand,
    method: id,
    methodName: method.name,
    head: `${estimandInWords[method.estimand]}; ${method.name}${
      id === quotedMean && quotedBy.has(quotedPosterior)
        ? `; where there are two to four arms, or no limit, ${rateMethods[quotedPosterior].name}`
        : ''
    }`,
    sites,
  };
}

const estimandInWords: Readonly<Record<QuotedEstimand, string>> = {
  'mean of studies': 'Mean of the studies’ rates',
  'median study': 'Rate of the median study',
  'centre on the scale': 'Centre of the studies on the analysis scale',
  'common effect': 'Effect that the studies share',
  'one series': 'All shoulders as one series',
};

const latest = rememberLatest<QuotedRate>(500);

/** Nothing but the counts, how many studies they come from and what is asked decides: the same is answered once. */
function quote(
  arms: readonly QuotedArm[],
  options: ResolvedQuotedRateOptions,
  pool: ReturnType<typeof chooseForOutcome> | undefined,
): QuotedRate {
  const studies = new Set(arms.map(({ study }) => study)).size;
  const counts = arms.map(({ events, total }) => ({ events, total }));
  return latest(JSON.stringify([counts, studies, options, pool]), () =>
    quoteCounts(counts, studies, options, pool),
  );
}

function quoteCounts(
  arms: readonly Count[],
  studies: number,
  options: ResolvedQuotedRateOptions,
  pool: ReturnType<typeof chooseForOutcome> | undefined,
): QuotedRate {
  const { level } = options;
  const facts = rateFacts(arms);
  const base = {
    kind: 'quoted-rate',
    options,
    arms: facts.arms,
    studies,
    events: facts.events,
    shoulders: facts.shoulders,
  } as const;
  if (facts.arms === 0) {
    return {
      ...base,
      ...unanswered('one-series-exact', rateMethods['one-series-exact']),
      prediction: undefined,
      predictionPriors: undefined,
      because: 'nothing-to-pool',
      why: 'There are no arms.',
      others: [],
      cautions: [{ code: 'nothing-to-pool', message: 'There are no arms to pool.' }],
      methodsSentence: 'No arm reported the outcome.',
    };
  }
  const choice = withOthers(chooseRate(facts), pool);
  const cautions = cautionsOf(facts, studies);
  if (choice.quote === 'one-series') {
    const method = rateMethods['one-series-exact'];
    const why = whyInWords(choice.because, facts);
    return {
      ...base,
      method: 'one-series-exact',
      methodName: method.name,
      source: method.source,
      estimand: method.estimand,
      rate: facts.events / facts.shoulders,
      interval: rateInterval(
        { events: facts.events, total: facts.shoulders },
        { method: 'clopper-pearson', level },
      ),
      coverage: undefined,
      prediction: undefined,
      predictionPriors: undefined,
      because: choice.because,
      why,
      others: [],
      cautions,
      methodsSentence: `All shoulders were taken as one series with an exact interval (${method.source})${facts.arms > 1 ? ', which holds if the studies share one rate' : ''}.`,
    };
  }
  const context = rateContext(arms);
  const answer = (id: QuotedRateMethodName, method: RateMethod): QuotedRateAnswer => {
    const { rate, interval } = method.estimate(context, level) ?? { rate: undefined, interval: undefined };
    return { ...unanswered(id, method), rate, interval, coverage: coverageOf(id, facts, level) };
  };
  const named = (id: RateMethodName): QuotedRateAnswer => answer(id, rateMethods[id]);
  const stated = derSimonianLairdOf(options);
  const derSimonianLaird = answer(stated.id, stated.method);
  const byBetaBinomial = named(quotedMean);
  const byBinomialNormal = named(binomialNormalMean);
  const mean = byBetaBinomial.interval ? byBetaBinomial : byBinomialNormal;
  const all = [byBetaBinomial, byBinomialNormal, named(quotedMedian), derSimonianLaird];
  const fixed = options.fixed === 'dersimonian-laird' && derSimonianLaird.interval !== undefined;
  let quoted = fixed || choice.quote === 'dersimonian-laird' ? derSimonianLaird : mean;
  let because: QuotedRateReason = fixed ? 'fixed' : choice.because;
  // By the rule it is the pool that was calibrated; what the protocol states stands beside it.
  if (!fixed && choice.quote === 'dersimonian-laird') {
    const calibrated = named('dersimonian-laird-arcsine-truncated-hartung-knapp');
    if (stated.id !== calibrated.method) all.push(calibrated);
    else all[3] = calibrated;
    quoted = calibrated;
  }
  const fewArms = !fixed && choice.quote === 'posterior-of-the-mean';
  const noLimit = !fewArms && (quoted.rate === undefined || quoted.interval === undefined);
  if (facts.arms < rateBorders.arms || noLimit) {
    const posterior = named(quotedPosterior);
    const narrow = named(narrowPosterior);
    all.push(posterior, narrow);
    if (fewArms || noLimit) {
      quoted = posterior;
      if (noLimit) because = 'no-limit';
      const withNarrow = narrow.interval
        ? `; with a standard deviation of ${meanPrior.deviation} for the mean the interval would be ${rateDigits(100 * narrow.interval.lower)} to ${rateDigits(100 * narrow.interval.upper)} in 100`
        : '';
      cautions.push({
        code: 'prior-decides-spread',
        message: `${noLimit ? 'The likelihood gives no interval' : `${counted(facts.arms, 'arm')} say little about how far studies differ`}: the posterior is quoted, and leans on its priors (${describePriors(deviationPrior, wideMeanPrior)}${withNarrow}).`,
      });
    }
  }
  const priorOfMean = quoted.method === quotedPosterior ? wideMeanPrior : meanPrior;
  const prediction = predictionOf(context, level, quoted.interval, priorOfMean.deviation);
  return {
    ...base,
    ...quoted,
    prediction,
    predictionPriors: prediction && describePriors(deviationPrior, priorOfMean),
    because,
    why: whyInWords(because, facts),
    others: all
      .filter((other) => other.method !== quoted.method)
      .map((other) => ({ ...other, toldDifferently: toldDifferently(other.rate, quoted.rate) })),
    cautions,
    methodsSentence: `${estimandInWords[quoted.estimand]} over ${facts.arms} arms: ${quoted.methodName} (${quoted.source}), ${percent(level)} interval${prediction ? `; prediction interval from the posterior with ${describePriors(deviationPrior, priorOfMean)}` : ''}.`,
  };
}

/** A site set beside others is quoted as they are. */
function withOthers(choice: RateChoice, pool: ReturnType<typeof chooseForOutcome> | undefined): RateChoice {
  return choice.quote === 'dersimonian-laird' && pool === 'mean-of-studies'
    ? { quote: 'mean-of-studies', because: 'other-site' }
    : choice;
}

function derSimonianLairdOf({ derSimonianLaird }: ResolvedQuotedRateOptions): {
  readonly id: QuotedRateMethodName;
  readonly method: RateMethod;
} {
  const { scale, zeroEvents, interval } = derSimonianLaird;
  const added = amountToAdd(zeroEvents);
  // On arcsines every arm has a value: an amount is never used.
  const rule =
    scale === 'arcsine' ? '' : added === 0.5 ? '-half-added' : added === 0 ? '-nothing-added' : '-other';
  const id = rateMethodNames.find((name) => name === `dersimonian-laird-${scale}${rule}-${interval}`);
  return {
    id: id ?? 'dersimonian-laird-as-stated',
    method: derSimonianLairdRate(scale, added, interval),
  };
}

function unanswered(method: QuotedRateMethodName, of: RateMethod): QuotedRateAnswer {
  const { name, source, estimand } = of;
  return {
    method,
    methodName: name,
    source,
    estimand,
    rate: undefined,
    interval: undefined,
    coverage: undefined,
  };
}

function coverageOf(
  method: QuotedRateMethodName,
  facts: RateFacts,
  level: number,
): MeasuredCoverage | undefined {
  return method === 'dersimonian-laird-as-stated' || level !== 0.95
    ? undefined
    : measuredRateCoverage(method, facts.arms, facts.events / facts.shoulders);
}

/** The posterior's interval for the next study, which is never narrower than what is quoted for all of them. */
function predictionOf(
  { counts, posterior: posteriorWith }: RateContext,
  level: number,
  quoted: Interval | undefined,
  deviationOfMean: number,
): Interval | undefined {
  if (counts.length < 3) return undefined;
  const posterior = posteriorWith(deviationPrior.scale, deviationOfMean);
  const tail = (1 - level) / 2;
  const at = (probability: number): number =>
    backTransformRate(posterior.quantile('next study', probability), 'logit');
  return {
    lower: Math.min(at(tail), quoted?.lower ?? 1),
    upper: Math.max(at(1 - tail), quoted?.upper ?? 0),
    level,
  };
}

/** More than a tenth apart, in events or in shoulders without: the width to which quoted rates were held. */
export function toldDifferently(one: number | undefined, other: number | undefined): boolean {
  if (one === undefined || other === undefined) return false;
  const apart = (a: number, b: number): boolean => Math.max(a, b) > 1.1 * Math.min(a, b);
  return apart(one, other) || apart(1 - one, 1 - other);
}

function cautionsOf({ arms, events, shoulders }: RateFacts, studies: number): Caution[] {
  const cautions: Caution[] = [];
  if (events === 0) {
    cautions.push({
      code: 'no-events',
      message: `None of ${shoulders} shoulders had the event: what is known is an upper limit, not a rate of zero.`,
    });
  } else if (events === shoulders) {
    cautions.push({
      code: 'all-events',
      message: `All of ${shoulders} shoulders had the event: what is known is a lower limit, not a rate of 100 %.`,
    });
  }
  if (studies === 1) {
    cautions.push({ code: 'one-study', message: 'Only one study: this is its rate, not a pool.' });
  } else if (studies < 5) {
    cautions.push({
      code: 'fewer-than-five-studies',
      message: `The variation between studies rests on ${studies} studies: it is all but unknown.`,
    });
  }
  if (arms > studies) {
    cautions.push({
      code: 'several-arms-of-one-study',
      message: 'Arms of one study were taken as independent of one another.',
    });
  }
  return cautions;
}

const percent = (share: number | undefined): string =>
  share === undefined ? 'no value' : `${Number((100 * share).toPrecision(3))} %`;
const counted = (number: number, one: string, several = `${one}s`): string =>
  `${number} ${number === 1 ? one : several}`;

function whyInWords(because: QuotedRateReason, { arms, events, shoulders, largestArm }: RateFacts): string {
  const of = `${counted(events, 'event')} in ${counted(shoulders, 'shoulder')} of ${counted(arms, 'arm')}`;
  const step = 'so the mean of the studies is taken from the counts themselves';
  switch (because) {
    case 'one-arm':
      return `There is one arm (${of}): its own rate with its exact interval.`;
    case 'no-events':
      return arms === 1
        ? `No shoulder had the event (${of}): the exact interval of the arm.`
        : `No shoulder had the event (${of}): the exact interval of all shoulders as one series, if the studies share one rate.`;
    case 'only-events':
      return arms === 1
        ? `Every shoulder had the event (${of}): the exact interval of the arm.`
        : `Every shoulder had the event (${of}): the exact interval of all shoulders as one series, if the studies share one rate.`;
    case 'rare':
      return `The event, or its absence, is rare (${of}): DerSimonian-Laird does not hold its coverage there, ${step}.`;
    case 'few-events':
      return `There are few events an arm (${of}): DerSimonian-Laird does not hold its coverage there, ${step}.`;
    case 'few-arms':
      return `There are few arms (${of}), which say little about how far studies differ: the posterior of the mean of the studies is quoted, which leans on its priors.`;
    case 'one-large-arm':
      return `One arm holds ${percent(largestArm / shoulders)} of all shoulders (${of}): DerSimonian-Laird does not hold its coverage there, ${step}.`;
    case 'other-site':
      return `Another site of this outcome needs the one-step model, so the mean of the studies is taken from the counts themselves at every site, this one too (${of}), and sites may be set side by side.`;
    case 'meets-target':
      return `There are events enough (${of}): DerSimonian-Laird, with nothing added to any cell, holds its coverage there.`;
    case 'fixed':
      return `The protocol fixes DerSimonian-Laird (${of}).`;
    case 'no-limit':
      return `The likelihood gives no interval (${of}): the posterior of the mean of the studies is quoted, which leans on its priors.`;
    case 'nothing-to-pool':
      return 'There are no arms.';
  }
}
