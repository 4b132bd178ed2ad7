import { type AbsoluteEffect, absoluteEffect, type BaselineRisk } from '../../effects/absoluteEffect.ts';
import type { Estimate, LeftOut } from '../../effects/estimate.ts';
import { isEstimate } from '../../effects/isEstimate.ts';
import { oddsRatio, riskDifference, riskRatio, type TwoRates } from '../../effects/twoRates.ts';
import type { ZeroEvents } from '../../effects/zeroEvents.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { type PooledSite, pooledSites, siteNames } from '../../extraction/site.ts';
import type { Interval } from '../../numerics/interval.ts';
import { checkChoice } from '../../pooling/optionChecks.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import type { NaturalSummary, PooledResult } from '../../pooling/pooledResult.ts';
import type { PoolOptions } from '../../pooling/poolOptions.ts';
import { poolRates } from '../../pooling/poolRates.ts';
import { type QuotedComparison, quotedComparison } from '../../pooling/quoted/quotedComparison.ts';
import type { QuotedFix } from '../../pooling/quoted/quotedOptions.ts';
import { quotedRate } from '../../pooling/quoted/quotedRate.ts';
import { derSimonianLairdIntervals } from '../../pooling/quoted/rateMethods.ts';
import { countsByNode } from '../network/networkFromCounts.ts';

/** Measures by which two sites are compared. */
export type { BaselineRisk } from '../../effects/absoluteEffect.ts';

export const pairMeasures = ['odds-ratio', 'risk-ratio', 'risk-difference'] as const;
export type PairMeasure = (typeof pairMeasures)[number];

export interface PairOptions extends Omit<PoolOptions, 'scale' | 'leftOut'> {
  /** Default `odds-ratio`. */
  readonly measure?: PairMeasure;
  /** Default `leave-out`. */
  readonly zeroEvents?: ZeroEvents;
  /**
   * Which number is quoted: by the rule of {@link quotedComparison}, or DerSimonian-Laird because the protocol fixes it.
   * Without it the pooled effect stands as it is.
   */
  readonly quote?: QuotedFix;
  /** Further risks to say the effect at, beside the pooled and the median risk of the comparator arms. */
  readonly baselines?: readonly BaselineRisk[];
}

/** A study that treated patients at both sites and is not in the pooled effect, and why. */
export interface StudyNotInNumber extends TwoRates {
  readonly reason: string;
}

/** Two sites set against each other within studies: first less second. */
export interface SitePair {
  readonly treatment: PooledSite;
  readonly comparator: PooledSite;
  readonly name: string;
  /** Studies with both arms, with or without an estimate. */
  readonly studies: readonly TwoRates[];
  /** Of these, the studies the pooled effect rests on; empty where nothing could be pooled. */
  readonly inNumber: readonly TwoRates[];
  /** The others, each with the reason. */
  readonly notInNumber: readonly StudyNotInNumber[];
  readonly pool: PooledResult;
  /** The effect that is told, on the natural scale: the quoted one, or the pooled one where nothing is quoted. */
  readonly effect: NaturalSummary | undefined;
  /** Share of the weight of each study in the effect, 0 to 1, by study id. */
  readonly weights: Readonly<Record<string, number>>;
  /** Which number is quoted, of what, and why; undefined where nobody asked. */
  readonly quoted?: QuotedComparison;
  /** What the effect means at each baseline; empty when there is none. */
  readonly absolute: readonly AbsoluteEffect[];
  /** Baselines at which no effect can be said, and why. */
  readonly baselinesLeftOut: readonly string[];
  /** Id of the answer this pair is the number of; products print it beside the number. */
  readonly answer?: string;
}

export interface SitePairs {
  readonly kind: 'site-pairs';
  readonly measure: PairMeasure;
  /** All six pairs, proximal before distal, tenotomy last; a pair no study compares has an empty pool. */
  readonly pairs: readonly SitePair[];
}

const contrasts = {
  'odds-ratio': oddsRatio,
  'risk-ratio': riskRatio,
  'risk-difference': riskDifference,
} as const;
const scales = {
  'odds-ratio': 'log-odds-ratio',
  'risk-ratio': 'log-risk-ratio',
  'risk-difference': 'risk-difference',
} as const;

