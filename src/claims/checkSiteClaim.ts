import type { PairRisks, PairToTell } from '../answers/pairToTell.ts';
import type { CertaintyLevel } from '../certainty/certaintyRating.ts';
import { canRuleOutFewer } from '../effects/absoluteEffect.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { checkClaim } from '../robustness/claims/checkClaim.ts';
import type { CheckedClaim } from '../robustness/claims/checkedClaim.ts';
import type { ClaimBound, SiteClaim } from './siteClaim.ts';

/** What may be done with a sentence. */
export const siteClaimVerdicts = ['borne out', 'direction only', 'cannot tell', 'contradicted'] as const;
export type SiteClaimVerdict = (typeof siteClaimVerdicts)[number];

/** What a sentence is held against. */
export interface SiteClaimEvidence {
  readonly outcome: EventsOutcome;
  /** For claims on two sites: the answer to their question, the claim's first site as `treatment`. */
  readonly pair?: PairToTell;
  /** For claims on the rate of one site: its pool. */
  readonly pool?: PooledRate;
  /** Certainty of the comparison or rate, where somebody rated it; very low takes back what the numbers bear out. */
  readonly certainty?: CertaintyLevel | undefined;
}

export interface CheckedSiteClaim {
  readonly kind: 'checked-site-claim';
  readonly claim: SiteClaim;
  readonly evidence: SiteClaimEvidence;
  readonly verdict: SiteClaimVerdict;
  /** Why, in one sentence without numbers. */
  readonly reason: string;
  /** For a claim of counts: everything `checkClaim` says. */
  readonly count: CheckedClaim | undefined;
}

interface Limits {
  readonly lower: number;
  readonly upper: number;
}

/**
 * May this sentence about sites be said?
 *
 * Two sites are compared within studies that treated both (never by rates of single arms): borne out when every value
 * of the interval agrees with the sentence, contradicted when none does, "direction only" when the interval lies wholly
 * on the claimed side of no difference without settling the amount, otherwise we cannot tell. Likeness is borne out only
 * when the interval of the difference lies within the protocol's smallest difference that matters, and the risk it is said
 * at cannot itself lie below that. A rate is held
 * against the interval of the pooled mean. A spoken number stands for what rounds to it: "twice" for 1.5 to 2.5. Very low certainty turns "borne out" into "cannot tell".
 *
 * @throws RangeError when a claim of two sites comes without their evidence, or of one without its pool
 * @example
 * const pair = pairToTell(answersOf(review), 'revision', 'tenotomy', 'subpectoral');
 * checkSiteClaim(claim, { outcome, pair, certainty: pair.answer.certainty.level }).verdict
 */
export function checkSiteClaim(claim: SiteClaim, evidence: SiteClaimEvidence): CheckedSiteClaim {
  const count = claim.kind === 'count' ? checkClaim(claim.count) : undefined;
  const judged = judge(claim, evidence, count);
  const veryLow =
    evidence.certainty === 'very low' &&
    (judged.verdict === 'borne out' || judged.verdict === 'direction only');
  return {
    kind: 'checked-site-claim',
    claim,
    evidence,
    count,
    ...(veryLow
      ? {
          verdict: 'cannot tell' as const,
          reason: 'The numbers point that way, but the certainty of the evidence is very low.',
        }
      : judged),
  };
}

type Judged = Pick<CheckedSiteClaim, 'verdict' | 'reason'>;

function judge(claim: SiteClaim, evidence: SiteClaimEvidence, count: CheckedClaim | undefined): Judged {
  if (claim.kind === 'count') return judgeCount(count!);
  if (claim.kind === 'rate') return judgeRate(claim.rate, claim.bound, evidence.pool);
  const { pair } = evidence;
  if (pair === undefined) throw new RangeError('a claim on two sites needs the evidence of their pair');
  if (pair.risks === undefined)
    return {
      verdict: 'cannot tell',
      reason:
        pair.studies === 0
          ? 'No study treated patients at both sites.'
          : pair.answer.behind.pair?.pool.natural?.interval === undefined
            ? 'The studies that treated patients at both sites give no estimate.'
            : 'The studies that treated patients at both sites give a ratio, and no risk to say it at.',
    };
  const { difference } = pair.risks;
  if (claim.kind === 'alike')
    return judgeAlike(pair.risks, evidence.outcome.thresholdsPer100.materialDifference / 100);
  if (claim.kind === 'direction') {
    const claimed = claim.direction === 'more' ? { lower: 0, upper: 1 } : { lower: -1, upper: 0 };
    const excludesNone = difference.lower > 0 || difference.upper < 0;
    if (!excludesNone)
      return { verdict: 'cannot tell', reason: 'The studies are compatible with fewer and with more.' };
    return difference.lower >= claimed.lower && difference.upper <= claimed.upper
      ? { verdict: 'borne out', reason: 'The whole interval lies on the claimed side.' }
      : { verdict: 'contradicted', reason: 'The whole interval lies on the other side.' };
  }
  if (claim.kind === 'difference')
    return judgeAmount(difference, meantProportion(claim.difference, claim.bound), claim.difference, 0);
  if (pair.ratio === undefined)
    return { verdict: 'cannot tell', reason: 'The studies give no ratio of the risks.' };
  return judgeAmount(pair.ratio, meantRatio(claim.factor, claim.bound), claim.factor, 1);
}

