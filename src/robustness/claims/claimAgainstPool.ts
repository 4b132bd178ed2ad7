import { checkCount } from '../../effects/checkCount.ts';
import type { Count } from '../../effects/estimate.ts';
import { betaCumulative } from '../../numerics/distributions.ts';
import { posteriorBinomialNormal } from '../../pooling/bayesian/posteriorBinomialNormal.ts';
import type { PosteriorOptions } from '../../pooling/bayesian/posteriorOptions.ts';
import type { PosteriorBinomialNormal, StudyCount } from '../../pooling/bayesian/posteriorResult.ts';
import { expectationOf } from '../../pooling/bayesian/tabulatedDensity.ts';

/** Where a series falls among the series its size that the pooled studies lead one to expect. */
export interface ClaimAgainstPool {
  readonly status: 'computed';
  /** Probability of at most, and of at least, as many events in a next series of this size. */
  readonly atMost: number;
  readonly atLeast: number;
  /** Events to expect in the middle `level` of such series. */
  readonly expected: { readonly lower: number; readonly upper: number; readonly level: number };
  readonly place: 'lower than expected' | 'as expected' | 'higher than expected';
  /** Arms and studies behind the expectation. */
  readonly arms: number;
  readonly studies: number;
  readonly methodsSentence: string;
}

/** The pool could not say what to expect, and why. */
export interface ClaimNotPlaced {
  readonly status: 'not computed';
  readonly reason: string;
}

/**
 * Is this series one the pooled studies would lead us to expect?
 *
 * The true rate of a next hospital has the posterior predictive distribution of `posteriorBinomialNormal`; its events
 * are binomial around it. A series whose tail probability is below (1 − level) / 2 is called lower or higher than
 * expected. The series itself must not be among the arms.
 *
 * @throws RangeError for an impossible count or unknown options
 *
 * Source: Gelman A et al., Bayesian Data Analysis, 3rd ed. 2013, section 6.3 (posterior predictive checks).
 *
 * @example
 * claimAgainstPool({ events: 0, total: 40 }, arms)
 */
export function claimAgainstPool(
  claim: Count,
  arms: readonly StudyCount[],
  options: PosteriorOptions = {},
): ClaimAgainstPool | ClaimNotPlaced {
  checkCount(claim);
  const posterior = posteriorBinomialNormal(arms, { ...options, studyEffects: false });
  if (posterior.status === 'refused') return { status: 'not computed', reason: posterior.reason };
  return placeClaim(claim, posterior);
}

/** {@link claimAgainstPool} with a posterior already at hand, so that several claims share one. */
export function placeClaim(claim: Count, posterior: PosteriorBinomialNormal): ClaimAgainstPool {
  const { total } = claim;
  const { level } = posterior.options;
  const tail = (1 - level) / 2;
  const most = chanceOfAtMost(posterior, total);
  const atMost = most(claim.events);
  const atLeast = 1 - most(claim.events - 1);
  return {
    status: 'computed',
    atMost,
    atLeast: Math.max(0, atLeast),
    expected: {
      lower: firstAtLeast(most, tail, total),
      upper: firstAtLeast(most, 1 - tail, total),
      level,
    },
    place: atMost < tail ? 'lower than expected' : atLeast < tail ? 'higher than expected' : 'as expected',
    arms: posterior.counts.length,
    studies: posterior.studies,
    methodsSentence: posterior.methodsSentence,
  };
}

/** P(events of the next series ≤ count). */
function chanceOfAtMost(posterior: PosteriorBinomialNormal, total: number): (count: number) => number {
  const rate = (logit: number): number => 1 / (1 + Math.exp(-logit));
  // What the table's own total falls short of one is rounding, and is divided away.
  const { density } = posterior.prediction;
  const whole = expectationOf(density, () => 1);
  return (count) => {
    if (count < 0) return 0;
    if (count >= total) return 1;
    // P(X ≤ k; n, p) = P(Beta(n − k, k + 1) ≤ 1 − p).
    const sum = expectationOf(density, (logit) => betaCumulative(rate(-logit), total - count, count + 1));
    return Math.min(1, sum / whole);
  };
}

/** The smallest count with at least this much probability at or below it. */
function firstAtLeast(most: (count: number) => number, probability: number, total: number): number {
  let below = -1;
  let enough = total;
  while (enough - below > 1) {
    const middle = Math.floor((below + enough) / 2);
    if (most(middle) >= probability) enough = middle;
    else below = middle;
  }
  return enough;
}
