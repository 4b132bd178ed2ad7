import type { Estimate } from '../../effects/estimate.ts';
import { chiSquareUpperTail, normalQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';
import { checkOptionNames } from '../../pooling/optionChecks.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import type { PoolOptions, ResolvedPoolOptions } from '../../pooling/poolOptions.ts';
import { resolvePoolOptions } from '../../pooling/resolvePoolOptions.ts';
import { regressionSample } from '../moderators/regressionSample.ts';
import { residualVarianceEstimators } from '../moderators/residualVariance.ts';
import { weightedRegression } from '../moderators/weightedRegression.ts';

/** Estimates of one subgroup, named. */
export interface Subgroup {
  readonly name: string;
  readonly estimates: readonly Estimate[];
}

/** One subgroup's mean on the analysis scale. */
export interface SubgroupMean {
  readonly name: string;
  readonly value: number;
  /** `1 / √Σw`, by which the test weighs the subgroup. */
  readonly standardError: number;
  /** By the interval asked for; Wald where all subgroups share a variance. */
  readonly interval: Interval;
  /** Undefined where one estimate (or one in each subgroup) cannot tell. */
  readonly betweenStudyVariance: number | undefined;
}

/** How each subgroup is pooled; the defaults are those of {@link poolEstimates}. */
export type SubgroupOptions = Pick<PoolOptions, 'model' | 'betweenStudyVariance' | 'interval' | 'level'>;

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
  /** One between-study variance shared by all: what the estimator finds within subgroups. */
  readonly commonVariance: SubgroupTest;
  readonly options: Pick<ResolvedPoolOptions, 'model' | 'betweenStudyVariance' | 'interval' | 'level'>;
  /** Subgroups without an estimate. */
  readonly empty: readonly string[];
}

/**
 * Do the means of subgroups differ by more than chance?
 *
 * Each mean is an inverse-variance mean with a between-study variance by the estimator asked for, its own or one for all
 * (the estimator's form for a regression on the subgroups; DerSimonian-Laird's is `(ΣQ - Σdf) / ΣC`). `Q_between =
 * Σ (m_g - m)² / se_g²` around their weighted mean, chi-square with one degree of freedom fewer than subgroups. Separate
 * variances suit subgroups that differ in how much their studies differ; a common one is steadier when subgroups are
 * small. Under a common-effect model no test has a variance between studies.
 *
 * @param options model, estimator, interval and level of the pools that are compared
 * @throws RangeError for estimates that cannot be pooled or an unknown option
 * @see Borenstein M, Hedges LV, Higgins JPT, Rothstein HR. Introduction to Meta-Analysis, 2009, chapter 19.
 * @example
 * subgroupDifferences([{ name: 'A', estimates: a }, { name: 'B', estimates: b }]).commonVariance.pValue
 */
export function subgroupDifferences(
  subgroups: readonly Subgroup[],
  options: SubgroupOptions = {},
): SubgroupDifferences {
  checkOptionNames(options, ['model', 'betweenStudyVariance', 'interval', 'level']);
  const { model, betweenStudyVariance, interval, level } = resolvePoolOptions(options);
  checkEstimates(
    subgroups.flatMap(({ estimates }) => estimates),
    undefined,
  );
  const filled = subgroups.filter(({ estimates }) => estimates.length > 0);
  const commonEffect = testOf(
    filled.map(({ name, estimates }) => pooledMean(name, estimates, { model: 'common-effect', level })),
  );
  const own = { model, betweenStudyVariance, interval, level };
  return {
    commonEffect,
    separateVariances:
      model === 'common-effect'
        ? commonEffect
        : testOf(filled.map(({ name, estimates }) => pooledMean(name, estimates, own))),
    commonVariance:
      model === 'common-effect'
        ? commonEffect
        : testOf(withSharedVariance(filled, varianceWithin(filled, betweenStudyVariance), level)),
    options: own,
    empty: subgroups.filter(({ estimates }) => estimates.length === 0).map(({ name }) => name),
  };
}

function testOf(groups: readonly SubgroupMean[]): SubgroupTest {
  const weights = groups.map(({ standardError }) => 1 / standardError ** 2);
  const total = weights.reduce((a, b) => a + b, 0);
  const centre = groups.reduce((a, { value }, i) => a + weights[i]! * value, 0) / total;
  const q = groups.reduce((a, { value }, i) => a + weights[i]! * (value - centre) ** 2, 0);
  const degreesOfFreedom = Math.max(0, groups.length - 1);
  return {
    groups,
    q,
    degreesOfFreedom,
    pValue: degreesOfFreedom > 0 ? chiSquareUpperTail(q, degreesOfFreedom) : undefined,
  };
}

function pooledMean(name: string, estimates: readonly Estimate[], options: SubgroupOptions): SubgroupMean {
  const { mean, heterogeneity, options: used } = poolEstimates(estimates, options);
  const variance = used.model === 'common-effect' ? 0 : heterogeneity?.betweenStudyVariance;
  return {
    name,
    value: mean!.value,
    standardError: Math.sqrt(1 / meanOf(estimates, variance ?? 0).weight),
    interval: mean!.interval,
    betweenStudyVariance: variance,
  };
}

/** Between-study variance within subgroups; undefined when each holds one estimate. */
function varianceWithin(
  subgroups: readonly Subgroup[],
  estimator: ResolvedPoolOptions['betweenStudyVariance'],
): number | undefined {
  const members = subgroups.flatMap(({ estimates }, group) =>
    estimates.map((estimate) => ({ estimate, group })),
  );
  if (members.length <= subgroups.length) return undefined;
  const sample = regressionSample({
    rows: members.map(({ estimate }) => ({ estimate, covariates: {} })),
    columns: subgroups.map((_, group) =>
      Float64Array.from(members, (member) => (member.group === group ? 1 : 0)),
    ),
  });
  return residualVarianceEstimators[estimator](sample, weightedRegression(sample, 0));
}

function withSharedVariance(
  subgroups: readonly Subgroup[],
  betweenStudyVariance: number | undefined,
  level: number,
): SubgroupMean[] {
  const z = -normalQuantile((1 - level) / 2);
  return subgroups.map(({ name, estimates }) => {
    const { mean, weight } = meanOf(estimates, betweenStudyVariance ?? 0);
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
