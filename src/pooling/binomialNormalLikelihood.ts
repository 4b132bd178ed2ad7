import type { Count } from '../effects/estimate.ts';
import { logGamma } from '../numerics/distributions.ts';
import { gaussHermite } from '../numerics/gaussHermite.ts';

/** Log-likelihood of the binomial-normal model with its first and second derivatives at one point. */
export interface LikelihoodAt {
  readonly logLikelihood: number;
  readonly slopeMean: number;
  readonly slopeDeviation: number;
  readonly curvatureMean: number;
  readonly curvatureMixed: number;
  readonly curvatureDeviation: number;
}

/** Where the integrand is evaluated around its peak, and with what log factor. */
export interface LikelihoodRule {
  /** In widths of the peak, or for `outward` rules in steps. */
  readonly nodes: Float64Array;
  /** Log of the rule's weight over the normal density at the node. */
  readonly logFactors: Float64Array;
  /** Whether nodes run outward from zero on alternating sides, so that summing may stop early. */
  readonly outward: boolean;
}

/** Adaptive Gauss-Hermite: accurate with few points while the integrand is close to a normal density. */
export function gaussHermiteRule(points: number): LikelihoodRule {
  const { nodes, weights } = gaussHermite(points);
  return {
    nodes,
    logFactors: weights.map((weight, j) => Math.log(weight) + nodes[j]! ** 2 / 2),
    outward: false,
  };
}

/** Steps of {@link trapezoidalRule} on each side, and their largest size: in widths of the peak, and in log odds. */
const trapezoidalSteps = 1000;
const largestStep = 0.25;
const largestLogOddsStep = 0.4;

/**
 * The trapezoidal rule: many points, accurate to rounding for any smooth integrand that vanishes at both ends. Needed
 * where studies differ so much that an arm without events has a long one-sided tail, which Gauss-Hermite cuts short.
 * Nodes are counted in steps outward from the peak, so that summing can stop where both tails have died out.
 *
 * Source: Trefethen LN, Weideman JAC, SIAM Rev 2014;56:385-458, theorem 5.1.
 */
export function trapezoidalRule(): LikelihoodRule {
  const nodes = new Float64Array(2 * trapezoidalSteps + 1);
  for (let j = 1; j <= trapezoidalSteps; j++) {
    nodes[2 * j - 1] = j;
    nodes[2 * j] = -j;
  }
  const logFactor = -0.5 * Math.log(2 * Math.PI);
  return { nodes, logFactors: nodes.map(() => logFactor), outward: true };
}

const modeIterations = 60;

/**
 * How likely are these counts, if each study's log odds are drawn from a normal distribution?
 *
 * `events ~ binomial(total, p)`, `logit p = mean + deviation * u`, `u ~ normal(0, 1)`. Each study's `u` is
 * integrated out by a rule moved to the peak of the integrand and scaled by its curvature
 * (Pinheiro JC, Bates DM, J Comput Graph Stat 1995;4:12-35, section 2.4). The derivatives come from the same
 * points: the score is the expected score given the data (Fisher's identity) and the curvature follows from
 * Louis TA, J R Stat Soc B 1982;44:226-233, equation 3.1.
 *
 * The peaks found are kept as starting points for the next evaluation, so one object serves one fit.
 */
export class BinomialNormalLikelihood {
  readonly #events: Float64Array;
  readonly #totals: Float64Array;
  readonly #peaks: Float64Array;
  readonly #nodes: Float64Array;
  readonly #logFactors: Float64Array;
  readonly #outward: boolean;
  /** Sum of the log binomial coefficients. */
  readonly #constant: number;
  #warm = false;

  constructor(counts: readonly Count[], rule: LikelihoodRule) {
    this.#events = Float64Array.from(counts, (count) => count.events);
    this.#totals = Float64Array.from(counts, (count) => count.total);
    this.#peaks = new Float64Array(counts.length);
    this.#nodes = rule.nodes;
    this.#logFactors = rule.logFactors;
    this.#outward = rule.outward;
    let constant = 0;
    for (const { events, total } of counts) {
      constant += logGamma(total + 1) - logGamma(events + 1) - logGamma(total - events + 1);
    }
    this.#constant = constant;
  }

