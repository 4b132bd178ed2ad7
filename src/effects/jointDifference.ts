import { normalCumulative, normalQuantile } from '../numerics/distributions.ts';
import { findIncreasingRoot } from '../numerics/rootFinding.ts';

/** Two limits, without the level they are at. */
export interface Limits {
  readonly lower: number;
  readonly upper: number;
}

type RelativeMeasure = 'odds-ratio' | 'risk-ratio' | 'risk-difference';

/**
 * Standard errors below and above a value, from its two limits: those of a likelihood profile do not lie evenly, and each
 * side keeps its own.
 */
export interface Spread {
  readonly below: number;
  readonly above: number;
}

/** A baseline risk and an effect, both uncertain, on the scales on which they are taken as normal. */
export interface BaselineAndEffect {
  readonly measure: RelativeMeasure;
  /** Log of a ratio; a risk difference as it is. */
  readonly effect: number;
  readonly effectSpread: Spread;
  readonly baselineLogit: number;
  readonly baselineSpread: Spread;
  /** Correlation of the two, −1 to 1. */
  readonly correlation: number;
  readonly level: number;
}

/** The baseline as a fine row of risks: the share of each, the risk, and where the effect is expected with it. */
interface Nodes {
  readonly shares: Float64Array;
  readonly risks: Float64Array;
  /** In standard errors from the effect. */
  readonly expected: Float64Array;
  /** Standard deviation around that, in the same unit. */
  readonly rest: number;
  readonly effect: number;
  readonly spread: Spread;
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
 * The baseline λ on the logit scale and the effect θ are taken as normal on each side of their values (two halves where the
 * limits do not lie evenly, so that both limits are kept), and joined by their correlation ρ: with zλ and zθ their
 * distances in standard errors, jointly normal, P(D ≤ t) = ∫ Φ((zθ(t, λ) − ρ zλ) / √(1 − ρ²)) φ(zλ) dzλ, where zθ(t, λ)
 * belongs to the effect that makes the difference t at that risk: D rises with θ at every baseline. A difference
 * therefore lies on the side of no difference on which the effect does. The integral is taken by the trapezoidal rule, whose
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
  { shares, risks, expected, rest, effect, spread }: Nodes,
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
    const side = needed < effect ? spread.below : spread.above;
    const z = ((needed - effect) / side - expected[i]!) / rest;
    if (z < -farOut) continue;
    if (z > farOut) {
      sum += shares[i]!;
      continue;
    }
    sum += shares[i]! * normalCumulative(z);
    const rise =
      measure === 'odds-ratio' ? 1 / (treated * (1 - treated)) : measure === 'risk-ratio' ? 1 / treated : 1;
    slope += (shares[i]! * rise * Math.exp((-z * z) / 2)) / (rootOfTwoPi * rest * side);
  }
  out[0] = sum - share;
  out[1] = slope;
}

/**
 * Through the odds the treated risk is a sum on the logit scale, whose limits follow from those of its parts, each side
 * from its own.
 *
 * @see Zou GY, Donner A. Stat Med 2008;27:1693-1702 (limits of a sum from the limits of its parts).
 */
function logitNormalLimits({
  effect,
  effectSpread,
  baselineLogit,
  baselineSpread,
  correlation,
  level,
}: BaselineAndEffect): Limits {
  const z = -normalQuantile((1 - level) / 2);
  const margin = (side: 'below' | 'above'): number => {
    const [one, other] = [effectSpread[side], baselineSpread[side]];
    return z * Math.sqrt(Math.max(0, one ** 2 + other ** 2 + 2 * correlation * one * other));
  };
  const middle = baselineLogit + effect;
  return { lower: riskOf(middle - margin('below')), upper: riskOf(middle + margin('above')) };
}

const riskOf = (logit: number): number => 1 / (1 + Math.exp(-logit));

function treatedRisk(measure: RelativeMeasure, baselineLogit: number, effect: number): number {
  if (measure === 'odds-ratio') return riskOf(baselineLogit + effect);
  const risk = riskOf(baselineLogit);
  return measure === 'risk-ratio' ? risk * Math.exp(effect) : risk + effect;
}

function nodesOf(given: BaselineAndEffect): Nodes {
  const { measure, effect, effectSpread, baselineLogit, baselineSpread, correlation } = given;
  const widest = Math.max(baselineSpread.below, baselineSpread.above);
  // An effect without spread of its own is a step; a step is followed as a very steep slope.
  const least = 1e-3 * Math.max(effectSpread.below, effectSpread.above, widest);
  const spread = { below: Math.max(least, effectSpread.below), above: Math.max(least, effectSpread.above) };
  const rest = Math.max(1e-3, Math.sqrt(Math.max(0, 1 - correlation ** 2)));
  const narrow = rest * Math.min(spread.below, spread.above);
  // How fast the integrand turns from 0 to 1, at most: a ratio moves the needed effect by the odds it makes.
  const turn =
    Math.abs(correlation) * Math.max(spread.below, spread.above) +
    widest * (measure === 'risk-difference' ? 1 : Math.exp(Math.abs(effect)));
  const steps = Math.min(mostSteps, Math.ceil(Math.max(reach / 0.125, (reach * turn) / (0.9 * narrow))));
  const size = 2 * steps + 1;
  const [shares, risks, expected] = [new Float64Array(size), new Float64Array(size), new Float64Array(size)];
  let total = 0;
  for (let i = 0; i < size; i++) {
    const z = ((i - steps) * reach) / steps;
    shares[i] = Math.exp((-z * z) / 2);
    total += shares[i]!;
    risks[i] = riskOf(baselineLogit + (z < 0 ? baselineSpread.below : baselineSpread.above) * z);
    expected[i] = correlation * z;
  }
  for (let i = 0; i < size; i++) shares[i]! /= total;
  return { shares, risks, expected, rest, effect, spread };
}
