import { normalCumulative, normalQuantile } from '../numerics/distributions.ts';
import { findIncreasingRoot } from '../numerics/rootFinding.ts';

/** Two limits, without the level they are at. */
export interface Limits {
  readonly lower: number;
  readonly upper: number;
}

type RelativeMeasure = 'odds-ratio' | 'risk-ratio' | 'risk-difference';

/** A baseline risk and an effect, both uncertain, on the scales on which they are taken as normal. */
export interface BaselineAndEffect {
  readonly measure: RelativeMeasure;
  /** Log of a ratio; a risk difference as it is. */
  readonly effect: number;
  readonly effectStandardError: number;
  readonly baselineLogit: number;
  /** Above 0. */
  readonly baselineStandardError: number;
  readonly covariance: number;
  readonly level: number;
}

/** The baseline as a fine row of risks: the share of each, the risk, and the effect that is expected with it. */
interface Nodes {
  readonly shares: Float64Array;
  readonly risks: Float64Array;
  readonly effects: Float64Array;
  /** Standard deviation of the effect at a given baseline. */
  readonly spread: number;
}

/** How far out the baseline is followed, in standard errors; beyond lies less than 1e-10. */
const reach = 6.5;
/** No finer row than this, whatever is asked: a tail of 2.5 % still holds within 0.0002. */
const mostSteps = 1500;
/** Beyond this many standard deviations a normal tail is below 1e-19 and is not added. */
const farOut = 9;
const rootOfTwoPi = Math.sqrt(2 * Math.PI);

/**
 * Where may the risk of the treated, and its difference from an uncertain baseline risk, lie?
 *
 * With λ the baseline on the logit scale and θ the effect, jointly normal, the distribution function of the difference is
 * one integral over the baseline, P(D ≤ t) = ∫ Φ((θₜ(λ) − E[θ|λ]) / sd[θ|λ]) φ(λ) dλ, where θₜ(λ) is the effect that makes
 * the difference t at that risk: D rises with θ at every baseline. The integral is taken by the trapezoidal rule, whose
 * error falls faster than any power of the step for so smooth a function; the quantiles are its roots. Nothing is drawn
 * at random.
 *
 * @returns proportions: the outer quantiles of the treated risk and of the difference; the latter undefined for a risk
 *   difference, which is the difference itself
 * @see Trefethen LN, Weideman JAC. SIAM Review 2014;56:385-458 (trapezoidal rule). Cochrane Handbook 6, section 15.4.
 */
export function jointDifference(given: BaselineAndEffect): {
  readonly risk: Limits;
  readonly difference: Limits | undefined;
} {
  const nodes = nodesOf(given);
  const { measure, level, baselineLogit, effect } = given;
  const risk = riskOf(baselineLogit);
  const treated = Math.min(1 - 1e-12, Math.max(1e-12, treatedRisk(measure, baselineLogit, effect)));
  const quantiles = (addBaseline: boolean, least: number, start: number): Limits => {
    const out = new Float64Array(2);
    const at = (share: number, from: number): number => {
      distribution(measure, nodes, from, addBaseline, share, out);
      if (out[0]! >= 0) return from;
      return findIncreasingRoot(
        (x, found) => distribution(measure, nodes, x, addBaseline, share, found),
        from,
        1,
        Math.max(from, start),
      ).root;
    };
    const lower = at((1 - level) / 2, least);
    return { lower, upper: at((1 + level) / 2, lower) };
  };
  return {
    risk: measure === 'odds-ratio' ? logitNormalLimits(given) : quantiles(false, 0, treated),
    difference: measure === 'risk-difference' ? undefined : quantiles(true, -1, treated - risk),
  };
}

/** Probability that the treated risk (or its difference from the baseline) is at most `x`, less `share`; and its slope. */
function distribution(
  measure: RelativeMeasure,
  { shares, risks, effects, spread }: Nodes,
  x: number,
  addBaseline: boolean,
  share: number,
  out: Float64Array,
): void {
  let sum = 0;
  let slope = 0;
  for (let i = 0; i < shares.length; i++) {
    const risk = risks[i]!;
    const treated = addBaseline ? x + risk : x;
    if (measure === 'risk-difference' ? treated < 0 : treated <= 0) continue;
    if (treated >= 1) {
      sum += shares[i]!;
      continue;
    }
    const needed =
      measure === 'odds-ratio'
        ? Math.log((treated * (1 - risk)) / ((1 - treated) * risk))
        : measure === 'risk-ratio'
          ? Math.log(treated / risk)
          : treated - risk;
    const z = (needed - effects[i]!) / spread;
    if (z < -farOut) continue;
    if (z > farOut) {
      sum += shares[i]!;
      continue;
    }
    sum += shares[i]! * normalCumulative(z);
    const rise =
      measure === 'odds-ratio' ? 1 / (treated * (1 - treated)) : measure === 'risk-ratio' ? 1 / treated : 1;
    slope += (shares[i]! * rise * Math.exp((-z * z) / 2)) / (rootOfTwoPi * spread);
  }
  out[0] = sum - share;
  out[1] = slope;
}

/** Through the odds the treated risk is normal on the logit scale itself. */
function logitNormalLimits({
  effect,
  effectStandardError,
  baselineLogit,
  baselineStandardError,
  covariance,
  level,
}: BaselineAndEffect): Limits {
  const variance = effectStandardError ** 2 + baselineStandardError ** 2 + 2 * covariance;
  const margin = -normalQuantile((1 - level) / 2) * Math.sqrt(Math.max(0, variance));
  const middle = baselineLogit + effect;
  return { lower: riskOf(middle - margin), upper: riskOf(middle + margin) };
}

const riskOf = (logit: number): number => 1 / (1 + Math.exp(-logit));

function treatedRisk(measure: RelativeMeasure, baselineLogit: number, effect: number): number {
  if (measure === 'odds-ratio') return riskOf(baselineLogit + effect);
  const risk = riskOf(baselineLogit);
  return measure === 'risk-ratio' ? risk * Math.exp(effect) : risk + effect;
}

function nodesOf(given: BaselineAndEffect): Nodes {
  const { measure, effect, effectStandardError, baselineLogit, baselineStandardError, covariance } = given;
  const slope = covariance / baselineStandardError;
  // An effect without spread of its own is a step; a step is followed as a very steep slope.
  const least = 1e-3 * Math.max(effectStandardError, baselineStandardError);
  const spread = Math.max(least, Math.sqrt(Math.max(0, effectStandardError ** 2 - slope ** 2)));
  // How fast the integrand turns from 0 to 1, at most: a ratio moves the needed effect by the odds it makes.
  const turn =
    Math.abs(slope) +
    baselineStandardError * (measure === 'risk-difference' ? 1 : Math.exp(Math.abs(effect)));
  const steps = Math.min(mostSteps, Math.ceil(Math.max(reach / 0.125, (reach * turn) / (0.9 * spread))));
  const size = 2 * steps + 1;
  const [shares, risks, effects] = [new Float64Array(size), new Float64Array(size), new Float64Array(size)];
  let total = 0;
  for (let i = 0; i < size; i++) {
    const z = ((i - steps) * reach) / steps;
    shares[i] = Math.exp((-z * z) / 2);
    total += shares[i]!;
    risks[i] = riskOf(baselineLogit + baselineStandardError * z);
    effects[i] = effect + slope * z;
  }
  for (let i = 0; i < size; i++) shares[i]! /= total;
  return { shares, risks, effects, spread };
}
