import { chiSquareUpperTail } from '../numerics/distributions.ts';

/** How much less likely the values seen are when all studies share one true value. */
export interface HomogeneityTest {
  /** Twice the drop of the log-likelihood, zero or more. */
  readonly statistic: number;
  readonly pValue: number;
}

/**
 * Do the studies share one true value, judged from how much likelier they are when they need not?
 *
 * Twice the drop of the log-likelihood from its highest point to its highest at a between-study variance of 0. A variance
 * of 0 lies at the end of its range, so that under one shared value the statistic is 0 in half of all reviews and
 * chi-square with one degree of freedom in the other half: `p = ½ P(χ²₁ > statistic)`, and 1 for a statistic of 0. This
 * holds for many studies; with few, 0 is met more often and the p value is on the large side.
 *
 * Source: Self SG, Liang K-Y, J Am Stat Assoc 1987;82:605-610, case 5; Stram DO, Lee JW, Biometrics 1994;50:1171-1177.
 *
 * @param highest log-likelihood at its highest point
 * @param shared log-likelihood at its highest where all studies share one value
 * @example
 * homogeneityTest(-10, -12) // { statistic: 4, pValue: 0.0228 }
 */
export function homogeneityTest(highest: number, shared: number): HomogeneityTest {
  const statistic = Math.max(0, 2 * (highest - shared));
  return { statistic, pValue: statistic > 0 ? chiSquareUpperTail(statistic, 1) / 2 : 1 };
}