/**
 * What do studies that treated patients at two sites say of the one against the other?
 *
 * Each of the six pairs is pooled by itself with {@link poolEstimates} from the studies that hold both arms. A study of
 * three sites enters three pairs (they are not independent of each other; the network takes that into account). Arms of
 * one study at one site are counted together. The pooled effect is said per baseline risk: that of the comparator arms
 * pooled, their median, and any the caller names.
 *
 * @throws RangeError for an unknown option or a baseline outside 0 to 1
 * @see Cochrane Handbook, sections 10.3 and 15.4 (absolute effects).
 * @example
 * comparePairs(selection.arms, { measure: 'odds-ratio' }).pairs[5]?.pool.natural
 */
export function comparePairs(arms: readonly ArmEvents[], options: PairOptions = {}): SitePairs {
  const pairs = pooledSites.flatMap((treatment, i) =>
    pooledSites.slice(i + 1).map((comparator) => comparePair(arms, treatment, comparator, options)),
  );
  return { kind: 'site-pairs', measure: pairs[0]!.measure, pairs: pairs.map(({ pair }) => pair) };
}

/**
 * One pair of sites, either way round: the first set against the second, as {@link comparePairs} does it.
 *
 * @throws RangeError for equal sites, an unknown option or a baseline outside 0 to 1
 */
export function comparePair(
  arms: readonly ArmEvents[],
  treatment: PooledSite,
  comparator: PooledSite,
  options: PairOptions = {},
): { readonly measure: PairMeasure; readonly pair: SitePair } {
  const { measure: asked, zeroEvents = 'leave-out', baselines = [], quote, ...pool } = options;
  const measure = checkChoice('measure', asked ?? 'odds-ratio', pairMeasures);
  if (treatment === comparator)
    throw new RangeError(`a site cannot be compared with itself, received ${treatment} twice`);
  for (const { risk, source } of baselines)
    if (!(typeof risk === 'number' && risk > 0 && risk < 1))
      throw new RangeError(`baseline risk (${source}) must lie between 0 and 1, received ${risk}`);
  const studies: TwoRates[] = [];
  const comparatorArms: ArmEvents[] = [];
  for (const { first, nodes } of countsByNode(arms)) {
    const one = nodes.find((node) => node.treatment === treatment);
    const other = nodes.find((node) => node.treatment === comparator);
    if (one === undefined || other === undefined) continue;
    studies.push({
      study: first.study,
      label: first.label,
      treated: { events: one.events, total: one.total },
      comparator: { events: other.events, total: other.total },
      rows: [...one.arms, ...other.arms].map(({ row }) => row),
    });
    comparatorArms.push({ ...other.arms[0]!, events: other.events, total: other.total });
  }
  const estimates: Estimate[] = [];
  const leftOut: LeftOut[] = [];
  const pooledStudies: TwoRates[] = [];
  const notPooled: StudyNotInNumber[] = [];
  for (const study of studies) {
    const result = contrasts[measure](study, { zeroEvents });
    if (isEstimate(result)) {
      estimates.push(result);
      pooledStudies.push(study);
    } else {
      leftOut.push(result);
      notPooled.push({ ...study, reason: result.reason });
    }
  }
  const pooled = poolEstimates(estimates, { ...pool, scale: scales[measure], leftOut });
  const told = quote === undefined ? undefined : quotedPair(studies, measure, quote, zeroEvents, pool);
  const byRule = told !== undefined && told.quoted.because !== 'fixed';
  const effect = byRule ? told.effect : pooled.natural;
  const { inNumber, notInNumber } = byRule ? told : { inNumber: pooledStudies, notInNumber: notPooled };
  const variance = pooled.heterogeneity?.betweenStudyVariance ?? 0;
  const risk = byRule ? quotedRate(comparatorArms, { level: pooled.options.level }) : undefined;
  const weights =
    risk === undefined || effect === undefined
      ? pooled.estimates.map(({ weight }) => weight)
      : informationShares(inNumber, measure, effect, risk.rate ?? 0, variance);
  const { effects, without } = absoluteEffects(measure, { natural: effect }, [
    ...(risk === undefined
      ? comparatorBaselines(comparatorArms, comparator, measure, pooled)
      : quotedBaselines(comparator, measure, studies, inNumber, weights, variance, risk)),
    ...baselines,
  ]);
  return {
    measure,
    pair: {
      treatment,
      comparator,
      name: `${siteNames[treatment]} against ${siteNames[comparator].toLowerCase()}`,
      studies,
      inNumber,
      notInNumber,
      pool: pooled,
      effect,
      weights: Object.fromEntries(inNumber.map(({ study }, at) => [study, weights[at] ?? 0])),
      ...(told === undefined ? {} : { quoted: told.quoted }),
      absolute: effects,
      baselinesLeftOut: without,
    },
  };
}

