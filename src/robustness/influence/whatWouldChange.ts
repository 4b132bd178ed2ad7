import type { Estimate } from '../../effects/estimate.ts';
import { estimateRates } from '../../effects/estimateRates.ts';
import { naturalValue } from '../../effects/naturalValue.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import type { RegressionTest } from '../smallStudies/regressionTests.ts';
import type { SmallStudyRefusal } from '../smallStudies/smallStudyAnswer.ts';
import { smallStudyTestsOfRates } from '../smallStudies/smallStudyTests.ts';
import { type TrimAndFill, trimAndFillBothWays } from '../smallStudies/trimAndFill.ts';
import { type CloudDescription, describeCloud } from '../subsets/describeCloud.ts';
import { type SubsetCloud, subsetCloud } from '../subsets/subsetCloud.ts';
import { type InfluenceResult, influence } from './influence.ts';
import { type LeaveOneOut, leaveOneOut } from './leaveOneOut.ts';

export interface WhatWouldChangeOptions {
  /** Up to this many arms every subset is pooled, above it a sample of as many; default 14, at most 22. */
  readonly exhaustiveUpTo?: number;
}

/** Everything that was tried to break one pooled rate. */
export interface WhatWouldChange {
  readonly kind: 'what-would-change';
  readonly pool: PooledRate;
  readonly omitted: LeaveOneOut;
  readonly influence: InfluenceResult;
  readonly cloud: SubsetCloud;
  readonly description: CloudDescription | undefined;
  /** 95 in 100 subsets have a pooled rate in here, 0 to 1. */
  readonly subsetRates: { readonly low: number; readonly high: number } | undefined;
  readonly sizeTest: RegressionTest | SmallStudyRefusal;
  readonly filled: readonly (TrimAndFill | SmallStudyRefusal)[];
}

/**
 * Which study, which set of studies, or which lean of small ones would change this rate?
 *
 * Leaves out each study, pools every subset, tests small arms against large ones on the arcsine scale, and fills in
 * studies as if they were missing. Subsets are pooled by DerSimonian-Laird whatever estimator the pool used; on the
 * double arcsine, which has no way back without a size, they are pooled on the arcsine.
 *
 * @returns undefined when fewer than two arms could be pooled, or no shoulder (or every one) had the event
 *
 * Sources: as for {@link leaveOneOut}, {@link subsetCloud}, {@link smallStudyTestsOfRates} and `trimAndFill`.
 *
 * @example
 * whatWouldChange(poolRates(arms))?.omitted.without.map((row) => row.natural?.value)
 */
export function whatWouldChange(
  pool: PooledRate,
  options: WhatWouldChangeOptions = {},
): WhatWouldChange | undefined {
  const most = options.exhaustiveUpTo ?? 14;
  if (!(Number.isInteger(most) && most >= 1 && most <= 22)) {
    throw new RangeError(`exhaustiveUpTo must be a whole number from 1 to 22, received ${most}`);
  }
  const { twoStep } = pool;
  const { estimates, scale } = twoStep;
  if (pool.combinedExact !== undefined || estimates.length < 2) return undefined;
  // A bootstrap for every omission would take minutes, and no reading uses it.
  const { bootstrap: _, ...resolved } = twoStep.options;
  const refit =
    resolved.prediction === 'bootstrap' ? { ...resolved, prediction: 't-k-minus-2' as const } : resolved;
  const arcsine = estimateRates(pool.arms, { scale: 'arcsine' }).estimates;
  const given: readonly Estimate[] = scale === 'double-arcsine' ? arcsine : estimates;
  // A sample from a fixed seed is of the same studies whatever the order of the sheets.
  const pooled = given.length > most ? [...given].sort(byName) : given;
  const cloud = subsetCloud(pooled, {
    model: twoStep.options.model,
    ...(pooled.length > most ? { sample: { subsets: 2 ** most - 1, seed: 1 } } : {}),
  });
  const description = describeCloud(cloud);
  const rate = (mean: number): number => naturalValue(mean, cloud.scale)!;
  return {
    kind: 'what-would-change',
    pool,
    omitted: leaveOneOut(estimates, refit),
    influence: influence(estimates, refit),
    cloud,
    description,
    subsetRates: description && { low: rate(description.means.low), high: rate(description.means.high) },
    sizeTest: smallStudyTestsOfRates(pool.arms, { level: twoStep.options.level })[0]!,
    filled: trimAndFillBothWays(arcsine, { pool: refit }),
  };
}

const nameOf = ({ study, arm = '' }: Estimate): string => `${study}\u0000${arm}`;
const byName = (one: Estimate, other: Estimate): number =>
  nameOf(one) < nameOf(other) ? -1 : Number(nameOf(one) > nameOf(other));