function judgeAmount(measured: Limits, meant: Limits, claimed: number, none: number): Judged {
  const { lower, upper } = measured;
  const sameSide = claimed > none ? lower > none : upper < none;
  const otherSide = claimed > none ? upper < none : lower > none;
  // First, because "at most three times" says nothing of a direction.
  if (lower >= meant.lower && upper <= meant.upper)
    return { verdict: 'borne out', reason: 'Every value of the interval agrees.' };
  if (otherSide) return { verdict: 'contradicted', reason: 'The whole interval lies on the other side.' };
  if (upper < meant.lower || lower > meant.upper)
    return {
      verdict: 'contradicted',
      reason: sameSide
        ? 'The direction holds, but the claimed amount lies outside the interval.'
        : 'The claimed amount lies outside the interval.',
    };
  return sameSide
    ? {
        verdict: 'direction only',
        reason: 'The direction holds; the claimed amount is one of several that fit.',
      }
    : { verdict: 'cannot tell', reason: 'The studies are compatible with fewer and with more.' };
}

/** Ratios a spoken one stands for: "twice" is anything that rounds to two, "half" its mirror image. */
function meantRatio(factor: number, bound: ClaimBound): Limits {
  if (bound === 'at least') return { lower: factor, upper: Number.MAX_VALUE };
  if (bound === 'at most') return { lower: 0, upper: factor };
  const large = factor >= 1 ? factor : 1 / factor;
  const [least, most] = [Math.max(1, large - 0.5), large + 0.5];
  return factor >= 1 ? { lower: least, upper: most } : { lower: 1 / most, upper: 1 / least };
}

/** Proportions a spoken one stands for: half a unit of its last digit either way. */
function meantProportion(value: number, bound: ClaimBound): Limits {
  if (bound === 'at least') return { lower: value, upper: 1 };
  if (bound === 'at most') return { lower: -1, upper: value };
  const unit = [0.01, 0.001, 0.0001].find((each) => Math.abs(value / each - Math.round(value / each)) < 1e-9);
  const half = (unit ?? 0.00001) / 2;
  return { lower: value - half, upper: value + half };
}

function judgeAlike({ difference, riskInterval }: PairRisks, material: number): Judged {
  if (difference.lower > -material && difference.upper < material)
    return canRuleOutFewer(riskInterval, material)
      ? { verdict: 'borne out', reason: 'Every value of the interval is too small to matter.' }
      : {
          verdict: 'cannot tell',
          reason:
            'The risk itself may lie below the smallest difference that matters, so that fewer by so much could not have been seen.',
        };
  if (difference.lower > 0 || difference.upper < 0)
    return { verdict: 'contradicted', reason: 'The whole interval lies on one side of no difference.' };
  return {
    verdict: 'cannot tell',
    reason: 'A difference that matters is not ruled out; seeing none is not the same as there being none.',
  };
}

function judgeRate(rate: number, bound: ClaimBound, pool: PooledRate | undefined): Judged {
  if (pool === undefined) throw new RangeError('a claim on the rate of a site needs its pool');
  const interval = pool.headline?.interval;
  if (interval === undefined)
    return { verdict: 'cannot tell', reason: 'No rate could be pooled at this site.' };
  const meant = meantProportion(rate, bound);
  if (bound === 'about')
    return meant.upper >= interval.lower && meant.lower <= interval.upper
      ? { verdict: 'direction only', reason: 'The rate is one of many that fit.' }
      : { verdict: 'contradicted', reason: 'The rate lies outside the interval.' };
  const holds = bound === 'at most' ? interval.upper <= rate : interval.lower >= rate;
  const fails = bound === 'at most' ? interval.lower > rate : interval.upper < rate;
  if (holds) return { verdict: 'borne out', reason: 'Every value of the interval of the mean agrees.' };
  return fails
    ? { verdict: 'contradicted', reason: 'Every value of the interval of the mean disagrees.' }
    : { verdict: 'cannot tell', reason: 'Rates on both sides of it are compatible with the studies.' };
}

function judgeCount({ limit, comparison }: CheckedClaim): Judged {
  if (limit !== undefined)
    return {
      verdict: limit.verdict === 'supported' ? 'borne out' : limit.verdict,
      reason: 'The limit was set against the exact interval of the series.',
    };
  if (comparison !== undefined)
    return {
      verdict: 'cannot tell',
      reason: 'Two series side by side do not show what the site does.',
    };
  return { verdict: 'direction only', reason: 'The count stands; what it can rule out is said beside it.' };
}
