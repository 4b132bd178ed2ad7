import { checkCount } from '../../effects/checkCount.ts';
import type { Count } from '../../effects/estimate.ts';
import { rateInterval } from '../../effects/rateInterval.ts';
import { betaCumulative } from '../../numerics/distributions.ts';
import type { PosteriorOptions } from '../../pooling/bayesian/posteriorOptions.ts';
import type { PosteriorBinomialNormal, StudyCount } from '../../pooling/bayesian/posteriorResult.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { rateDifference } from '../choices/rateDifference.ts';
import { armBalance } from './armBalance.ts';
import type { ArmsCompared, CheckedClaim, LimitVerdict } from './checkedClaim.ts';
import type { Claim } from './claim.ts';
import { claimAgainstPool, placeClaim } from './claimAgainstPool.ts';
import { claimSentences } from './claimSentences.ts';
import { fragility } from './fragility.ts';
import { probabilityLower } from './probabilityLower.ts';
import { shouldersNeeded } from './shouldersNeeded.ts';

export interface ClaimOptions {
  /** Coverage of every interval, default 0.95. */
  readonly level?: number;
  /** Arms of the review to set the claim beside, without the series itself; or their posterior. */
  readonly pool?: readonly StudyCount[] | PosteriorBinomialNormal;
  /** Priors of that pool. */
  readonly priors?: Omit<PosteriorOptions, 'level' | 'studyEffects'>;
}

/**
 * Can this be said in a talk?
 *
 * One series gives exact (Clopper-Pearson) and Bayesian (Jeffreys' prior) limits and so what it can rule out. Against a
 * limit: whether the whole exact interval lies on one side, and how many shoulders it would take. Against another arm:
 * the difference (Newcombe), Fisher's exact test, how few shoulders decide it, and whether the arms are too unequal to
 * compare. Against a pool: whether the pooled studies would lead one to expect such a series.
 *
 * @throws RangeError for an impossible count, a limit or level out of bounds, or an unknown option
 *
 * Source: Clopper CJ, Pearson ES, Biometrika 1934;26:404-413; Brown LD et al., Stat Sci 2001;16:101-133, section 3.1.3;
 * Newcombe RG, Stat Med 1998;17:873-890, method 10; the parts name their own.
 *
 * @example
 * checkClaim({ events: 0, total: 40 }).sentence
 * // 'No event in 40 is compatible with up to 9 in 100.'
 */
export function checkClaim(claim: Claim, options: ClaimOptions = {}): CheckedClaim {
  checkOptionNames(options, ['level', 'pool', 'priors']);
  checkOptionNames(claim, ['events', 'total', 'comparator', 'limit']);
  const level = checkLevel(options.level ?? 0.95);
  const { events, total, comparator } = claim;
  const count: Count = { events, total };
  checkCount(count);
  if (comparator !== undefined) checkCount(comparator, 'the comparator');
  const exact = rateInterval(count, { method: 'clopper-pearson', level });
  // A two-sided interval at 2·level − 1 leaves 1 − level on each side; below one half there is none.
  const oneSided =
    level > 0.5 ? rateInterval(count, { method: 'clopper-pearson', level: 2 * level - 1 }) : exact;
  const { pool } = options;
  const parts = {
    kind: 'checked-claim',
    claim,
    level,
    rate: events / total,
    exact,
    bayesian: rateInterval(count, { method: 'jeffreys', level }),
    oneSided: { lower: oneSided.lower, upper: oneSided.upper },
    limit:
      claim.limit === undefined ? undefined : verdictOn(claim.limit, count, exact.lower, exact.upper, level),
    comparison: comparator === undefined ? undefined : compareArms(count, comparator, level),
    pool:
      pool === undefined
        ? undefined
        : 'status' in pool
          ? placeClaim(count, pool)
          : claimAgainstPool(count, pool, { ...options.priors, level }),
  } as const;
  return { ...parts, ...claimSentences(parts) };
}

function verdictOn(
  limit: number,
  { events, total }: Count,
  lower: number,
  upper: number,
  level: number,
): LimitVerdict {
  if (!(typeof limit === 'number' && limit >= 1e-6 && limit < 1))
    throw new RangeError(`limit must be from 0.000001 to below 1, received ${limit}`);
  const verdict = upper <= limit ? 'supported' : lower > limit ? 'contradicted' : 'cannot tell';
  return {
    limit,
    verdict,
    probabilityBelow: betaCumulative(limit, events + 0.5, total - events + 0.5),
    withoutEvent: {
      twoSided: shouldersNeeded(0, limit, { level }),
      oneSided: shouldersNeeded(0, limit, { level, oneSided: true }),
    },
    withTheseEvents:
      verdict === 'supported' ? total : Math.max(total, shouldersNeeded(events, limit, { level })),
  };
}

function compareArms(one: Count, other: Count, level: number): ArmsCompared {
  const wilson = (count: Count) => ({
    rate: count.events / count.total,
    interval: rateInterval(count, { method: 'wilson', level }),
  });
  const { value, lower, upper } = rateDifference(wilson(one), wilson(other));
  const fragile = fragility(one, other, { level });
  return {
    difference: { value, interval: { lower, upper, level } },
    fisherP: fragile.pValue,
    probabilityLower: probabilityLower(one, other),
    balance: armBalance(one, other, level),
    fragility: fragile,
  };
}
