import type { PooledSite } from '../extraction/site.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import { jointDifference, type Limits, type Spread } from './jointDifference.ts';

export type { Limits } from './jointDifference.ts';

/** A value with its limits. */
export interface ValueWithLimits extends Limits {
  readonly value: number;
}

export const relativeMeasures = ['odds-ratio', 'risk-ratio', 'risk-difference'] as const;
export type RelativeMeasure = (typeof relativeMeasures)[number];

/** A relative effect with its limits, on the natural scale: 0.29 (0.19 to 0.45) for an odds ratio. */
export interface RelativeEffect {
  readonly measure: RelativeMeasure;
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** A risk to say an effect at, from 0 to 1: whose it is, where it comes from, and how well it is known. */
export interface BaselineRisk {
  readonly risk: number;
  /** Where the risk was taken from, as printed under a table. */
  readonly source: string;
  /** The site whose risk it is; left out for a risk that belongs to none. */
  readonly riskOf?: PooledSite;
  /** Left out where the risk is taken as known. */
  readonly interval?: Interval;
  /**
   * Covariance of the risk on the logit scale with the effect on its analysis scale; 0 without it. Arms that gave the
   * risk are often in the effect too, and then it is negative: what raises the risk lowers the effect.
   */
  readonly covariance?: number;
}

/** A risk at a baseline, and what the treatment makes of it. Risks are proportions from 0 to 1. */
export interface AbsoluteEffect {
  readonly baselineRisk: number;
  /** Where the baseline risk was taken from, as printed under a table. */
  readonly baselineSource: string;
  /** The site whose risk it is; undefined for a risk that belongs to none. */
  readonly riskOf: PooledSite | undefined;
  /** Of the baseline risk; without width where it was taken as known. */
  readonly baselineInterval: Interval;
  /** Whether the baseline risk was taken as known, so that the limits below hold the uncertainty of the effect only. */
  readonly baselineKnown: boolean;
  /** Of the baseline's logit with the effect; 0 where the two are independent. */
  readonly baselineCovariance: number;
  readonly relative: RelativeEffect;
  readonly risk: ValueWithLimits;
  /** Treated minus baseline: negative means fewer events. Limits from the joint distribution of both. */
  readonly difference: ValueWithLimits;
  /** The same with the limits of the effect only, as if the baseline risk were known: what a ratio means there. */
  readonly atThatRisk: { readonly risk: ValueWithLimits; readonly difference: ValueWithLimits };
  /** How many must be treated for one more, or one fewer, event. */
  readonly numberNeeded: NumberNeeded;
}

/** Which way a number needed to treat points: to one fewer event, or to one more. */
export type NumberNeededDirection = 'one fewer event' | 'one more event';

/**
 * A number needed to treat. Where the interval contains no effect there is no interval of whole numbers: the limits
 * run from one number through infinity to another in the opposite direction.
 */
export type NumberNeeded =
  | {
      readonly kind: 'one direction';
      readonly direction: NumberNeededDirection;
      /** Rounded up, as is conventional; undefined when the estimate is no difference. */
      readonly value: number;
      readonly from: number;
      readonly to: number;
    }
  | {
      readonly kind: 'both directions';
      readonly direction: NumberNeededDirection | undefined;
      readonly value: number | undefined;
      /** Best limit for one fewer event, then infinity, then best limit for one more; undefined where a limit is exactly no effect. */
      readonly oneFewer: number | undefined;
      readonly oneMore: number | undefined;
    };

/**
 * What does a relative effect mean for people at a stated risk?
 *
 * r₁ = r₂·RR for a risk ratio (not above 1), through the odds for an odds ratio, r₁ = o/(1+o) with o = OR·r₂/(1−r₂),
 * and r₂ + RD for a risk difference (kept within 0 to 1). The number needed to treat is 1/|r₁−r₂|, rounded up.
 *
 * Where the baseline risk has an interval, r₂ and the effect are taken as jointly normal (r₂ on the logit scale, a ratio
 * on the log scale, each side with the standard error that its limit gives) and the limits of r₁ and r₁−r₂ are the outer
 * quantiles of their joint distribution ({@link jointDifference}): a risk of 1 in 41 is not known to be 24 in 1,000. The
 * values stay those of the two estimates, so that the risks printed are the difference apart. Without an interval the
 * risk is taken as known and the limits are those of the effect, carried over.
 *
 * @param relative with the limits at `options.level`
 * @param baselineRisk strictly between 0 and 1
 * @param options whose risk it is, its interval, its covariance with the effect; `level` of the effect's limits, default 0.95
 * @throws RangeError for a baseline outside that range, an interval that does not hold it, limits out of order, or a
 *   ratio not above 0
 * @see Cochrane Handbook 5.1, sections 12.5.4.1 to 12.5.4.3, and Handbook 6, section 15.4. Altman DG. BMJ
 *   1998;317:1309-1312 (intervals that cross no effect). Newcombe RG, Bender R. Evid Based Med 2014;19:6-8 (the interval
 *   of an absolute difference needs the uncertainty of the baseline risk too).
 * @example
 * absoluteEffect({ measure: 'odds-ratio', value: 0.29, lower: 0.19, upper: 0.45 }, 109 / 401, 'tenotomy arms, pooled')
 *   .difference.value * 1000 // -174.1
 */
export function absoluteEffect(
  relative: RelativeEffect,
  baselineRisk: number,
  baselineSource: string,
  options: Pick<BaselineRisk, 'riskOf' | 'interval' | 'covariance'> & { readonly level?: number } = {},
): AbsoluteEffect {
  if (!relativeMeasures.includes(relative.measure)) {
    throw new RangeError(
      `measure must be one of ${relativeMeasures.join(', ')}; received ${relative.measure}`,
    );
  }
  if (!(typeof baselineRisk === 'number' && baselineRisk > 0 && baselineRisk < 1)) {
    throw new RangeError(`baselineRisk must lie between 0 and 1, received ${baselineRisk}`);
  }
  for (const name of ['value', 'lower', 'upper'] as const) {
    const each = relative[name];
    const bad = relative.measure === 'risk-difference' ? !(each >= -1 && each <= 1) : !(each > 0);
    if (bad || !Number.isFinite(each)) {
      const bound = relative.measure === 'risk-difference' ? 'from -1 to 1' : 'above 0';
      throw new RangeError(`${name} of a ${relative.measure} must be ${bound}, received ${each}`);
    }
  }
  if (!(relative.lower <= relative.value && relative.value <= relative.upper)) {
    throw new RangeError(
      `lower, value and upper must be in order, received ${relative.lower}, ${relative.value}, ${relative.upper}`,
    );
  }
  const riskAt = (effect: number): number => {
    if (relative.measure === 'risk-difference') return Math.min(1, Math.max(0, baselineRisk + effect));
    if (relative.measure === 'risk-ratio') return Math.min(1, baselineRisk * effect);
    const odds = (effect * baselineRisk) / (1 - baselineRisk);
    return odds / (1 + odds);
  };
  const through = <T>(change: (effect: number) => T) => ({
    value: change(relative.value),
    lower: change(relative.lower),
    upper: change(relative.upper),
  });
  const atThatRisk = {
    risk: through(riskAt),
    difference: through((effect) => riskAt(effect) - baselineRisk),
  };
  const level = options.level ?? 0.95;
  const { interval, covariance = 0 } = options;
  const baselineSpread = interval && logitSpread(baselineRisk, interval);
  const baselineKnown =
    baselineSpread === undefined || (baselineSpread.below === 0 && baselineSpread.above === 0);
  const [low, middle, high] = [relative.lower, relative.value, relative.upper].map((each) =>
    onScale(relative.measure, each),
  ) as [number, number, number];
  const effectSpread = { below: (middle - low) / zOf(level), above: (high - middle) / zOf(level) };
  const joint = baselineKnown
    ? undefined
    : jointDifference({
        measure: relative.measure,
        effect: middle,
        effectSpread,
        baselineLogit: logit(baselineRisk),
        baselineSpread: baselineSpread!,
        correlation: correlationOf(covariance, effectSpread, baselineSpread!),
        level,
      });
  const around = ({ value }: ValueWithLimits, limits: Limits): ValueWithLimits => ({
    value,
    lower: Math.min(value, limits.lower),
    upper: Math.max(value, limits.upper),
  });
  const risk = joint === undefined ? atThatRisk.risk : around(atThatRisk.risk, joint.risk);
  const difference =
    joint === undefined
      ? atThatRisk.difference
      : around(
          atThatRisk.difference,
          // A risk difference is the difference itself, as far as the risks leave room for it.
          joint.difference ?? {
            lower: Math.max(-interval!.upper, relative.lower),
            upper: Math.min(1 - interval!.lower, relative.upper),
          },
        );
  return {
    baselineRisk,
    baselineSource,
    riskOf: options.riskOf,
    baselineInterval: interval ?? { lower: baselineRisk, upper: baselineRisk, level },
    baselineKnown,
    baselineCovariance: covariance,
    relative,
    risk,
    difference,
    atThatRisk,
    numberNeeded: numberNeeded(difference),
  };
}

/**
 * Can an answer say that there are not fewer events by what matters?
 *
 * Where the baseline risk may lie below the smallest difference that matters, so many fewer events cannot happen, whatever
 * the treatment does: "not fewer" would then be true by construction and says nothing of the treatment. Not more by what
 * matters can always be said.
 *
 * @param baselineInterval of the risk the difference is said at; without width for a risk taken as known
 * @param materialDifference as a proportion, like the interval
 * @example
 * canRuleOutFewer({ lower: 0.003, upper: 0.15, level: 0.95 }, 0.05) // false
 */
export const canRuleOutFewer = (
  baselineInterval: { readonly lower: number },
  materialDifference: number,
): boolean => baselineInterval.lower >= materialDifference;

const logit = (risk: number): number => Math.log(risk / (1 - risk));

const zOf = (level: number): number => -normalQuantile((1 - level) / 2);

const onScale = (measure: RelativeMeasure, value: number): number =>
  measure === 'risk-difference' ? value : Math.log(value);

/** Of both, kept within −1 to 1; of a value without width none. */
function correlationOf(covariance: number, one: Spread, other: Spread): number {
  const width = ({ below, above }: Spread): number => (below + above) / 2;
  const product = width(one) * width(other);
  return product === 0 ? 0 : Math.min(1, Math.max(-1, covariance / product));
}

/** Standard errors on the logit scale from the limits of a risk; both from the one limit that has a logit where the other has none. */
function logitSpread(risk: number, { lower, upper, level }: Interval): Spread {
  if (!(lower >= 0 && lower <= risk && risk <= upper && upper <= 1))
    throw new RangeError(
      `interval of the baseline risk must lie within 0 to 1 and hold ${risk}, received ${lower} to ${upper}`,
    );
  if (lower === 0 && upper === 1)
    throw new RangeError(
      `interval of the baseline risk must not run from 0 to 1, received ${lower} to ${upper}`,
    );
  const below = lower > 0 ? (logit(risk) - logit(lower)) / zOf(level) : undefined;
  const above = upper < 1 ? (logit(upper) - logit(risk)) / zOf(level) : undefined;
  return { below: below ?? above!, above: above ?? below! };
}

function numberNeeded(difference: ValueWithLimits): NumberNeeded {
  const needed = (each: number): number | undefined =>
    each === 0 ? undefined : roundedUp(1 / Math.abs(each));
  const direction: NumberNeededDirection | undefined =
    difference.value < 0 ? 'one fewer event' : difference.value > 0 ? 'one more event' : undefined;
  const value = needed(difference.value);
  if (direction !== undefined && value !== undefined && difference.lower * difference.upper > 0) {
    const strongest = difference.value < 0 ? difference.lower : difference.upper;
    const weakest = difference.value < 0 ? difference.upper : difference.lower;
    return { kind: 'one direction', direction, value, from: needed(strongest)!, to: needed(weakest)! };
  }
  return {
    kind: 'both directions',
    direction,
    value,
    oneFewer: difference.lower < 0 ? needed(difference.lower) : undefined,
    oneMore: difference.upper > 0 ? needed(difference.upper) : undefined,
  };
}

/** Up to the next whole number, forgiving the rounding that makes 1/0.25 come out as 4.000000000000001. */
function roundedUp(value: number): number {
  const nearest = Math.round(value);
  return Math.abs(value - nearest) < 1e-9 * nearest ? nearest : Math.ceil(value);
}
