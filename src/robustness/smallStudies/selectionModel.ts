import { rateScales } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { chiSquareQuantile, chiSquareUpperTail } from '../../numerics/distributions.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { maximiseSelection, type SelectionMaximum } from './maximiseSelection.ts';
import { type SelectionData, selectionData } from './selectionLikelihood.ts';
import {
  answerBase,
  refusal,
  refuse,
  type SmallStudyBase,
  type SmallStudyOptions,
  type SmallStudyRefusal,
  studiesAmong,
} from './smallStudyAnswer.ts';

/** Which sign of the value small p-values belong to. */
export const favouredDirections = ['positive', 'negative'] as const;
export type FavouredDirection = (typeof favouredDirections)[number];

export interface SelectionModelOptions extends SmallStudyOptions {
  /** One-sided p-values at which the chance of being published may step, rising; default 0.025. */
  readonly steps?: readonly number[];
  /** Results of this sign are taken to be favoured. There is no default: it is a judgement on the field. */
  readonly favoured: FavouredDirection;
}

/** A maximum-likelihood value with its profile limits; a limit the likelihood does not give is undefined. */
export interface ProfiledValue {
  readonly value: number;
  readonly lower: number | undefined;
  readonly upper: number | undefined;
  readonly level: number;
}

export interface SelectionModel extends SmallStudyBase {
  readonly kind: 'selection-model';
  readonly steps: readonly number[];
  readonly favoured: FavouredDirection;
  /** Studies in each interval of p, smallest p first. */
  readonly counts: readonly number[];
  /** Mean and between-study variance allowing for selection, and without. */
  readonly mean: ProfiledValue;
  readonly betweenStudyVariance: ProfiledValue;
  readonly unselected: { readonly mean: number; readonly betweenStudyVariance: number };
  /** Chance of being published relative to the first interval, for the second interval on. */
  readonly relativeChances: readonly ProfiledValue[];
  readonly logLikelihood: number;
  /** Likelihood-ratio test of no selection. */
  readonly test: { readonly statistic: number; readonly degreesOfFreedom: number; readonly pValue: number };
}

/**
 * What would the mean be if results were published with a chance that steps with their p-value?
 *
 * Random effects with normal sampling errors, each study weighted by the chance of its interval of one-sided p; mean,
 * between-study variance and chances relative to the first interval by maximum likelihood, intervals where twice the
 * profile log-likelihood falls by the chi-square quantile.
 *
 * @throws RangeError for an unknown option, for steps that do not rise between 0 and 1, and as `poolEstimates`
 *
 * Source: Vevea JL, Hedges LV, Psychometrika 1995;60:419-435; Hedges LV, Vevea JL, J Educ Behav Stat 1996;21:299-332.
 *
 * @example
 * selectionModel(oddsRatios, { favoured: 'negative', steps: [0.025, 0.5] })
 */
