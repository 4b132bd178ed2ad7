import type { Estimate } from '../../effects/estimate.ts';
import type { Interval } from '../../numerics/interval.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import type { NaturalSummary, PooledMean, PooledResult } from '../../pooling/pooledResult.ts';
import type { PoolOptions } from '../../pooling/poolOptions.ts';
import { poolOptionNames } from '../../pooling/resolvePoolOptions.ts';
import { hasLinearRoute, poolsWithoutEach } from './poolsWithoutEach.ts';

/** What one omission takes away: a whole study with all its arms, or one estimate. */
export const omissionUnits = ['study', 'estimate'] as const;
export type OmissionUnit = (typeof omissionUnits)[number];

export interface LeaveOneOutOptions extends PoolOptions {
  /** Default `study`. */
  readonly unit?: OmissionUnit;
}

/** The pool without one study. Values are on the analysis scale unless `natural`. */
export interface WithoutStudy {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  /** How many estimates went with it, and how many stayed. */
  readonly estimatesOmitted: number;
  readonly estimates: number;
  readonly mean: PooledMean | undefined;
  readonly prediction: Interval | undefined;
  readonly natural: NaturalSummary | undefined;
  readonly heterogeneity:
    | { readonly q: number; readonly iSquared: number; readonly betweenStudyVariance: number }
    | undefined;
  /** Mean without the study less the mean with it. */
  readonly change: number | undefined;
}

/** The pool, and the pool without each study in turn. */
export interface LeaveOneOut {
  readonly kind: 'leave-one-out';
  readonly unit: OmissionUnit;
  readonly whole: PooledResult;
  readonly without: readonly WithoutStudy[];
}

/**
 * Would the answer stand without any one of its studies?
 *
 * Every study is left out in turn, with all its estimates, and the rest pooled again with the same options: the
 * between-study variance is estimated afresh each time. With DerSimonian-Laird (or a common effect) and an interval
 * that needs no likelihood, all refits together take time linear in the number of studies; the numbers are the same.
 *
 * @param estimates values and variances on one scale
 * @param options `unit` and the options of {@link poolEstimates}
 * @throws RangeError as {@link poolEstimates}, and for an unknown unit
 *
 * Source: Viechtbauer W, Cheung MW-L, Res Synth Methods 2010;1:112-125, section 3.
 *
 * @example
 * leaveOneOut(estimates, { betweenStudyVariance: 'restricted-maximum-likelihood' }).without[0]?.natural?.value
 */
export function leaveOneOut(estimates: readonly Estimate[], options: LeaveOneOutOptions = {}): LeaveOneOut {
  checkOptionNames(options, ['unit', ...poolOptionNames]);
  const { unit: wanted, ...pool } = options;
  const unit = checkChoice('unit', wanted ?? 'study', omissionUnits);
  const whole = poolEstimates(estimates, pool);
  const groups = omissions(estimates, unit);
  if (hasLinearRoute(whole) && groups.length === estimates.length && estimates.length > 1) {
    return { kind: 'leave-one-out', unit, whole, without: poolsWithoutEach(estimates, whole) };
  }
  const without = groups.map((omitted): WithoutStudy => {
    const gone = new Set(omitted);
    const first = estimates[omitted[0]!]!;
    const rest = poolEstimates(
      estimates.filter((_, position) => !gone.has(position)),
      { ...pool, scale: whole.scale },
    );
    const { heterogeneity } = rest;
    return {
      study: first.study,
      label: first.label,
      ...(unit === 'estimate' && first.arm !== undefined ? { arm: first.arm } : {}),
      estimatesOmitted: omitted.length,
      estimates: estimates.length - omitted.length,
      mean: rest.mean,
      prediction: rest.prediction,
      natural: rest.natural,
      heterogeneity: heterogeneity && {
        q: heterogeneity.q,
        iSquared: heterogeneity.iSquared,
        betweenStudyVariance: heterogeneity.betweenStudyVariance,
      },
      change: rest.mean && whole.mean && rest.mean.value - whole.mean.value,
    };
  });
  return { kind: 'leave-one-out', unit, whole, without };
}

/** Positions that go together, in the order in which their studies first appear. */
function omissions(estimates: readonly Estimate[], unit: OmissionUnit): readonly (readonly number[])[] {
  if (unit === 'estimate') return estimates.map((_, position) => [position]);
  const groups = new Map<string, number[]>();
  estimates.forEach(({ study }, position) => {
    const group = groups.get(study);
    if (group) group.push(position);
    else groups.set(study, [position]);
  });
  return [...groups.values()];
}
