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
      for (const [group, counts] of groups.entries()) {
        const logit = parameters[group]!;
        const small = Math.exp(-Math.abs(logit));
        const [less, more] = [small / (1 + small), 1 / (1 + small)];
        const mean = logit > 0 ? more : less;
        const rest = logit > 0 ? less : more;
        let slopeMean = 0;
        let curvatureMean = 0;
        let curvatureMixed = 0;
        for (const { events, total } of counts) {
          for (let j = 0; j < events; j++) {
            const inverse = 1 / (mean + j * delta);
            value -= Math.log(inverse);
            slopeMean += inverse;
            curvatureMean -= inverse * inverse;
            slopeDelta += j * inverse;
            curvatureDelta -= (j * inverse) ** 2;
            curvatureMixed -= j * inverse * inverse;
          }
          for (let j = 0; j < total - events; j++) {
            const inverse = 1 / (rest + j * delta);
            value -= Math.log(inverse);
            slopeMean -= inverse;
            curvatureMean -= inverse * inverse;
            slopeDelta += j * inverse;
            curvatureDelta -= (j * inverse) ** 2;
            curvatureMixed += j * inverse * inverse;
          }
          for (let j = 0; j < total; j++) {
            const inverse = 1 / (1 + j * delta);
            value += Math.log(inverse);
            slopeDelta -= j * inverse;
            curvatureDelta += (j * inverse) ** 2;
          }
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
