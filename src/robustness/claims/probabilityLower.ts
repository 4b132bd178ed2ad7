import type { Count } from '../../effects/estimate.ts';
import { betaCumulative, logGamma } from '../../numerics/distributions.ts';
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
  // An arm's angle spreads by about 1 / (2 √n) whatever its rate; twelve such steps leave out less than 1e-30.
  const centre = Math.atan2(Math.sqrt(a), Math.sqrt(b));
  const reach = 12 / (2 * Math.sqrt(a + b));
  const lower = Math.max(0, centre - reach);
  const upper = Math.min(Math.PI / 2, centre + reach);
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
