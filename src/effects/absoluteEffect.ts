export const relativeMeasures = ['odds-ratio', 'risk-ratio', 'risk-difference'] as const;
export type RelativeMeasure = (typeof relativeMeasures)[number];

/** A relative effect with its limits, on the natural scale: 0.29 (0.19 to 0.45) for an odds ratio. */
export interface RelativeEffect {
  readonly measure: RelativeMeasure;
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** A risk at a baseline, and what the treatment makes of it. Risks are proportions from 0 to 1. */
export interface AbsoluteEffect {
  readonly baselineRisk: number;
  /** Where the baseline risk was taken from, as printed under a table. */
  readonly baselineSource: string;
  readonly relative: RelativeEffect;
  readonly risk: { readonly value: number; readonly lower: number; readonly upper: number };
  /** Treated minus baseline: negative means fewer events. */
  readonly difference: { readonly value: number; readonly lower: number; readonly upper: number };
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
 * @param baselineRisk strictly between 0 and 1
 * @throws RangeError for a baseline outside that range, limits out of order, or a ratio not above 0
 * @see Cochrane Handbook 5.1, sections 12.5.4.1 to 12.5.4.3. Altman DG. BMJ 1998;317:1309-1312 (intervals that cross no
 *   effect).
 * @example
 * absoluteEffect({ measure: 'odds-ratio', value: 0.29, lower: 0.19, upper: 0.45 }, 109 / 401, 'tenotomy arms, pooled')
 *   .difference.value * 1000 // -174.1
 */
export function absoluteEffect(
  relative: RelativeEffect,
  baselineRisk: number,
  baselineSource: string,
): AbsoluteEffect {
  if (!relativeMeasures.includes(relative.measure)) {
    throw new RangeError(
      `measure must be one of ${relativeMeasures.join(', ')}; received ${relative.measure}`,
    );
  }
  if (!(baselineRisk > 0 && baselineRisk < 1)) {
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
  const risk = through(riskAt);
  const difference = through((effect) => riskAt(effect) - baselineRisk);
  return { baselineRisk, baselineSource, relative, risk, difference, numberNeeded: numberNeeded(difference) };
}

function numberNeeded(difference: { value: number; lower: number; upper: number }): NumberNeeded {
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