  /** The integrated likelihood at a mean and a deviation of zero or more. */
  at(mean: number, deviation: number): LikelihoodAt {
    const nodes = this.#nodes;
    const logFactors = this.#logFactors;
    const points = nodes.length;
    const outward = this.#outward;
    let logLikelihood = this.#constant;
    let slopeMean = 0;
    let slopeDeviation = 0;
    let curvatureMean = 0;
    let curvatureMixed = 0;
    let curvatureDeviation = 0;
    for (let i = 0; i < this.#events.length; i++) {
      const events = this.#events[i]!;
      const total = this.#totals[i]!;
      const peak = this.#peak(i, mean, deviation);
      const peakLogOdds = mean + deviation * peak;
      const small = Math.exp(-Math.abs(peakLogOdds));
      const rate = peakLogOdds > 0 ? 1 / (1 + small) : small / (1 + small);
      const rest = peakLogOdds > 0 ? small / (1 + small) : 1 / (1 + small);
      const spread = 1 / Math.sqrt(1 + deviation * deviation * total * rate * rest);

      // The logistic curve is smooth over steps of log odds, not of the peak's width alone.
      const unit = outward ? Math.min(largestStep * spread, largestLogOddsStep / deviation) : spread;
      let quiet = 0;
      let sum = 0;
      let score = 0;
      let scoreU = 0;
      let scoreSquare = 0;
      let scoreSquareU = 0;
      let scoreSquareUU = 0;
      let information = 0;
      let informationU = 0;
      let informationUU = 0;
      for (let j = 0; j < points; j++) {
        const move = unit * nodes[j]!;
        const u = peak + move;
        const shift = deviation * move;
        // log(1 + e^η) and the rate, both as changes from the peak: no large numbers are subtracted.
        let change: number;
        let p: number;
        let q: number;
        if (shift <= 0) {
          const e = Math.expm1(shift);
          const scale = 1 + rate * e;
          change = Math.log1p(rate * e);
          p = (rate * (1 + e)) / scale;
          q = rest / scale;
        } else {
          const e = Math.expm1(-shift);
          const scale = 1 + rest * e;
          change = shift + Math.log1p(rest * e);
          p = rate / scale;
          q = (rest * (1 + e)) / scale;
        }
        const weight = Math.exp(
          events * shift - total * change - move * (peak + 0.5 * move) + logFactors[j]!,
        );
        const s = events * q - (total - events) * p;
        const v = total * p * q;
        const ws = weight * s;
        const wss = ws * s;
        const wv = weight * v;
        sum += weight;
        score += ws;
        scoreU += ws * u;
        scoreSquare += wss;
        scoreSquareU += wss * u;
        scoreSquareUU += wss * u * u;
        information += wv;
        informationU += wv * u;
        informationUU += wv * u * u;
        if (outward) {
          quiet = weight < 1e-20 * sum ? quiet + 1 : 0;
          if (quiet === 2) break;
        }
      }
      const meanScore = score / sum;
      const meanScoreU = scoreU / sum;
      slopeMean += meanScore;
      slopeDeviation += meanScoreU;
      curvatureMean += (scoreSquare - information) / sum - meanScore * meanScore;
      curvatureMixed += (scoreSquareU - informationU) / sum - meanScore * meanScoreU;
      curvatureDeviation += (scoreSquareUU - informationUU) / sum - meanScoreU * meanScoreU;
      logLikelihood +=
        events * peakLogOdds -
        total * (Math.max(peakLogOdds, 0) + Math.log1p(small)) -
        0.5 * peak * peak +
        Math.log(unit * sum);
    }
    this.#warm = true;
    return { logLikelihood, slopeMean, slopeDeviation, curvatureMean, curvatureMixed, curvatureDeviation };
  }

  /** Where the integrand of study `i` peaks: Newton steps on a concave function, kept inside a bracket. */
  #peak(i: number, mean: number, deviation: number): number {
    if (deviation === 0) return 0;
    const events = this.#events[i]!;
    const total = this.#totals[i]!;
    let low = deviation * (events - total);
    let high = deviation * events;
    let u = this.#warm ? this.#peaks[i]! : this.#firstGuess(events, total, mean, deviation);
    if (!(u >= low && u <= high)) u = 0;
    for (let iteration = 0; iteration < modeIterations; iteration++) {
      const logOdds = mean + deviation * u;
      const small = Math.exp(-Math.abs(logOdds));
      const larger = 1 / (1 + small);
      const p = logOdds > 0 ? larger : small * larger;
      const q = logOdds > 0 ? small * larger : larger;
      const slope = deviation * (events * q - (total - events) * p) - u;
      if (slope > 0) low = u;
      else high = u;
      let next = u + slope / (1 + deviation * deviation * total * p * q);
      if (!(next >= low && next <= high)) next = 0.5 * (low + high);
      const step = Math.abs(next - u);
      u = next;
      // Convergence is quadratic, so after a step this small the next would be below rounding.
      if (step <= 1e-7 * (1 + Math.abs(u))) break;
    }
    this.#peaks[i] = u;
    return u;
  }

  #firstGuess(events: number, total: number, mean: number, deviation: number): number {
    const a = events + 0.5;
    const b = total - events + 0.5;
    const variance = 1 / a + 1 / b;
    return ((Math.log(a / b) - mean) * deviation) / (deviation * deviation + variance);
  }
}
