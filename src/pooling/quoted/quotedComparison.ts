import { amountToAdd, type ZeroEvents } from '../../effects/zeroEvents.ts';
import type { Interval } from '../../numerics/interval.ts';
import { describePriors } from '../bayesian/posteriorCautions.ts';
import type { Caution } from '../caution.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../optionChecks.ts';
import { hypergeometricMoments } from '../rareEvents/cochranMantelHaenszelTest.ts';
import { conditionalMaximumLikelihood } from '../rareEvents/conditionalMaximumLikelihood.ts';
import type { OneSidedLimit } from '../rareEvents/twoArmPool.ts';
import { checkTwoArmTables, type TwoArmTable } from '../rareEvents/twoArmTable.ts';
import {
  type EffectDeviationScale,
  type EffectLikelihood,
  effectDeviationPrior,
  effectMeanPrior,
} from './comparisonContext.ts';
import {
  type ComparisonContext,
  type ComparisonMethod,
  type ComparisonMethodName,
  comparisonContext,
  comparisonMethodNames,
  comparisonMethods,
  derSimonianLairdContrast,
  type QuotedMeasure,
  quotedMeasures,
} from './comparisonMethods.ts';
import {
  type ComparisonChoice,
  type ComparisonFacts,
  chooseComparison,
  comparisonBorders,
  comparisonFacts,
} from './comparisonRule.ts';
import { type MeasuredCoverage, measuredComparisonCoverage } from './measuredCoverage.ts';
import { type QuotedFix, quotedFixes } from './quotedOptions.ts';
import {
  type DerSimonianLairdInterval,
  derSimonianLairdIntervals,
  type QuotedEstimand,
} from './rateMethods.ts';
import { rememberLatest } from './rememberLatest.ts';

/** The DerSimonian-Laird pool that is shown beside every comparison, and quoted where it is fixed. */
export interface DerSimonianLairdContrastOptions {
  /** Default `leave-out`. */
  readonly zeroEvents?: ZeroEvents;
  /** Default `truncated-hartung-knapp`. */
  readonly interval?: DerSimonianLairdInterval;
}

export interface QuotedComparisonOptions {
  /** Default `odds-ratio`. */
  readonly measure?: QuotedMeasure;
  /** Coverage of the intervals, default 0.95. */
  readonly level?: number;
  /** Default `by-rule`. */
  readonly fixed?: QuotedFix;
  readonly derSimonianLaird?: DerSimonianLairdContrastOptions;
}

export interface ResolvedQuotedComparisonOptions {
  readonly measure: QuotedMeasure;
  readonly level: number;
  readonly fixed: QuotedFix;
  readonly derSimonianLaird: Required<DerSimonianLairdContrastOptions>;
}

/** A DerSimonian-Laird pool that no calibration was made of. */
export type QuotedComparisonMethodName = ComparisonMethodName | 'dersimonian-laird-as-stated';

/** One answer to "how do they compare", by one method. */
export interface QuotedComparisonAnswer {
  readonly method: QuotedComparisonMethodName;
  readonly methodName: string;
  readonly source: string;
  readonly estimand: QuotedEstimand;
  /** Ratio, or difference of risks. */
  readonly effect: number | undefined;
  readonly interval: Interval | undefined;
  readonly coverage: MeasuredCoverage | undefined;
}

/** An answer that stands beside the quoted one. */
export interface OtherComparisonAnswer extends QuotedComparisonAnswer {
  /** For Peto's method: whether the conditions hold under which it is not misled. */
  readonly conditionsHold?: boolean;
}

export type QuotedComparisonReason =
  | ComparisonChoice['because']
  | 'fixed'
  | 'no-limit'
  | 'no-finite-estimate';

