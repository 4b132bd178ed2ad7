import { choleskyOfNegative, solveCholesky } from '../rareEvents/newtonMaximum.ts';
import type { RandomEffectsAt } from './tabulatedLikelihood.ts';

/** A log-likelihood of a quantity `t` and a between-study deviation `s`, even in `s`, with its derivatives. */
export type TwoParameterLikelihood = (t: number, s: number) => Readonly<RandomEffectsAt>;

/** The highest point of a likelihood over both parameters. */
export interface Peak {
  readonly t: number;
  readonly s: number;
  readonly logLikelihood: number;
  /** Standard error of `t` from the observed information of both; undefined where that has none. */
  readonly standardError: number | undefined;
}

/** One end of a profile-likelihood interval. */
export interface ProfileLimit {
  readonly t: number;
  /** The deviation at which the likelihood is highest there. */
  readonly s: number;
}

/** Deviations looked at before a peak is taken for the highest: a giant study can hide a second one. */
const deviationsLookedAt = [0, 0.1, 0.25, 0.5, 1, 2, 4, 8, 16, 25];
/** Beyond this neither quantity nor deviation of log odds says anything. */
const largestQuantity = 60;
const settled = 1e-8;

/** A likelihood with what its searches need to know. */
export interface ProfileProblem {
  readonly likelihood: TwoParameterLikelihood;
  /** Multiplies the deviations looked at, the largest allowed included; 1 for log odds. */
  readonly deviationUnit?: number;
}

/**
 * Where is the likelihood highest over both parameters?
 *
 * For each deviation of a list the profile is climbed in `t`; the best is refined by Newton steps in both. A
 * deviation of zero stands where the likelihood does not curve upwards there.
 *
 * @param start where to look for `t` first
 * @returns undefined where the likelihood rises without end
 */
export function highestPeak(problem: ProfileProblem, start: number): Peak | undefined {
  const { likelihood, deviationUnit = 1 } = problem;
  const largest = deviationsLookedAt.at(-1)! * deviationUnit;
  let best: { t: number; s: number; value: number } | undefined;
  let guess = start;
  for (const [index, deviation] of deviationsLookedAt.entries()) {
    const t = climbInQuantity(likelihood, guess, deviation * deviationUnit);
    if (t === undefined) continue;
    guess = t;
    const value = likelihood(t, deviation * deviationUnit).logLikelihood;
    if (!best || value > best.value) best = { t, s: deviation * deviationUnit, value };
    // A second peak further out than four times the best so far has not been seen to be the higher one.
    else if (value < best.value - 20 && index > 4) break;
  }
  if (!best) return undefined;
  let { t, s } = best;
  if (s === 0) {
    const at = likelihood(t, 0);
    if (at.curvatureDeviation > 0) s = 0.05 * deviationUnit;
    else return peakOf(likelihood, t, 0);
  }
  const climbed = climb(likelihood, t, s, largest);
  if (!climbed) return undefined;
  ({ t, s } = climbed);
  return peakOf(likelihood, t, s);
}

/** The peak at known parameters: the height, and the standard error of `t` there. */
export function peakOf(likelihood: TwoParameterLikelihood, t: number, s: number): Peak {
  const at = likelihood(t, s);
  const { curvatureMean: a, curvatureMixed: b, curvatureDeviation: d } = at;
  const variance = s === 0 ? -1 / a : -d / (a * d - b * b);
  return {
    t,
    s,
    logLikelihood: at.logLikelihood,
    standardError: variance > 0 && Number.isFinite(variance) ? Math.sqrt(variance) : undefined,
  };
}

/** Newton steps in `t` with `s` held; the likelihood is close to concave there. */
function climbInQuantity(likelihood: TwoParameterLikelihood, start: number, s: number): number | undefined {
  let t = start;
  let at = likelihood(t, s);
  let value = at.logLikelihood;
  let { slopeMean, curvatureMean } = at;
  for (let iteration = 0; iteration < 60; iteration++) {
    let step = curvatureMean < 0 ? -slopeMean / curvatureMean : Math.sign(slopeMean);
    step = Math.max(-2, Math.min(2, step));
    if (Math.abs(step) <= 1e-6) return t;
    let next = t + step;
    for (let halving = 0; halving < 30; halving++) {
      at = likelihood(next, s);
      if (at.logLikelihood >= value - 1e-9) break;
      step /= 2;
      next = t + step;
    }
    t = next;
    value = at.logLikelihood;
    ({ slopeMean, curvatureMean } = at);
    if (!(Math.abs(t) <= largestQuantity)) return undefined;
  }
  return t;
}

