// Invented studies for tests of robustness: places and numbers are made up.
import type { AnalysisScale } from '../../src/effects/analysisScale.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import { normalQuantile } from '../../src/numerics/distributions.ts';
import { seededUniform } from '../../src/numerics/seededUniform.ts';
import { estimatesOf } from '../pooling/estimates.ts';

/** Studies around 0.2 with a given spread between them and sampling variances from about 0.005 to 0.5. */
export function estimatesFrom(
  seed: number,
  count: number,
  spread: number,
  scale: AnalysisScale = 'plain',
): Estimate[] {
  const random = seededUniform(seed);
  const variances = Array.from({ length: count }, () => 0.005 * 100 ** random());
  const values = variances.map((variance) => {
    const deviation = Math.sqrt(variance + spread * spread);
    return 0.2 + deviation * normalQuantile(random());
  });
  return estimatesOf(values, variances, scale);
}

/** Relative agreement; `size` is what a difference is measured against when the expected value is near zero. */
export function agree(actual: number | undefined, expected: number, tolerance: number, size = 0): void {
  const allowed = tolerance * Math.max(Math.abs(expected), size);
  if (actual === undefined || !(Math.abs(actual - expected) <= allowed)) {
    throw new Error(`expected ${expected}, received ${actual} (allowed ${allowed})`);
  }
}