/** The quoted effect and the studies it rests on: those that say anything of it. */
function quotedPair(
  studies: readonly TwoRates[],
  measure: PairMeasure,
  fixed: QuotedFix,
  zeroEvents: ZeroEvents,
  { level, interval }: Pick<PoolOptions, 'level' | 'interval'>,
) {
  const own = derSimonianLairdIntervals.find((each) => each === interval);
  const quoted = quotedComparison(
    studies.map(({ study, label, treated, comparator, rows = [] }) => ({
      study,
      label,
      treated,
      comparator,
      rows,
    })),
    {
      measure,
      fixed,
      ...(level === undefined ? {} : { level }),
      derSimonianLaird: { zeroEvents, ...(own === undefined ? {} : { interval: own }) },
    },
  );
  const says = ({ treated, comparator }: TwoRates): boolean => {
    const events = treated.events + comparator.events;
    return events > 0 && events < treated.total + comparator.total;
  };
  const estimated = quoted.effect !== undefined && quoted.interval !== undefined;
  const effect: NaturalSummary | undefined = estimated
    ? { value: quoted.effect!, interval: quoted.interval, prediction: quoted.prediction }
    : undefined;
  return {
    quoted,
    effect,
    inNumber: estimated ? studies.filter(says) : [],
    notInNumber: studies
      .filter((study) => !estimated || !says(study))
      .map(
        (study): StudyNotInNumber => ({
          ...study,
          reason: says(study)
            ? 'The studies together give no finite estimate.'
            : `${study.treated.events === 0 ? 'No shoulder of either arm' : 'Every shoulder of both arms'} had the event, which says nothing of the difference.`,
        }),
      ),
  };
}

/** Variance of a rate's logit, its log or itself from so many shoulders. */
const sampling = (measure: PairMeasure, total: number, risk: number): number =>
  measure === 'risk-ratio'
    ? 1 / (total * risk)
    : measure === 'odds-ratio'
      ? 1 / (total * risk * (1 - risk))
      : (risk * (1 - risk)) / total;

const shares = (information: readonly number[]): readonly number[] => {
  const sum = information.reduce((total, each) => total + each, 0);
  return information.map((each) => each / sum);
};

/** Share of each study in an effect found in one step: its information at the quoted risk r and effect. */
function informationShares(
  studies: readonly TwoRates[],
  measure: PairMeasure,
  effect: NaturalSummary,
  risk: number,
  variance: number,
): readonly number[] {
  const treated = riskUnder(measure, effect.value, risk);
  if (!(risk > 0 && risk < 1 && treated > 0 && treated < 1)) return studies.map(() => 1 / studies.length);
  return shares(
    studies.map(
      (study) =>
        1 /
        (variance +
          sampling(measure, study.treated.total, treated) +
          sampling(measure, study.comparator.total, risk)),
    ),
  );
}

/**
 * The risk of the comparator arms as it is quoted by itself, with its interval and what it shares with the effect.
 *
 * The covariance is that of weighted means whose weights are the information of each study at the quoted risk r and
 * effect: of the risk 1/(τ² + 1/(n₂ r (1 − r))), of the effect 1/(τ² + 1/(n₁ p (1 − p)) + 1/(n₂ r (1 − r))) on the odds scale
 * (without the factors 1 − p and 1 − r on the risk-ratio scale); they share the sampling error of the comparator arm.
 */
function quotedBaselines(
  riskOf: PooledSite,
  measure: PairMeasure,
  studies: readonly TwoRates[],
  inNumber: readonly TwoRates[],
  weights: readonly number[],
  variance: number,
  quoted: { readonly rate: number | undefined; readonly interval: Interval | undefined },
): readonly BaselineRisk[] {
  if (studies.length === 0) return [];
  const name = siteNames[riskOf];
  const { rate: risk = 0, interval } = quoted;
  const own = inNumber.map(({ comparator }) => sampling(measure, comparator.total, risk));
  const ofRisk = shares(own.map((each) => 1 / (variance + each)));
  const covariance =
    risk > 0 && risk < 1 ? -own.reduce((sum, each, at) => sum + ofRisk[at]! * weights[at]! * each, 0) : 0;
  const risks = studies.map(({ comparator: { events, total } }) => events / total).sort((a, b) => a - b);
  const middle = risks.length >> 1;
  const median = risks.length % 2 === 1 ? risks[middle]! : (risks[middle - 1]! + risks[middle]!) / 2;
  return [
    { risk, source: `${name} arms of these studies`, riskOf, covariance, ...(interval && { interval }) },
    { risk: median, source: `${name} arms of these studies, median`, riskOf },
  ];
}

