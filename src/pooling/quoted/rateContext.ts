import type { Count } from '../../effects/estimate.ts';
import { betaBinomialObjective } from '../rareEvents/betaBinomialObjective.ts';
import { binomialNormalStudies } from './binomialStudies.ts';
import { type GridPosterior, gridPosterior } from './gridPosterior.ts';
import { emptyMean, meanOfStudies } from './meanOfStudies.ts';
import {
  highestPeak,
  type Peak,
  type ProfileLimit,
  type ProfileProblem,
  peakOf,
  profileLimit,
} from './profile.ts';
import { overMeanOfStudies } from './rateCoordinates.ts';
import type { RandomEffectsAt, TabulatedLikelihood } from './tabulatedLikelihood.ts';

/** A likelihood with its highest point, and its limits at any cut-off. */
export interface FittedProfile {
  readonly problem: ProfileProblem;
  readonly peak: Peak;
  readonly limits: (
    cutOff: number,
  ) => readonly [lower: ProfileLimit | undefined, upper: ProfileLimit | undefined];
}

/** Counts of one site with the fits that several methods share, each made when first asked for. */
export interface RateContext {
  readonly counts: readonly Count[];
  readonly events: number;
  readonly total: number;
  /** Log odds of all events among all shoulders. */
  readonly crude: number;
  readonly likelihood: TabulatedLikelihood;
  /** Over the median study's log odds, and over those of the mean of the studies. */
  readonly median: () => FittedProfile | undefined;
  readonly mean: () => FittedProfile | undefined;
  readonly betaBinomial: () => FittedProfile | undefined;
  /** The posterior with a half-normal prior of the deviation and a normal one, around 0, of the mean. */
  readonly posterior: (scale: number, meanDeviation: number) => GridPosterior;
}

/** Its likelihood is a product over every shoulder: beyond this many in one arm it is left to the binomial-normal model. */
const largestBetaBinomialArm = 50_000;

/** For counts with at least one event and one shoulder without. */
export function rateContext(counts: readonly Count[]): RateContext {
  let events = 0;
  let total = 0;
  for (const count of counts) {
    events += count.events;
    total += count.total;
  }
  const crude = Math.log(events / (total - events));
  const likelihood = binomialNormalStudies(counts);
  const overMedian = (t: number, s: number): RandomEffectsAt => likelihood.at(t, s);
  const median = once(() => fitted({ likelihood: overMedian }, crude));
  const inMean = (of: FittedProfile | undefined): FittedProfile | undefined => {
    if (!of) return undefined;
    // One likelihood in other coordinates: its highest point is the same study's.
    const { rate, rest } = meanOfStudies(of.peak.t, of.peak.s, emptyMean());
    const inner = of.problem.likelihood;
    const problem = { likelihood: overMeanOfStudies(inner) };
    const t = of.peak.s === 0 ? of.peak.t : Math.log(rate / rest);
    return withLimits(problem, peakOf(problem.likelihood, t, of.peak.s));
  };
  const posteriors = remembered((key: string) => {
    const [scale, deviation] = key.split(' ').map(Number) as [number, number];
    return gridPosterior(
      likelihood,
      { kind: 'half-normal', scale },
      { kind: 'normal', mean: 0, deviation },
      crude,
    );
  });
  return {
    counts,
    events,
    total,
    crude,
    likelihood,
    median,
    mean: once(() => inMean(median())),
    posterior: (scale, meanDeviation) => posteriors(`${scale} ${meanDeviation}`),
    betaBinomial: once(() =>
      counts.some((arm) => arm.total > largestBetaBinomialArm)
        ? undefined
        : fitted(betaBinomialProblem(counts), crude),
    ),
  };
}

function fitted(problem: ProfileProblem, start: number): FittedProfile | undefined {
  const peak = highestPeak(problem, start);
  return peak && withLimits(problem, peak);
}

function withLimits(problem: ProfileProblem, peak: Peak): FittedProfile {
  return {
    problem,
    peak,
    limits: remembered((cutOff) => [
      profileLimit(problem, peak, cutOff, -1),
      profileLimit(problem, peak, cutOff, 1),
    ]),
  };
}

/** Each argument's answer, worked out once. */
function remembered<K, V>(make: (key: K) => V): (key: K) => V {
  const made = new Map<K, V>();
  return (key) => {
    if (!made.has(key)) made.set(key, make(key));
    return made.get(key)!;
  };
}

/** The beta-binomial likelihood over the log odds of the mean rate and ω, where ω² = ρ/(1 − ρ). */
function betaBinomialProblem(counts: readonly Count[]): ProfileProblem {
  const objective = betaBinomialObjective([counts]);
  const parameters = new Float64Array(2);
  const gradient = new Float64Array(2);
  const hessian = new Float64Array(4);
  return {
    // Correlations up to 0.86.
    deviationUnit: 0.1,
    likelihood(t, s) {
      parameters[0] = t;
      parameters[1] = s;
      const logLikelihood = objective.evaluate(parameters, [false], gradient, hessian);
      return {
        logLikelihood,
        slopeMean: gradient[0]!,
        slopeDeviation: gradient[1]!,
        curvatureMean: hessian[0]!,
        curvatureMixed: hessian[1]!,
        curvatureDeviation: hessian[3]!,
      };
    },
  };
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}