/** Newton steps in both parameters, tilted uphill where the surface is not a hill. */
function climb(
  likelihood: TwoParameterLikelihood,
  startT: number,
  startS: number,
  largest: number,
): { t: number; s: number } | undefined {
  let t = startT;
  let s = startS;
  let at = { ...likelihood(t, s) };
  const hessian = new Float64Array(4);
  for (let iteration = 0; iteration < 200; iteration++) {
    hessian[0] = at.curvatureMean;
    hessian[1] = at.curvatureMixed;
    hessian[2] = at.curvatureMixed;
    hessian[3] = at.curvatureDeviation;
    let ridge = 0;
    let factor = choleskyOfNegative(hessian, 2, 0);
    while (!factor) {
      ridge = ridge === 0 ? 1e-3 * Math.max(Math.abs(hessian[0]), Math.abs(hessian[3]), 1e-8) : ridge * 4;
      if (!(ridge < 1e100)) return undefined;
      factor = choleskyOfNegative(hessian, 2, ridge);
    }
    let [stepT, stepS] = solveCholesky(factor, [at.slopeMean, at.slopeDeviation]) as unknown as [
      number,
      number,
    ];
    const rise = at.slopeMean * stepT + at.slopeDeviation * stepS;
    if (ridge === 0 && rise < 1e-18) {
      return s < 1e-6 * largest && likelihood(t, 0).curvatureDeviation <= 0 ? { t, s: 0 } : { t, s };
    }
    if (ridge > 0 && rise < 1e-16) return undefined;
    const longest = Math.max(Math.abs(stepT) / 2, Math.abs(stepS) / (0.08 * largest));
    if (longest > 1) {
      stepT /= longest;
      stepS /= longest;
    }
    let moved = false;
    for (let halving = 0; halving < 30; halving++) {
      const nextT = t + stepT;
      // The likelihood is the same for s and −s.
      const nextS = Math.abs(s + stepS);
      const next = likelihood(nextT, nextS);
      if (next.logLikelihood >= at.logLikelihood - (rise < 1e-9 ? 1e-10 : 0)) {
        t = nextT;
        s = nextS;
        at = { ...next };
        moved = true;
        break;
      }
      stepT /= 2;
      stepS /= 2;
    }
    if (!moved || s > largest || !(Math.abs(t) <= largestQuantity)) return undefined;
  }
  return undefined;
}

/** The deviation at which the likelihood is highest for a given `t`, from a guess or by looking at all. */
export function bestDeviation(
  { likelihood, deviationUnit = 1 }: ProfileProblem,
  t: number,
  guess: number | undefined,
): number {
  if (guess !== undefined) {
    const near = followDeviation(likelihood, t, guess, deviationUnit);
    if (near !== undefined) return near;
  }
  const looked = deviationsLookedAt.map((deviation) => deviation * deviationUnit);
  let best = 0;
  let bestValue = Number.NEGATIVE_INFINITY;
  for (const [index, deviation] of looked.entries()) {
    const value = likelihood(t, deviation).logLikelihood;
    if (value > bestValue) {
      best = index;
      bestValue = value;
    }
  }
  if (best === 0 && likelihood(t, 0).curvatureDeviation <= 0) return 0;
  let low = looked[Math.max(0, best - 1)]!;
  let high = looked[Math.min(looked.length - 1, best + 1)]!;
  let s = best === 0 ? 0.5 * high : looked[best]!;
  // The slope falls through zero between its neighbours: Newton inside the bracket.
  for (let iteration = 0; iteration < 100; iteration++) {
    const { slopeDeviation, curvatureDeviation } = likelihood(t, s);
    if (slopeDeviation > 0) low = s;
    else high = s;
    let next = curvatureDeviation < 0 ? s - slopeDeviation / curvatureDeviation : Number.NaN;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const step = Math.abs(next - s);
    s = next;
    if (step <= settled * (deviationUnit + s)) break;
  }
  return s;
}

