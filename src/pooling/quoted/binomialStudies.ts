import type { Count } from '../../effects/estimate.ts';
import { binomialLogitTerm } from '../rareEvents/likelihoodTerms.ts';
import { logBinomialCoefficients } from '../rareEvents/logBinomialCoefficients.ts';
import { type StudyTerm, TabulatedLikelihood } from './tabulatedLikelihood.ts';

/**
 * The binomial-normal likelihood of counts over mean and deviation of their log odds:
 * `events ~ binomial(total, p)`, `logit p ~ normal(mean, deviation²)`.
 *
 * Source: Hamza TH et al., J Clin Epidemiol 2008;61:41-51.
 */
export function binomialNormalStudies(counts: readonly Count[]): TabulatedLikelihood {
  return new TabulatedLikelihood(counts.map(binomialStudyTerm), logBinomialCoefficients(counts));
}

/** One count's log-likelihood in its log odds. */
function binomialStudyTerm({ events, total }: Count): StudyTerm {
  const term = binomialLogitTerm(events, total);
  const rest = total - events;
  if (events === 0 || rest === 0) {
    // (1 + e^θ)^-n falls to a half near ln(ln 2 / n).
    const midpoint = Math.log(Math.expm1(Math.LN2 / total));
    return events === 0
      ? { term, highest: 0, centre: midpoint, width: 1, open: -1 }
      : { term, highest: 0, centre: -midpoint, width: 1, open: 1 };
  }
  return {
    term,
    highest: events * Math.log(events / total) + rest * Math.log(rest / total),
    centre: Math.log(events / rest),
    width: Math.sqrt(total / (events * rest)),
    open: 0,
  };
}
