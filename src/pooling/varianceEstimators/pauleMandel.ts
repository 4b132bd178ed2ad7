import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { varianceAtQ } from '../varianceIntervals/qProfile.ts';
import { derSimonianLaird } from './derSimonianLaird.ts';

/**
 * Which between-study variance makes the studies scatter exactly as much as expected?
 *
 * The τ² at which `Q(τ²) = Σ (y - μ)² / (v + τ²)` equals its expectation `k - 1`; zero when Q is already smaller
 * without any.
 *
 * Source: Paule RC, Mandel J, J Res Natl Bur Stand 1982;87:377-385; DerSimonian R, Kacker R, Contemp Clin Trials
 * 2007;28:105-114, section 2.3.
 */
export const pauleMandel: VarianceEstimatorMethod = {
  id: 'paule-mandel',
  name: 'Paule-Mandel method',
  source: 'Paule RC, Mandel J. J Res Natl Bur Stand 1982;87:377-385',
  estimate(sample, common) {
    const expected = sample.count - 1;
    return {
      value: varianceAtQ(sample, common.q, expected, derSimonianLaird.estimate(sample, common).value),
    };
  },
};