/** Newton steps along the ridge from the deviation of a neighbouring `t`; undefined when it is lost. */
function followDeviation(
  likelihood: TwoParameterLikelihood,
  t: number,
  guess: number,
  unit: number,
): number | undefined {
  let s = guess;
  if (s === 0) return likelihood(t, 0).curvatureDeviation <= 0 ? 0 : undefined;
  for (let iteration = 0; iteration < 8; iteration++) {
    const { slopeDeviation, curvatureDeviation } = likelihood(t, s);
    if (!(curvatureDeviation < 0)) return undefined;
    const next = s - slopeDeviation / curvatureDeviation;
    if (!(next > 0.3 * s && next < 3 * s && next <= deviationsLookedAt.at(-1)! * unit)) return undefined;
    const step = Math.abs(next - s);
    s = next;
    if (step <= settled * (unit + s)) return s;
  }
  return undefined;
}

/** Twice the drop of the profile log-likelihood at `t`: how much less likely it makes the data than the best. */
export function profileDeviance(problem: ProfileProblem, peak: Peak, t: number): number {
  const s = bestDeviation(problem, t, undefined);
  return 2 * (peak.logLikelihood - problem.likelihood(t, s).logLikelihood);
}

/**
 * Which is the furthest value of `t` whose profile deviance is at most the cut-off?
 *
 * `D(t) = 2[ℓ(t̂, ŝ) − max over s of ℓ(t, s)] = cut-off`, by Newton steps on √D, which is close to straight, kept
 * inside a bracket; its slope is that of the likelihood in `t` at the best `s`. At the end the best `s` is looked for
 * among all; had another been higher, the search is made again looking at all of them at every step.
 *
 * Source: Venzon DJ, Moolgavkar SH, Appl Stat 1988;37:87-94 (the defining equation).
 *
 * @param direction −1 for the lower limit, 1 for the upper
 * @returns undefined where the deviance does not reach the cut-off within 60 log odds
 */
export function profileLimit(
  problem: ProfileProblem,
  peak: Peak,
  cutOff: number,
  direction: -1 | 1,
): ProfileLimit | undefined {
  const search = (thorough: boolean): ProfileLimit | undefined => {
    const goal = Math.sqrt(cutOff);
    let inside = peak.t;
    let outside: number | undefined;
    let s: number = peak.s;
    let t = peak.t + direction * goal * (peak.standardError ?? 0.5);
    for (let iteration = 0; iteration < 100; iteration++) {
      if (!(Math.abs(t) <= largestQuantity)) return undefined;
      s = bestDeviation(problem, t, thorough ? undefined : s);
      const { logLikelihood, slopeMean } = problem.likelihood(t, s);
      const drop = 2 * (peak.logLikelihood - logLikelihood);
      const root = Math.sqrt(Math.max(0, drop));
      if (Math.abs(drop - cutOff) <= 2e-12 * Math.max(1, cutOff)) return { t, s };
      if (root < goal) inside = t;
      else outside = t;
      // d√D/dt = −ℓ′/√D.
      let next = t + ((goal - root) * root) / -slopeMean;
      const lower = Math.min(inside, outside ?? direction * Number.POSITIVE_INFINITY);
      const upper = Math.max(inside, outside ?? direction * Number.POSITIVE_INFINITY);
      if (!(next > lower && next < upper)) {
        next =
          outside === undefined
            ? t + direction * Math.max(1, Math.abs(t - peak.t))
            : 0.5 * (inside + outside);
      } else if (outside === undefined && Math.abs(next - t) > 2 * Math.abs(t - peak.t) + 1) {
        next = t + direction * (2 * Math.abs(t - peak.t) + 1);
      }
      if (
        next === t ||
        (outside !== undefined && Math.abs(outside - inside) <= 4 * Number.EPSILON * Math.abs(t))
      ) {
        return { t, s };
      }
      t = next;
    }
    return undefined;
  };
  const found = search(false);
  if (found) {
    const other = bestDeviation(problem, found.t, undefined);
    const { likelihood } = problem;
    if (likelihood(found.t, other).logLikelihood <= likelihood(found.t, found.s).logLikelihood + 1e-9) {
      return found;
    }
  }
  return search(true);
}
