import { weightedMean } from '../pooledSample.ts';
import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { derSimonianLaird } from './derSimonianLaird.ts';

/**
 * What does the method of moments say once it weighs studies as the random-effects pool does?
 *
 * With `w = 1 / (v + τ²)` at the DerSimonian-Laird τ²:
 * `max(0, (Σ w (y - μ)² - (Σ w v - Σ w² v / Σ w)) / (Σ w - Σ w² / Σ w))`.
 *
 * Source: DerSimonian R, Kacker R, Contemp Clin Trials 2007;28:105-114, section 2.4, equation 10.
 */
export const twoStepDerSimonianLaird: VarianceEstimatorMethod = {
  id: 'two-step-dersimonian-laird',
  name: 'two-step DerSimonian-Laird method of moments',
  source: 'DerSimonian R, Kacker R. Contemp Clin Trials 2007;28:105-114',
  estimate(sample, common) {
    const first = derSimonianLaird.estimate(sample, common).value;
    if (first === 0) return { value: 0 };
    const { q, weightSum } = weightedMean(sample, first);
    let expected = 0;
    let scale = 0;
    for (let i = 0; i < sample.count; i++) {
      const variance = sample.variances[i]!;
      const weight = 1 / (variance + first);
      const moment = weight * (1 - weight / weightSum);
      expected += moment * variance;
      scale += moment;
    }
    return { value: Math.max(0, (q - expected) / scale) };
  },
};
