import { quantileSorted } from 'd3-array';
import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import { seededUniform } from '../../numerics/seededUniform.ts';
import { cochranQCumulative } from '../cochranQDistribution.ts';
import { type PooledSample, type WeightedMean, weightedMean } from '../pooledSample.ts';
import type { PredictionMethod } from '../predictionIntervalMethods.ts';

const gridPoints = 400;

/**
 * Where may the true value of the next study lie, when the between-study variance itself is uncertain?
 *
 * Each draw takes a between-study variance τ̃² from its confidence distribution (one minus the exact probability of
 * a Cochran Q no larger than the one seen), the mean μ̃ with weights `1 / (v + τ̃²)` and its Hartung-Knapp standard
 * error, and predicts `μ̃ + z τ̃ - t SE` with z standard normal and t Student's with k - 1 degrees of freedom. The
 * limits are the quantiles of the draws, moved out to the mean where a low level would leave it outside. The confidence distribution is tabulated at 400 variances and interpolated
 * between them (in log variance against log odds). No answer below three studies.
 *
 * Source: Nagashima K, Noma H, Furukawa TA, Stat Methods Med Res 2019;28:1689-1702.
 */
export const bootstrapPrediction: PredictionMethod = {
  id: 'bootstrap',
  name: 'a parametric bootstrap over the confidence distribution of the between-study variance',
  source: 'Nagashima K, Noma H, Furukawa TA. Stat Methods Med Res 2019;28:1689-1702',
  reach(sample, mean, level, bootstrap) {
    if (sample.count < 3 || !bootstrap) return undefined;
    const next = seededUniform(bootstrap.seed);
    const varianceAt = confidenceQuantile(sample, weightedMean(sample, 0));
    const draws = new Float64Array(bootstrap.draws);
    for (let draw = 0; draw < draws.length; draw++) {
      const variance = varianceAt(next());
      const at = weightedMean(sample, variance);
      const standardError = Math.sqrt(at.q / (sample.count - 1) / at.weightSum);
      const z = normalQuantile(next());
      const t = studentTQuantile(next(), sample.count - 1);
      draws[draw] = at.distance + z * Math.sqrt(variance) - t * standardError;
    }
    const sorted = Array.from(draws.sort());
    const tail = (1 - level) / 2;
    return {
      below: Math.max(0, mean.distance - quantileSorted(sorted, tail)!),
      above: Math.max(0, quantileSorted(sorted, 1 - tail)! - mean.distance),
    };
  },
};

/** The between-study variance at a probability of its confidence distribution; zero where that has its atom. */
function confidenceQuantile(sample: PooledSample, common: WeightedMean): (probability: number) => number {
  const confidence = (variance: number): number => 1 - cochranQCumulative(sample, common.q, variance);
  const smallest = sample.variances[sample.mostPrecise]!;
  let top = smallest;
  for (let doubling = 0; confidence(top) < 1 - 1e-6 && doubling < 200; doubling++) top *= 4;
  const bottom = 1e-6 * smallest;
  const ratio = (top / bottom) ** (1 / (gridPoints - 1));
  const logVariance = new Float64Array(gridPoints);
  const logOdds = new Float64Array(gridPoints);
  for (let i = 0; i < gridPoints; i++) {
    const variance = bottom * ratio ** i;
    const probability = Math.min(1 - 1e-15, Math.max(1e-15, confidence(variance)));
    logVariance[i] = Math.log(variance);
    // Rounding in the flat ends must not make the table fall.
    logOdds[i] = Math.max(
      i > 0 ? logOdds[i - 1]! : Number.NEGATIVE_INFINITY,
      Math.log(probability / (1 - probability)),
    );
  }
  const atom = confidence(0);
  return (probability) => {
    if (probability <= atom) return 0;
    const target = Math.log(probability / (1 - probability));
    if (target <= logOdds[0]!) return bottom;
    if (target >= logOdds[gridPoints - 1]!) return top;
    let low = 0;
    let high = gridPoints - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (logOdds[middle]! <= target) low = middle;
      else high = middle;
    }
    const rise = logOdds[high]! - logOdds[low]!;
    const share = rise > 0 ? (target - logOdds[low]!) / rise : 0;
    return Math.exp(logVariance[low]! + share * (logVariance[high]! - logVariance[low]!));
  };
}
