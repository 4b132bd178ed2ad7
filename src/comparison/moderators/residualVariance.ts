import { chiSquareQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { findIncreasingRoot } from '../../numerics/rootFinding.ts';
import type { VarianceEstimator } from '../../pooling/poolOptions.ts';
import type { RegressionSample } from './regressionSample.ts';
import { residualLikelihoodPeaks } from './residualLikelihood.ts';
import { projectionTraces, type WeightedRegression, weightedRegression } from './weightedRegression.ts';

type Estimator = (sample: RegressionSample, common: WeightedRegression) => number;

/**
 * Every between-study variance estimator of the pooling stage, for what covariates leave unexplained. With k rows
 * and p columns, `P` the projection of {@link weightedRegression}:
 *
 * - DerSimonian-Laird: `(Q - (k - p)) / tr P` at τ² = 0; two-step: `(Q - tr PV) / tr P` at that τ².
 * - Paule-Mandel and empirical Bayes: `Q(τ²) = k - p`.
 * - Hedges-Olkin: `(yᵀMy - tr MV) / (k - p)`, M the residual projection of the unweighted fit.
 * - Sidik-Jonkman: from `τ₀² = yᵀMy / k`, weighted residual squares over k - p.
 * - Hunter-Schmidt: `(Q - k) / Σ w` at τ² = 0.
 * - maximum and restricted maximum likelihood: highest peak.
 *
 * All are at least zero and, without covariates, the pooling stage's own.
 *
 * Source: DerSimonian R, Kacker R, Contemp Clin Trials 2007;28:105-114; Viechtbauer W et al., Psychol Methods
 * 2015;20:360-374, section on estimators; Sidik K, Jonkman JN, J R Stat Soc C 2005;54:367-384, section 4.
 */
export const residualVarianceEstimators: Readonly<Record<VarianceEstimator, Estimator>> = {
  'dersimonian-laird': momentsFromZero,
  'two-step-dersimonian-laird': (sample, common) => {
    const first = momentsFromZero(sample, common);
    if (first === 0) return 0;
    const fit = weightedRegression(sample, first);
    const { trace, traceSampling } = projectionTraces(sample, fit);
    return Math.max(0, (fit.q - traceSampling) / trace);
  },
  'paule-mandel': pauleMandel,
  'hedges-olkin': (sample, common) => {
    const ones = new Float64Array(sample.count).fill(1);
    const fit = weightedRegression(sample, 0, ones);
    const { traceSampling } = projectionTraces(sample, { ...common, inverse: fit.inverse }, ones);
    return Math.max(0, (fit.q - traceSampling) / (sample.count - sample.width));
  },
  'sidik-jonkman': (sample) => {
    const start = weightedRegression(sample, 0, new Float64Array(sample.count).fill(1)).q / sample.count;
    if (!(start > 1e-100)) return 0;
    const weights = sample.variances.map((variance) => 1 / (variance / start + 1));
    return weightedRegression(sample, 0, weights).q / (sample.count - sample.width);
  },
  'hunter-schmidt': (sample, common) => {
    const weights = sample.variances.reduce((sum, variance) => sum + 1 / variance, 0);
    return Math.max(0, (common.q - sample.count) / weights);
  },
  'maximum-likelihood': (sample) => residualLikelihoodPeaks(sample, false)[0]!.betweenStudyVariance,
  'restricted-maximum-likelihood': (sample) => residualLikelihoodPeaks(sample, true)[0]!.betweenStudyVariance,
  'empirical-bayes': pauleMandel,
};

function momentsFromZero(sample: RegressionSample, common: WeightedRegression): number {
  const excess = common.q - (sample.count - sample.width);
  return excess > 0 ? excess / projectionTraces(sample, common).trace : 0;
}

function pauleMandel(sample: RegressionSample, common: WeightedRegression): number {
  return residualVarianceAtQ(sample, common, sample.count - sample.width);
}

/** The residual variance at which the generalised Q equals `target`; zero when Q is smaller already. */
export function residualVarianceAtQ(
  sample: RegressionSample,
  common: WeightedRegression,
  target: number,
): number {
  if (common.q <= target) return 0;
  // Q is at most the unweighted residual squares over τ².
  const squares = weightedRegression(sample, 0, new Float64Array(sample.count).fill(1)).q;
  return findIncreasingRoot(
    (variance, out) => {
      const { q, fall } = weightedRegression(sample, variance);
      out[0] = 1 / q - 1 / target;
      out[1] = fall / (q * q);
    },
    0,
    (squares / target) * (1 + 1e-12),
    (common.q - target) / common.fall,
  ).root;
}

/**
 * Which residual between-study variances are compatible with the scatter around the fit?
 *
 * Q-profile with k - p degrees of freedom; undefined when even no variance makes Q smaller than the lower quantile.
 *
 * Source: Viechtbauer W, Stat Med 2007;26:37-52, section 3.1; Jackson D et al., Stat Med 2014;33:3639-3654.
 */
export function residualVarianceInterval(
  sample: RegressionSample,
  common: WeightedRegression,
  level: number,
): Interval | undefined {
  const degreesOfFreedom = sample.count - sample.width;
  const tail = (1 - level) / 2;
  const smallest = chiSquareQuantile(tail, degreesOfFreedom);
  if (common.q <= smallest) return undefined;
  return {
    lower: residualVarianceAtQ(sample, common, chiSquareQuantile(1 - tail, degreesOfFreedom)),
    upper: residualVarianceAtQ(sample, common, smallest),
    level,
  };
}