const riskUnder = (measure: PairMeasure, effect: number, risk: number): number => {
  if (measure === 'risk-difference') return risk + effect;
  if (measure === 'risk-ratio') return risk * effect;
  const odds = (effect * risk) / (1 - risk);
  return odds / (1 + odds);
};

/**
 * The risk of the comparator arms, pooled on the logit scale with its interval, and as their median.
 *
 * These arms are in the effect too. Its covariance with their pooled risk is the sum over studies of both weights times
 * what the two share, the sampling error of the comparator arm, which enters the effect with a minus sign. What risk and
 * effect may share beyond sampling, from study to study, is not known and taken as nothing.
 */
function comparatorBaselines(
  arms: readonly ArmEvents[],
  riskOf: PooledSite,
  measure: PairMeasure,
  effect: PooledResult,
): readonly BaselineRisk[] {
  if (arms.length === 0) return [];
  const name = siteNames[riskOf];
  // Pooled as the effect is.
  const { model, betweenStudyVariance, interval, level } = effect.options;
  const { headline, twoStep } = poolRates(arms, {
    zeroEvents: { addToEachCell: 0.5 },
    model,
    betweenStudyVariance,
    interval,
    level,
  });
  const shared = { 'odds-ratio': oddsShare, 'risk-ratio': riskShare, 'risk-difference': differenceShare }[
    measure
  ];
  const covariance = -twoStep.estimates.reduce((sum, { study, weight, count, addedToEachCell }) => {
    const other = effect.estimates.find((each) => each.study === study);
    if (other === undefined || count === undefined) return sum;
    const events = count.events + addedToEachCell;
    return sum + weight * other.weight * shared(events, count.total + 2 * addedToEachCell);
  }, 0);
  const risks = arms.map(({ events, total }) => events / total).sort((a, b) => a - b);
  const middle = risks.length >> 1;
  const median = risks.length % 2 === 1 ? risks[middle]! : (risks[middle - 1]! + risks[middle]!) / 2;
  return [
    {
      risk: headline?.rate ?? 0,
      source: `${name} arms of these studies, pooled (0.5 added to each cell of arms without events)`,
      riskOf,
      covariance,
      ...(headline && { interval: headline.interval }),
    },
    { risk: median, source: `${name} arms of these studies, median`, riskOf },
  ];
}

/** Covariance of a rate's logit with its log odds, its log and itself: variance of the events times both slopes. */
const oddsShare = (events: number, total: number): number => 1 / events + 1 / (total - events);
const riskShare = (events: number): number => 1 / events;
const differenceShare = (_: number, total: number): number => 1 / total;

/** A relative effect said at each baseline that allows it. */
export function absoluteEffects(
  measure: PairMeasure,
  pooled: { readonly natural: Pick<NonNullable<PooledResult['natural']>, 'value' | 'interval'> | undefined },
  baselines: readonly BaselineRisk[],
): { readonly effects: readonly AbsoluteEffect[]; readonly without: readonly string[] } {
  const { natural } = pooled;
  if (natural?.interval === undefined) return { effects: [], without: [] };
  // A Wald interval of a risk difference may run past what a difference can be.
  const held = (value: number): number =>
    measure === 'risk-difference' ? Math.min(1, Math.max(-1, value)) : value;
  const relative = {
    measure,
    value: held(natural.value),
    lower: held(natural.interval.lower),
    upper: held(natural.interval.upper),
  };
  if (measure !== 'risk-difference' && !(relative.lower > 0)) return { effects: [], without: [] };
  const effects: AbsoluteEffect[] = [];
  const without: string[] = [];
  const { level } = natural.interval;
  for (const { risk, source, ...known } of baselines) {
    if (risk > 0 && risk < 1) effects.push(absoluteEffect(relative, risk, source, { ...known, level }));
    else
      without.push(
        `${source}: ${risk === 0 ? 'no events' : 'nothing but events'}, so the effect cannot be said there`,
      );
  }
  return { effects, without };
}