/** The effect that is quoted for one comparison, named for what it is. */
export interface QuotedComparison extends QuotedComparisonAnswer {
  readonly kind: 'quoted-comparison';
  readonly options: ResolvedQuotedComparisonOptions;
  readonly measure: QuotedMeasure;
  readonly tables: number;
  /** Tables that say anything about the effect, and the events in them. */
  readonly informative: number;
  readonly treatedEvents: number;
  readonly comparatorEvents: number;
  /** Priors that the quoted effect and its interval lean on, in words; undefined where they need none. */
  readonly priors: string | undefined;
  /** Effect to expect in the next study; undefined below three informative studies and for risk differences. */
  readonly prediction: Interval | undefined;
  readonly predictionPriors: string | undefined;
  /** Where all events lie in one kind of arm: the limit on the side that has one (a ratio). */
  readonly oneSidedLimit: OneSidedLimit | undefined;
  readonly because: QuotedComparisonReason;
  readonly why: string;
  readonly others: readonly OtherComparisonAnswer[];
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/** Of the deviation's prior behind a prediction where no posterior is quoted. */
const predictionScale = 0.5;
const priorsWith = (scale: EffectDeviationScale): string =>
  describePriors(effectDeviationPrior(scale), effectMeanPrior);

const oneStepOf: Partial<Record<QuotedMeasure, ComparisonMethodName>> = {
  'odds-ratio': 'hypergeometric-normal-profile-t-test',
  'risk-ratio': 'conditional-binomial-normal-profile-t-test',
};
const posteriorModelOf = {
  'odds-ratio': 'hypergeometric-normal',
  'risk-ratio': 'conditional-binomial-normal',
} as const;
const mantelHaenszelOf: Readonly<Record<QuotedMeasure, ComparisonMethodName>> = {
  'odds-ratio': 'mantel-haenszel-odds-ratio',
  'risk-ratio': 'mantel-haenszel-risk-ratio',
  'risk-difference': 'mantel-haenszel-risk-difference',
};

/**
 * Fills in the defaults of a quoted comparison.
 *
 * @throws RangeError for an unknown option or value, naming the allowed ones and the value received
 */
export function resolveQuotedComparisonOptions(
  options: QuotedComparisonOptions = {},
): ResolvedQuotedComparisonOptions {
  checkOptionNames(options, [
    'measure',
    'level',
    'fixed',
    'derSimonianLaird',
  ] satisfies (keyof QuotedComparisonOptions)[]);
  const { zeroEvents, interval } = options.derSimonianLaird ?? {};
  checkOptionNames(options.derSimonianLaird ?? {}, [
    'zeroEvents',
    'interval',
  ] satisfies (keyof DerSimonianLairdContrastOptions)[]);
  const added = amountToAdd(zeroEvents ?? 'leave-out');
  return {
    measure: checkChoice('measure', options.measure ?? 'odds-ratio', quotedMeasures),
    level: checkLevel(options.level ?? 0.95),
    fixed: checkChoice('fixed', options.fixed ?? 'by-rule', quotedFixes),
    derSimonianLaird: {
      zeroEvents: added === 0 ? 'leave-out' : { addToEachCell: added },
      interval: checkChoice(
        'derSimonianLaird.interval',
        interval ?? 'truncated-hartung-knapp',
        derSimonianLairdIntervals,
      ),
    },
  };
}

/**
 * How do two treatments compare: which number may be quoted, of what, and what does its interval cover?
 *
 * The method follows from the counts by {@link chooseComparison}. Two to nine studies have a posterior with stated
 * priors, on which it leans; one has its own result. From ten on the odds ratio of the median study comes from the
 * hypergeometric-normal model, the risk ratio from the conditional binomial-normal one, both with the interval of every
 * value whose profile deviance is at most `k ln(1 + t²/(k − 1))`, k the studies that say anything. Mantel-Haenszel
 * without addition, Peto and conditional likelihood stand beside it as answers about a common effect. A method that does
 * not hold the study effect (sums over studies, beta-binomial, random intercepts) is never quoted.
 *
 * @param tables events and totals of both arms, study by study
 * @returns ratios as ratios, differences as they are; `effect` is undefined where the data have no finite estimate
 * @throws RangeError for an unknown option or an impossible count, naming the bound and the value received
 *
 * Sources: as the methods' own; Cochrane Handbook for Systematic Reviews of Interventions, section 10.4.4; the rule and
 * its coverage: docs/methods-rare-events.md.
 *
 * @example
 * const { effect, interval, estimand, others } = quotedComparison(tables);
 */
export function quotedComparison(
  tables: readonly TwoArmTable[],
  options: QuotedComparisonOptions = {},
): QuotedComparison {
  const resolved = resolveQuotedComparisonOptions(options);
  checkTwoArmTables(tables);
  const counts = tables.map(({ treated: a, comparator: c }) => [a.events, a.total, c.events, c.total]);
  return latest(JSON.stringify([counts, resolved]), () => quoteTables(tables, resolved));
}

const latest = rememberLatest<QuotedComparison>(500);

/** Nothing but the counts and what is asked decides: the same is answered once. */
function quoteTables(
  tables: readonly TwoArmTable[],
  resolved: ResolvedQuotedComparisonOptions,
): QuotedComparison {
  const { level, measure } = resolved;
  const facts = comparisonFacts(tables);
  const { informative, treatedEvents, comparatorEvents } = facts;
  const choice = chooseComparison(facts, measure);
  const base = {
    kind: 'quoted-comparison',
    options: resolved,
    measure,
    tables: tables.length,
    informative,
    treatedEvents,
    comparatorEvents,
  } as const;
  const cautions = cautionsOf(facts);
  const mantelHaenszelName = mantelHaenszelOf[measure];
  const none = {
    priors: undefined,
    prediction: undefined,
    predictionPriors: undefined,
    oneSidedLimit: undefined,
    others: [],
  };
  if (choice.quote === 'nothing') {
    return {
      ...base,
      ...none,
      ...unanswered(mantelHaenszelName, comparisonMethods[mantelHaenszelName]),
      because: choice.because,
      why: whyInWords(choice.because, facts),
      cautions,
      methodsSentence: whyInWords(choice.because, facts),
    };
  }
  const context = comparisonContext(tables);
  const answer = (id: QuotedComparisonMethodName, method: ComparisonMethod): QuotedComparisonAnswer => {
    const estimate = method.estimate(context, level);
    return {
      ...unanswered(id, method),
      effect: estimate && natural(measure, estimate.value),
      interval: estimate?.interval && naturalInterval(measure, estimate.interval),
      coverage: level === 0.95 ? measuredComparisonCoverage(id, informative) : undefined,
    };
  };
  const named = (id: ComparisonMethodName): QuotedComparisonAnswer => answer(id, comparisonMethods[id]);
  const stated = derSimonianLairdOf(resolved);
  const derSimonianLaird = answer(stated.id, stated.method);
  const mantelHaenszel = named(mantelHaenszelName);
  const oneStepName = oneStepOf[measure];
  const oneStep = oneStepName && named(oneStepName);
  const underPrior = (scale: EffectDeviationScale): QuotedComparisonAnswer | undefined =>
    measure === 'risk-difference'
      ? undefined
      : named(`${posteriorModelOf[measure]}-posterior-half-normal-${scale}`);
  const scale = choice.quote === 'posterior' ? choice.scale : undefined;
  const posterior = scale && underPrior(scale);
  const otherPosterior = scale && underPrior(scale === 1 ? 0.5 : 1);
  const all: OtherComparisonAnswer[] = [
    ...(posterior && otherPosterior ? [posterior, otherPosterior] : []),
    ...(oneStep ? [oneStep] : []),
    mantelHaenszel,
    ...(measure === 'odds-ratio'
      ? [
          { ...named('peto'), conditionsHold: petoHolds(tables, mantelHaenszel.effect) },
          named('conditional-maximum-likelihood'),
        ]
      : []),
    derSimonianLaird,
  ];
  let because: QuotedComparisonReason = choice.because;
  let quoted: OtherComparisonAnswer | undefined;
  if (resolved.fixed === 'dersimonian-laird' && derSimonianLaird.interval) {
    quoted = derSimonianLaird;
    because = 'fixed';
  } else if (choice.quote === 'dersimonian-laird') {
    const calibrated = named(`dersimonian-laird-${measure}-nothing-added-truncated-hartung-knapp`);
    if (calibrated.method === stated.id) quoted = derSimonianLaird;
    else {
      quoted = calibrated;
      all.push(calibrated);
    }
  } else if (choice.quote === 'one-step') quoted = oneStep;
  else if (posterior) quoted = posterior;
  // One study has a result of its own, not an effect shared with others; the conditional answer holds at any counts.
  else
    quoted =
      measure === 'odds-ratio'
        ? all.find(({ method }) => method === 'conditional-maximum-likelihood')
        : mantelHaenszel;
  if (!quoted?.interval && because !== 'one-study') {
    const common = all.find(({ method }) => method === 'conditional-maximum-likelihood') ?? mantelHaenszel;
    because = common.effect === undefined ? 'no-finite-estimate' : 'no-limit';
    quoted = common;
  }
  quoted ??= mantelHaenszel;
  const oneSidedLimit =
    measure === 'odds-ratio' && quoted.effect === undefined ? oneSided(tables, level) : undefined;
  const effects = effectsOf(context, measure);
  const prediction = effects && predictionOf(effects, scale ?? predictionScale, level, quoted.interval);
  const priors = scale && quoted === posterior && quoted.interval ? priorsWith(scale) : undefined;
  if (scale && priors) cautions.push(leaningOnPriors(facts, scale, otherPosterior, oneStep));
  return {
    ...base,
    ...quoted,
    priors,
    prediction,
    predictionPriors: prediction && priorsWith(scale ?? predictionScale),
    oneSidedLimit,
    because,
    why: whyInWords(because, facts),
    others: all.filter(({ method }) => method !== quoted.method),
    cautions,
    methodsSentence: `${measureInWords[measure]} over ${informative} ${informative === 1 ? 'study' : 'studies'} with events: ${quoted.methodName} (${quoted.source}), ${Number((100 * level).toPrecision(3))} % interval.`,
  };
}

const measureInWords: Readonly<Record<QuotedMeasure, string>> = {
  'odds-ratio': 'Odds ratio',
  'risk-ratio': 'Risk ratio',
  'risk-difference': 'Risk difference',
};

const natural = (measure: QuotedMeasure, value: number): number | undefined => {
  const back = measure === 'risk-difference' ? value : Math.exp(value);
  return Number.isFinite(back) ? back : undefined;
};

function naturalInterval(measure: QuotedMeasure, { lower, upper, level }: Interval): Interval | undefined {
  const [low, high] = [natural(measure, lower), natural(measure, upper)];
  return low === undefined || high === undefined ? undefined : { lower: low, upper: high, level };
}

function unanswered(method: QuotedComparisonMethodName, of: ComparisonMethod): QuotedComparisonAnswer {
  const { name, source, estimand } = of;
  return {
    method,
    methodName: name,
    source,
    estimand,
    effect: undefined,
    interval: undefined,
    coverage: undefined,
  };
}

function derSimonianLairdOf({ measure, derSimonianLaird }: ResolvedQuotedComparisonOptions): {
  readonly id: QuotedComparisonMethodName;
  readonly method: ComparisonMethod;
} {
  const { zeroEvents, interval } = derSimonianLaird;
  const added = amountToAdd(zeroEvents);
  const rule = added === 0.5 ? 'half-added' : added === 0 ? 'nothing-added' : 'other';
  const id = comparisonMethodNames.find(
    (name) => name === `dersimonian-laird-${measure}-${rule}-${interval}`,
  );
  return {
    id: id ?? 'dersimonian-laird-as-stated',
    method: derSimonianLairdContrast(measure, added, interval),
  };
}

/**
 * Do the conditions hold under which Peto's odds ratio is not misled: events in under 5 % of shoulders, arms within a
 * factor of 2 of one another overall, and an odds ratio between a half and two?
 *
 * Source: Cochrane Handbook, section 10.4.4.1 names rare events, balanced arms and effects that are not large; the three
 * numbers are ours.
 */
export function petoHolds(tables: readonly TwoArmTable[], oddsRatio: number | undefined): boolean {
  let events = 0;
  let treated = 0;
  let comparator = 0;
  for (const table of tables) {
    if (!(hypergeometricMoments(table).variance > 0)) continue;
    events += table.treated.events + table.comparator.events;
    treated += table.treated.total;
    comparator += table.comparator.total;
  }
  return (
    oddsRatio !== undefined &&
    events < 0.05 * (treated + comparator) &&
    Math.max(treated, comparator) <= 2 * Math.min(treated, comparator) &&
    oddsRatio >= 0.5 &&
    oddsRatio <= 2
  );
}

function oneSided(tables: readonly TwoArmTable[], level: number): OneSidedLimit | undefined {
  const { oneSidedLimit } = conditionalMaximumLikelihood(tables, level, 'profile-likelihood');
  const back = oneSidedLimit && natural('odds-ratio', oneSidedLimit.value);
  return oneSidedLimit && back !== undefined ? { ...oneSidedLimit, natural: back } : undefined;
}

const effectsOf = (context: ComparisonContext, measure: QuotedMeasure): EffectLikelihood | undefined =>
  measure === 'odds-ratio'
    ? context.oddsRatios()
    : measure === 'risk-ratio'
      ? context.riskRatios()
      : undefined;

/** What the interval would be under another prior, and under none. */
function leaningOnPriors(
  { informative }: ComparisonFacts,
  scale: EffectDeviationScale,
  otherPosterior: QuotedComparisonAnswer | undefined,
  oneStep: QuotedComparisonAnswer | undefined,
): Caution {
  const limits = (of: QuotedComparisonAnswer | undefined): string | undefined =>
    of?.interval && `${printed(of.interval.lower)} to ${printed(of.interval.upper)}`;
  const [under, without] = [limits(otherPosterior), limits(oneStep)];
  const beside = [
    ...(under
      ? [`with scale ${scale === 1 ? 0.5 : 1} for the between-study standard deviation it would be ${under}`]
      : []),
    `by profile likelihood, without a prior, ${without ?? 'it would have no limits'}`,
  ];
  return {
    code: 'prior-decides-spread',
    message: `With ${informative} studies the interval leans on its priors (${priorsWith(scale)}): ${beside.join('; ')}.`,
  };
}

const printed = (value: number): string => String(Number(value.toPrecision(2)));

/** The posterior's interval for the next study, which is never narrower than what is quoted for all of them. */
function predictionOf(
  { studies, posterior: posteriorWith }: EffectLikelihood,
  scale: EffectDeviationScale,
  level: number,
  quoted: Interval | undefined,
): Interval | undefined {
  if (studies < 3) return undefined;
  const posterior = posteriorWith(scale);
  const tail = (1 - level) / 2;
  const at = (probability: number): number => Math.exp(posterior.quantile('next study', probability));
  return {
    lower: Math.min(at(tail), quoted?.lower ?? Number.POSITIVE_INFINITY),
    upper: Math.max(at(1 - tail), quoted?.upper ?? 0),
    level,
  };
}

function cautionsOf({ informative, smallestCell }: ComparisonFacts): Caution[] {
  if (smallestCell === Number.POSITIVE_INFINITY) {
    return [{ code: 'nothing-to-pool', message: 'There are no studies to pool.' }];
  }
  if (informative === 0) {
    return [
      {
        code: 'no-events',
        message: 'No study has both shoulders with and without the event: the arms cannot be told apart.',
      },
    ];
  }
  if (informative === 1) {
    return [
      {
        code: 'one-study',
        message: 'Only one study speaks to the comparison: this is its result, not a pool.',
      },
    ];
  }
  return informative < 5
    ? [
        {
          code: 'fewer-than-five-studies',
          message: `The variation between studies rests on ${informative} studies: it is all but unknown.`,
        },
      ]
    : [];
}

function whyInWords(
  because: QuotedComparisonReason,
  { informative, treatedEvents, comparatorEvents, smallestCell }: ComparisonFacts,
): string {
  const events = treatedEvents + comparatorEvents;
  const of = `${events} ${events === 1 ? 'event' : 'events'} in ${informative} ${informative === 1 ? 'study' : 'studies'} with both shoulders with and without it`;
  switch (because) {
    case 'meets-target':
      return `Every arm has at least ${comparisonBorders.cell} events and ${comparisonBorders.cell} shoulders without (${of}): DerSimonian-Laird, with nothing added to any cell, holds its coverage there.`;
    case 'few-events':
      return `The smallest cell of a study holds ${smallestCell} (${of}): DerSimonian-Laird does not hold its coverage there, so the counts themselves are compared, study by study.`;
    case 'few-studies':
      return `There are few studies (${of}): their counts alone say next to nothing about how far studies differ, and an interval from them is too short or too wide to use. A posterior is quoted, which leans on its priors.`;
    case 'one-study':
      return `One study speaks to the comparison (${of}): this is its own result.`;
    case 'no-one-step-model':
      return `Events are too few for DerSimonian-Laird (${of}), and no model of risk differences that lets studies differ was found to hold: the difference is quoted as if the studies shared one.`;
    case 'fixed':
      return `The protocol fixes DerSimonian-Laird (${of}).`;
    case 'no-limit':
      return `The model that lets studies differ gives no interval (${of}): the effect is quoted as if the studies shared one.`;
    case 'no-finite-estimate':
      return `All events lie in one kind of arm (${of}): the effect has a limit on one side only.`;
    case 'no-events':
      return 'No study has both shoulders with and without the event: the arms cannot be told apart.';
    case 'nothing-to-pool':
      return 'There are no studies.';
  }
}
