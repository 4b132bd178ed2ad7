import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { unweightedScatter } from './unweightedScatter.ts';

/**
 * How much do true values vary, when some variation is taken for granted?
 *
 * Start from `τ₀² = Σ (y - ȳ)² / k`; with `r = v / τ₀² + 1` and μ the mean weighted by 1/r,
 * `τ² = Σ (y - μ)² / r / (k - 1)`. Never zero unless all values are the same.
 *
 * Source: Sidik K, Jonkman JN, J R Stat Soc C 2005;54:367-384, section 2.
 */
export const sidikJonkman: VarianceEstimatorMethod = {
  id: 'sidik-jonkman',
  name: 'Sidik-Jonkman method',
  source: 'Sidik K, Jonkman JN. J R Stat Soc C 2005;54:367-384',
  estimate(sample) {
    const { count, distances, variances } = sample;
    const start = unweightedScatter(sample) / count;
    // Also when the values differ so little that their squares cannot be divided by.
    if (!(start > 1e-100)) return { value: 0 };
    let weightSum = 0;
    let weighted = 0;
    for (let i = 0; i < count; i++) {
      const weight = 1 / (variances[i]! / start + 1);
      weightSum += weight;
      weighted += weight * distances[i]!;
    }
    const mean = weighted / weightSum;
    let squares = 0;
    for (let i = 0; i < count; i++) squares += (distances[i]! - mean) ** 2 / (variances[i]! / start + 1);
    return { value: squares / (count - 1) };
  },
};