export function selectionModel(
  estimates: readonly Estimate[],
  options: SelectionModelOptions,
): SelectionModel | SmallStudyRefusal {
  checkOptionNames(options, ['force', 'level', 'steps', 'favoured']);
  const favoured = checkChoice('favoured', options.favoured, favouredDirections);
  const level = checkLevel(options.level ?? 0.95);
  const steps = options.steps ?? [0.025];
  if (steps.length === 0 || !steps.every((p, i) => p > (steps[i - 1] ?? 0) && p < 1)) {
    throw new RangeError(`steps must rise between 0 and 1, received [${steps.join(', ')}]`);
  }
  const method = 'step-function selection model';
  const studies = studiesAmong(estimates);
  if ((rateScales as readonly string[]).includes(estimates[0]?.scale ?? '')) {
    return refusal(method, studies, 'a rate on its own has no p-value that could be favoured');
  }
  const refused = refuse(method, estimates, options, steps.length + 3);
  if (refused) return refused;
  const sign = favoured === 'positive' ? 1 : -1;
  const data = selectionData(
    estimates.map(({ value }) => sign * value),
    estimates.map(({ variance }) => variance),
    steps,
  );
  const empty = data.counts.indexOf(0);
  if (empty >= 0) {
    return refusal(method, studies, `no study has a p-value in interval ${empty + 1} of ${data.intervals}`);
  }
  const size = data.intervals + 1;
  const spread = scatterOf(data);
  const starts = [0.1, 1].flatMap((share) =>
    [0, -1.5].map((log) => [spread.mean, share * spread.deviation, ...steps.map(() => log)]),
  );
  const none = new Array<boolean>(size).fill(false);
  const whole = maximiseSelection(data, starts, none);
  const without = maximiseSelection(
    data,
    [0.1, 1].map((share) => [spread.mean, share * spread.deviation, ...steps.map(() => 0)]),
    none.map((_, i) => i > 1),
  );
  if (!whole || !without)
    return refusal(method, studies, 'the likelihood has no maximum that could be found');
  const drop = chiSquareQuantile(level, 1) / 2;
  const profile = (parameter: number): Limits =>
    profileLimits(data, whole, parameter, drop, spread.deviation);
  const mean = profile(0);
  const deviation = profile(1);
  const square = (x: number | undefined): number | undefined => (x === undefined ? undefined : x * x);
  const statistic = Math.max(0, 2 * (whole.value - without.value));
  const flip = sign === 1 ? mean : { lower: negated(mean.upper), upper: negated(mean.lower) };
  const thin = data.counts.some((count) => count < 4);
  return {
    kind: 'selection-model',
    ...answerBase(method, 'Vevea JL, Hedges LV. Psychometrika 1995;60:419-435', estimates, [
      'Says what the mean would be if publication hung on the p-value in just this way; the data hardly show whether it did.',
      ...(thin ? ['An interval of p holds fewer than four studies: its relative chance is a guess.'] : []),
    ]),
    steps,
    favoured,
    counts: data.counts,
    mean: { value: sign * whole.at[0]! + 0, ...flip, level },
    betweenStudyVariance: {
      value: whole.at[1]! ** 2,
      lower: square(deviation.lower),
      upper: square(deviation.upper),
      level,
    },
    unselected: { mean: sign * without.at[0]! + 0, betweenStudyVariance: without.at[1]! ** 2 },
    relativeChances: steps.map((_, j) => {
      const limits = profile(j + 2);
      return {
        value: Math.exp(whole.at[j + 2]!),
        lower: limits.lower === undefined ? undefined : Math.exp(limits.lower),
        upper: limits.upper === undefined ? undefined : Math.exp(limits.upper),
        level,
      };
    }),
    logLikelihood: whole.value,
    test: {
      statistic,
      degreesOfFreedom: steps.length,
      pValue: chiSquareUpperTail(statistic, steps.length),
    },
  };
}

const negated = (x: number | undefined): number | undefined => (x === undefined ? undefined : -x + 0);

function scatterOf({ values, variances }: SelectionData): { mean: number; deviation: number } {
  let mean = 0;
  for (const value of values) mean += value / values.length;
  let square = 0;
  let least = Infinity;
  for (const [i, value] of values.entries()) {
    square += (value - mean) ** 2 / values.length;
    least = Math.min(least, variances[i]!);
  }
  return { mean, deviation: Math.sqrt(Math.max(square, least)) };
}

interface Limits {
  readonly lower: number | undefined;
  readonly upper: number | undefined;
}

/** Where the profile of one parameter has fallen by `drop`, on both sides of the maximum. */
function profileLimits(
  data: SelectionData,
  whole: SelectionMaximum,
  parameter: number,
  drop: number,
  scale: number,
): Limits {
  const held = Array.from(whole.at, (_, i) => i === parameter);
  const centre = parameter === 1 ? Math.abs(whole.at[1]!) : whole.at[parameter]!;
  const top = Float64Array.from(whole.at);
  top[parameter] = centre;
  const side = (direction: 1 | -1): number | undefined => {
    let warm: Float64Array = top;
    const fall = (x: number): number => {
      // A between-study deviation that starts at nought would stay there: its slope is nought by symmetry.
      const starts = [warm, top].map((start) => {
        const from = Float64Array.from(start);
        from[parameter] = x;
        if (parameter !== 1 && Math.abs(from[1]!) < 0.05 * scale) from[1] = 0.05 * scale;
        return from;
      });
      const found = maximiseSelection(data, starts, held);
      if (!found) return Number.NaN;
      warm = found.at;
      return whole.value - found.value - drop;
    };
    // No chance is told apart beyond a factor of a million, no mean beyond a thousand times the spread.
    const furthest = parameter > 1 ? 14 : 1000 * scale;
    let step = parameter > 1 ? 0.25 : 0.1 * scale;
    let inside = centre;
    for (;;) {
      let outside = centre + direction * step;
      const floor = parameter === 1 && outside <= 0;
      if (floor) outside = 0;
      const value = fall(outside);
      if (value > 0) {
        const root = findRoot(fall, Math.min(inside, outside), Math.max(inside, outside));
        return root.converged ? root.root : undefined;
      }
      if (Number.isNaN(value)) return undefined;
      if (floor) return 0;
      inside = outside;
      step *= 1.6;
      if (step > furthest) return undefined;
    }
  };
  return { lower: side(-1), upper: side(1) };
}
