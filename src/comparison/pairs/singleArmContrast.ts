import { type PooledSite, siteNames } from '../../extraction/site.ts';
import type { Interval } from '../../numerics/interval.ts';
import { notAComparison, type SitePools } from '../../pooling/poolBySite.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { type SubgroupDifferences, subgroupDifferences } from './subgroupDifferences.ts';

/** Two sites' pools, one less the other. It is not a comparison of treatments. */
export interface PoolDifference {
  readonly treatment: PooledSite;
  readonly comparator: PooledSite;
  readonly name: string;
  /** Rate less rate, as a proportion; undefined where a pool has no rate. */
  readonly rateDifference: { readonly value: number; readonly interval: Interval } | undefined;
  /** Odds of the one rate over odds of the other; undefined unless both were pooled on the logit scale. */
  readonly oddsRatio: { readonly value: number; readonly interval: Interval } | undefined;
}

export interface SingleArmContrast {
  readonly kind: 'single-arm-contrast';
  /** Printed wherever any of this is. */
  readonly notAComparison: string;
  readonly pools: SitePools;
  readonly differences: readonly PoolDifference[];
  /** Undefined when fewer than two sites have estimates. */
  readonly test: SubgroupDifferences | undefined;
}

/**
 * How far apart are the rates that single arms show at each site, whatever the reason?
 *
 * Not a comparison: arms come from different studies, patients and years, and nothing here adjusts for that. Rate
 * differences have intervals made from the two pools' own limits, `d ± sqrt((r₁ - l₁)² + (u₂ - r₂)²)` and its mirror
 * image; ratios of odds come from the same headlines on the logit scale; the test is {@link subgroupDifferences}, with the model, estimator,
 * interval and level of the pools.
 *
 * @see Zou GY, Donner A. Stat Med 2008;27:1693-1702 (interval of a difference from two intervals).
 * @example
 * contrastSingleArms(poolBySite(selection.arms)).test?.separateVariances.pValue
 */
export function contrastSingleArms(pools: SitePools): SingleArmContrast {
  const differences: PoolDifference[] = [];
  for (const [i, one] of pools.sites.entries())
    for (const other of pools.sites.slice(i + 1))
      differences.push({
        treatment: one.site,
        comparator: other.site,
        name: `${siteNames[one.site]} against ${siteNames[other.site].toLowerCase()}`,
        rateDifference: rateDifference(one.pool, other.pool),
        oddsRatio: oddsRatio(one.pool, other.pool),
      });
  const subgroups = pools.sites.map(({ name, pool }) => ({ name, estimates: pool.twoStep.estimates }));
  const [first] = pools.sites;
  return {
    kind: 'single-arm-contrast',
    notAComparison,
    pools,
    differences,
    test:
      subgroups.filter(({ estimates }) => estimates.length > 0).length >= 2
        ? subgroupDifferences(subgroups, testOptions(first!.pool.options))
        : undefined,
  };
}

const testOptions = ({ model, betweenStudyVariance, interval, level }: PooledRate['options']) => ({
  model,
  betweenStudyVariance,
  interval,
  level,
});

function rateDifference(one: PooledRate, other: PooledRate): PoolDifference['rateDifference'] {
  const [a, b] = [one.headline, other.headline];
  if (a === undefined || b === undefined) return undefined;
  const value = a.rate - b.rate;
  return {
    value,
    interval: {
      lower: value - Math.hypot(a.rate - a.interval.lower, b.interval.upper - b.rate),
      upper: value + Math.hypot(a.interval.upper - a.rate, b.rate - b.interval.lower),
      level: a.interval.level,
    },
  };
}

/** Ratio of the odds of two headlines, its limits made from theirs on the logit scale. */
function oddsRatio(one: PooledRate, other: PooledRate): PoolDifference['oddsRatio'] {
  const [a, b] = [one.headline, other.headline].map((headline) => headline && logits(headline));
  if (a === undefined || b === undefined) return undefined;
  const value = a.value - b.value;
  const below = Math.hypot(a.value - a.lower, b.upper - b.value);
  const above = Math.hypot(a.upper - a.value, b.value - b.lower);
  const limits = [value, value - below, value + above].map(Math.exp) as [number, number, number];
  if (!limits.every((each) => Number.isFinite(each) && each > 0)) return undefined;
  const { level } = one.headline!.interval;
  return { value: limits[0], interval: { lower: limits[1], upper: limits[2], level } };
}

const logits = ({ rate, interval }: NonNullable<PooledRate['headline']>) => {
  const logit = (share: number): number => Math.log(share / (1 - share));
  return { value: logit(rate), lower: logit(interval.lower), upper: logit(interval.upper) };
};
