import type { Count } from '../../effects/estimate.ts';
import { betaCumulative, betaQuantile, logGamma } from '../../numerics/distributions.ts';
import { kronrodNodes, kronrodWeights } from '../../pooling/bayesian/gaussKronrod.ts';

const panels = 24;

/**
 * How probable is it that the first arm's true rate is the lower one?
 *
 * Both rates get the posterior of Jeffreys' prior, Beta(x + ½, n − x + ½), independently. Integrated over the angle
 * whose squared sine is the rate, on which both ends are smooth.
 *
 * Source: Gelman A et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.8 (Jeffreys' prior of a binomial rate).
 *
 * @example
 * probabilityLower({ events: 0, total: 40 }, { events: 15, total: 45 }) // 0.99999
 */
export function probabilityLower(one: Count, other: Count): number {
  const a = one.events + 0.5;
  const b = one.total - one.events + 0.5;
  const logBeta = logGamma(a) + logGamma(b) - logGamma(a + b);
  const angle = (rate: number): number => Math.asin(Math.sqrt(rate));
  // All but 1e-13 of the first arm's probability.
  const lower = angle(betaQuantile(5e-14, a, b));
  const upper = Math.PI / 2 - angle(betaQuantile(5e-14, b, a));
  const half = (upper - lower) / (2 * panels);
  let sum = 0;
  for (let panel = 0; panel < panels; panel++) {
    const middle = lower + (2 * panel + 1) * half;
    for (const [index, node] of kronrodNodes.entries()) {
      const at = middle + half * node;
      const sine = Math.sin(at);
      const cosine = Math.cos(at);
      const density = 2 * Math.exp((2 * a - 1) * Math.log(sine) + (2 * b - 1) * Math.log(cosine) - logBeta);
      // The other arm's rate above this one's: its complement below one less it.
      const above = betaCumulative(cosine * cosine, other.total - other.events + 0.5, other.events + 0.5);
      sum += half * kronrodWeights[index]! * density * above;
    }
  }
  return Math.min(1, Math.max(0, sum));
}
