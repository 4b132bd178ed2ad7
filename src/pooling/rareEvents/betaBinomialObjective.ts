import type { Count } from '../../effects/estimate.ts';
import { logBinomialCoefficients } from './logBinomialCoefficients.ts';
import type { MixedObjective } from './mixedModel.ts';

/**
 * The beta-binomial log-likelihood over the logits of one mean per group and `ω`, where `ω²` is the
 * reciprocal of the beta distribution's two parameters added together.
 *
 * `P(x) = C(n,x) Π_{j<x}(π + jω²) Π_{j<n−x}(1 − π + jω²) / Π_{j<n}(1 + jω²)`: the products stay exact at `ω = 0`,
 * where the model is the binomial one. The intraclass correlation is `ω²/(1 + ω²)`.
 *
 * Sources: Griffiths DA, Biometrics 1973;29:637-648; Williams DA, Biometrics 1975;31:949-952 (in this form
 * Smith DM, Appl Stat 1983;32:196-204).
 *
 * @param groups counts that share a mean, one list per mean
 */
export function betaBinomialObjective(groups: readonly (readonly Count[])[]): MixedObjective {
  const size = groups.length + 1;
  const constant = logBinomialCoefficients(groups.flat());
  const last = size - 1;
  // The products of all arms share their factors: how many arms reach the j-th one.
  const reach = groups.map((counts) => ({
    withEvent: reaching(counts.map(({ events }) => events)),
    without: reaching(counts.map(({ events, total }) => total - events)),
  }));
  const totals = reaching(groups.flat().map(({ total }) => total));
  return {
    coefficients: groups.length,
    deviations: 1,
    evaluate(parameters, _atZero, gradient, hessian) {
      const omega = parameters[last]!;
      const delta = omega * omega;
      gradient.fill(0);
      hessian.fill(0);
      let value = constant;
      let slopeDelta = 0;
      let curvatureDelta = 0;
      for (let j = 1; j < totals.length; j++) {
        const inverse = 1 / (1 + j * delta);
        value += totals[j]! * Math.log(inverse);
        slopeDelta -= totals[j]! * j * inverse;
        curvatureDelta += totals[j]! * (j * inverse) ** 2;
      }
      for (let group = 0; group < groups.length; group++) {
        const logit = parameters[group]!;
        const small = Math.exp(-Math.abs(logit));
        const [less, more] = [small / (1 + small), 1 / (1 + small)];
        const mean = logit > 0 ? more : less;
        const rest = logit > 0 ? less : more;
        let slopeMean = 0;
        let curvatureMean = 0;
        let curvatureMixed = 0;
        const { withEvent, without } = reach[group]!;
        for (let j = 0; j < withEvent.length; j++) {
          const inverse = 1 / (mean + j * delta);
          const once = withEvent[j]! * inverse;
          value -= withEvent[j]! * Math.log(inverse);
          slopeMean += once;
          curvatureMean -= once * inverse;
          slopeDelta += j * once;
          curvatureDelta -= j * j * once * inverse;
          curvatureMixed -= j * once * inverse;
        }
        for (let j = 0; j < without.length; j++) {
          const inverse = 1 / (rest + j * delta);
          const once = without[j]! * inverse;
          value -= without[j]! * Math.log(inverse);
          slopeMean -= once;
          curvatureMean -= once * inverse;
          slopeDelta += j * once;
          curvatureDelta -= j * j * once * inverse;
          curvatureMixed += j * once * inverse;
        }
        // From the mean to its logit, and from ω² to ω.
        const step = mean * rest;
        gradient[group] = slopeMean * step;
        hessian[group * (size + 1)] = curvatureMean * step * step + slopeMean * step * (rest - mean);
        hessian[group * size + last] = curvatureMixed * step * 2 * omega;
        hessian[last * size + group] = curvatureMixed * step * 2 * omega;
      }
      gradient[last] = slopeDelta * 2 * omega;
      hessian[last * (size + 1)] = 4 * delta * curvatureDelta + 2 * slopeDelta;
      return value;
    },
  };
}

/** For each j from 0 up, how many of the lengths exceed it. */
function reaching(lengths: readonly number[]): Float64Array {
  const counts = new Float64Array(lengths.reduce((most, length) => Math.max(most, length), 0));
  for (const length of lengths) if (length > 0) counts[length - 1]! += 1;
  for (let j = counts.length - 2; j >= 0; j--) counts[j]! += counts[j + 1]!;
  return counts;
}
