import type { Estimate } from '../../effects/estimate.ts';
import { chiSquareUpperTail, normalQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';
import { checkLevel } from '../../pooling/optionChecks.ts';

/** Estimates of one subgroup, named. */
export interface Subgroup {
  readonly name: string;
  readonly estimates: readonly Estimate[];
}

/** One subgroup's mean on the analysis scale. */
export interface SubgroupMean {
  readonly name: string;
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  readonly betweenStudyVariance: number;
}

/** A test of whether the subgroups' means differ. */
export interface SubgroupTest {
  readonly groups: readonly SubgroupMean[];
  readonly q: number;
  readonly degreesOfFreedom: number;
  /** Undefined with fewer than two subgroups. */
  readonly pValue: number | undefined;
}

export interface SubgroupDifferences {
  /** No between-study variance at all. */
  readonly commonEffect: SubgroupTest;
  /** Each subgroup with a between-study variance of its own. */
  readonly separateVariances: SubgroupTest;
  /** One between-study variance shared by all, `(ΣQ - Σdf) / ΣC`, at least 0. */
  readonly commonVariance: SubgroupTest;
  /** Subgroups without an estimate. */
  readonly empty: readonly string[];
}

/**
 * Do the means of subgroups differ by more than chance?
 *
 * Each mean is an inverse-variance mean with DerSimonian-Laird between-study variance, its own or one pooled over the
 * subgroups; `Q_between = Σ (m_g - m)² / se_g²` around their weighted mean, chi-square with one degree of freedom fewer
 * than subgroups. Separate variances suit subgroups that differ in how much their studies differ; a common one is
 * steadier when subgroups are small.
 *
 * @throws RangeError for estimates that cannot be pooled or a level outside 0 to 1
 * @see Borenstein M, Hedges LV, Higgins JPT, Rothstein HR. Introduction to Meta-Analysis, 2009, chapter 19.
 * @example
 * subgroupDifferences([{ name: 'A', estimates: a }, { name: 'B', estimates: b }]).commonVariance.pValue
 */
export function subgroupDifferences(
  subgroups: readonly Subgroup[],
  options: { readonly level?: number } = {},
): SubgroupDifferences {
  const level = checkLevel(options.level ?? 0.95);
  checkEstimates(
    subgroups.flatMap(({ estimates }) => estimates),
    undefined,
  );
  const filled = subgroups.filter(({ estimates }) => estimates.length > 0);
  const moments = filled.map(({ estimates }) => momentsOf(estimates));
  const sum = (value: (each: (typeof moments)[number]) => number): number =>
    moments.reduce((total, each) => total + value(each), 0);
  const scale = sum(({ c }) => c);
  const pooled =
    scale > 0
      ? Math.max(0, (sum(({ q }) => q) - sum(({ degreesOfFreedom }) => degreesOfFreedom)) / scale)
      : 0;
  const z = -normalQuantile((1 - level) / 2);
  const test = (varianceOf: (at: number) => number): SubgroupTest => {
    const groups = filled.map(({ name, estimates }, at): SubgroupMean => {
      const betweenStudyVariance = varianceOf(at);
      const { mean, weight } = meanOf(estimates, betweenStudyVariance);
      const standardError = Math.sqrt(1 / weight);
      const margin = z * standardError;
      return {
        name,
        value: mean,
        standardError,
        betweenStudyVariance,
        interval: { lower: mean - margin, upper: mean + margin, level },
      };
    });
    const weights = groups.map(({ standardError }) => 1 / standardError ** 2);
    const total = weights.reduce((a, b) => a + b, 0);
    const centre = groups.reduce((a, { value }, i) => a + weights[i]! * value, 0) / total;
    const q = groups.reduce((a, { value }, i) => a + weights[i]! * (value - centre) ** 2, 0);
    const degreesOfFreedom = Math.max(0, groups.length - 1);
    return {
      groups,
      q: groups.length > 0 ? q : 0,
      degreesOfFreedom,
      pValue: degreesOfFreedom > 0 ? chiSquareUpperTail(q, degreesOfFreedom) : undefined,
    };
  };
  return {
    commonEffect: test(() => 0),
    separateVariances: test((at) => moments[at]!.own),
    commonVariance: test(() => pooled),
    empty: subgroups.filter(({ estimates }) => estimates.length === 0).map(({ name }) => name),
  };
}

function meanOf(estimates: readonly Estimate[], betweenStudyVariance: number) {
  let weight = 0;
  let distance = 0;
  const [first] = estimates;
  for (const { value, variance } of estimates) {
    weight += 1 / (variance + betweenStudyVariance);
    distance += (value - first!.value) / (variance + betweenStudyVariance);
  }
  return { mean: first!.value + distance / weight, weight };
}

function momentsOf(estimates: readonly Estimate[]) {
  const { mean, weight } = meanOf(estimates, 0);
  let q = 0;
  let squares = 0;
  for (const { value, variance } of estimates) {
    q += (value - mean) ** 2 / variance;
    squares += 1 / variance ** 2;
  }
  const degreesOfFreedom = estimates.length - 1;
  const c = degreesOfFreedom === 0 ? 0 : weight - squares / weight;
  return { q, degreesOfFreedom, c, own: c > 0 ? Math.max(0, (q - degreesOfFreedom) / c) : 0 };
}
