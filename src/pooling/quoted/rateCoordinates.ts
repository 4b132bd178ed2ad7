import { emptyMean, meanLogOddsFor } from './meanOfStudies.ts';
import type { TwoParameterLikelihood } from './profile.ts';
import type { RandomEffectsAt } from './tabulatedLikelihood.ts';

/**
 * The same likelihood over the log odds of the mean of the studies' rates in place of the mean of their log odds.
 *
 * For every deviation the two rise together, so that one stands for the other; derivatives follow from those of the
 * mean rate by the rule for implicit functions.
 */
export function overMeanOfStudies(likelihood: TwoParameterLikelihood): TwoParameterLikelihood {
  const mean = emptyMean();
  const result: RandomEffectsAt = {
    logLikelihood: 0,
    slopeMean: 0,
    slopeDeviation: 0,
    curvatureMean: 0,
    curvatureMixed: 0,
    curvatureDeviation: 0,
  };
  let lastT = Number.NaN;
  let lastS = Number.NaN;
  let lastA = Number.NaN;
  return (t, s) => {
    // Near the last point the mean of the log odds has moved about as much as the log odds of the mean.
    const guess =
      Math.abs(t - lastT) < 3 && Math.abs(s - lastS) < 1
        ? lastA + (t - lastT) - 0.5 * (s * s - lastS * lastS)
        : t - 0.5 * Math.min(s * s, 4);
    const a = s === 0 ? t : meanLogOddsFor(t, s, mean, guess);
    lastT = t;
    lastS = s;
    lastA = a;
    const at = likelihood(a, s);
    if (s === 0) {
      // dη²/ds² of the mean's log odds at s = 0 is (q − p), with p the rate.
      const p = 1 / (1 + Math.exp(-t));
      result.logLikelihood = at.logLikelihood;
      result.slopeMean = at.slopeMean;
      result.slopeDeviation = 0;
      result.curvatureMean = at.curvatureMean;
      result.curvatureMixed = 0;
      result.curvatureDeviation = at.curvatureDeviation - at.slopeMean * (1 - 2 * p);
      return result;
    }
    // g(a, s) = ln(m / (1 − m)) and its derivatives.
    const per = 1 / (mean.rate * mean.rest);
    const bend = (mean.rest - mean.rate) * per;
    const ga = mean.inMean * per;
    const gs = mean.inDeviation * per;
    const gaa = mean.inMeanTwice * per - bend * per * mean.inMean * mean.inMean;
    const gas = mean.mixed * per - bend * per * mean.inMean * mean.inDeviation;
    const gss = mean.inDeviationTwice * per - bend * per * mean.inDeviation * mean.inDeviation;
    // a(t, s) with g(a, s) = t.
    const at1 = 1 / ga;
    const as1 = -gs / ga;
    const att = -gaa * at1 * at1 * at1;
    const ats = -(gaa * at1 * as1 + gas * at1) / ga;
    const ass = -(gss + 2 * gas * as1 + gaa * as1 * as1) / ga;
    result.logLikelihood = at.logLikelihood;
    result.slopeMean = at.slopeMean * at1;
    result.slopeDeviation = at.slopeMean * as1 + at.slopeDeviation;
    result.curvatureMean = at.curvatureMean * at1 * at1 + at.slopeMean * att;
    result.curvatureMixed = at.curvatureMean * at1 * as1 + at.curvatureMixed * at1 + at.slopeMean * ats;
    result.curvatureDeviation =
      at.curvatureMean * as1 * as1 + 2 * at.curvatureMixed * as1 + at.curvatureDeviation + at.slopeMean * ass;
    return result;
  };
}
