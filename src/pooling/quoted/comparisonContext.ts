import { findIncreasingRoot } from '../../numerics/rootFinding.ts';
import type { DeviationPrior } from '../bayesian/deviationPrior.ts';
import type { MeanPrior } from '../bayesian/meanPrior.ts';
import {
  conditionalLikelihood,
  conditionalMaximum,
  logOddsRatioLimit,
} from '../rareEvents/conditionalLikelihood.ts';
import { binomialLogitTerm, type LikelihoodTerm } from '../rareEvents/likelihoodTerms.ts';
import type { NoncentralHypergeometric } from '../rareEvents/noncentralHypergeometric.ts';
import { isDoubleZero, type TwoArmTable } from '../rareEvents/twoArmTable.ts';
import { type GridPosterior, gridPosterior } from './gridPosterior.ts';
import { highestPeak, type Peak, type ProfileProblem } from './profile.ts';
import { type StudyTerm, TabulatedLikelihood } from './tabulatedLikelihood.ts';

/** A random-effects likelihood of studies' effects, logarithms of ratios. */
export interface EffectLikelihood {
  readonly likelihood: TabulatedLikelihood;
  /** The effect that they would share. */
  readonly shared: number;
  /** Studies that say anything about the effect. */
  readonly studies: number;
  /** The posterior under {@link effectDeviationPrior} and {@link effectMeanPrior}, worked out once for each scale. */
  readonly posterior: (scale: EffectDeviationScale) => GridPosterior;
}

/** The same with its highest point. */
export interface FittedEffects extends EffectLikelihood {
  readonly problem: ProfileProblem;
  readonly peak: Peak;
}

/**
 * Scales of the half-normal prior for the between-study deviation of log odds ratios and log risk ratios: 0.5 expects
 * effects to differ little to fairly much, 1 leaves room for extremes.
 *
 * Source: Röver C et al., Res Synth Methods 2021;12:448-474.
 */
export type EffectDeviationScale = 0.5 | 1;
export const effectDeviationPrior = (scale: EffectDeviationScale): DeviationPrior => ({
  kind: 'half-normal',
  scale,
});

/** Wide enough for odds ratios from 1/250 to 250: Günhan BK, Röver C, Friede T, Res Synth Methods 2020;11:74-90. */
export const effectMeanPrior = { kind: 'normal', mean: 0, deviation: 2.82 } as const satisfies MeanPrior;

/**
 * The hypergeometric-normal model of log odds ratios: given its margins each study's treated events follow the
 * non-central hypergeometric distribution, with a log odds ratio of its own that is normal(θ, τ²).
 *
 * @returns undefined where all events lie in one kind of arm
 *
 * Sources: Van Houwelingen HC, Zwinderman KH, Stijnen T, Stat Med 1993;12:2273-2284; Stijnen T, Hamza TH, Özdemir P,
 * Stat Med 2010;29:3046-3067, section 3.
 */
export function hypergeometricNormal(tables: readonly TwoArmTable[]): EffectLikelihood | undefined {
  const conditional = conditionalLikelihood(tables);
  const shared = conditionalMaximum(conditional);
  return (
    shared &&
    effectLikelihood(
      conditional.informative.filter(({ lowest, highest }) => lowest < highest).map(hypergeometricTerm),
      shared.value,
    )
  );
}

/** @returns undefined also where the likelihood rises without end */
export const fitHypergeometricNormal = (tables: readonly TwoArmTable[]): FittedEffects | undefined =>
  fitted(hypergeometricNormal(tables));

/**
 * The binomial-normal model of log rate ratios for rare events: given how many events a study had, the treated ones are
 * binomial with log odds `θᵢ + ln(n₁/n₂)`, and `θᵢ` is normal(θ, τ²). Exact for Poisson counts; for risks that are not
 * small it takes events to vary more than they do.
 *
 * Source: Stijnen T, Hamza TH, Özdemir P, Stat Med 2010;29:3046-3067, section 4 (conditional on the sum of events).
 */
export function conditionalBinomialNormal(tables: readonly TwoArmTable[]): EffectLikelihood | undefined {
  const used = tables.filter((table) => !isDoubleZero(table));
  let treated = 0;
  let comparator = 0;
  let offsets = 0;
  for (const table of used) {
    treated += table.treated.events;
    comparator += table.comparator.events;
    offsets += Math.log(table.treated.total / table.comparator.total);
  }
  if (treated === 0 || comparator === 0) return undefined;
  return effectLikelihood(
    used.map((table) => {
      const { events } = table.treated;
      const rest = table.comparator.events;
      const offset = Math.log(table.treated.total / table.comparator.total);
      const logit = binomialLogitTerm(events, events + rest);
      const term: LikelihoodTerm = (theta, out) => logit(theta + offset, out);
      if (events === 0 || rest === 0) {
        const midpoint = Math.log(Math.expm1(Math.LN2 / (events + rest)));
        return events === 0
          ? { term, highest: 0, centre: midpoint - offset, width: 1, open: -1 }
          : { term, highest: 0, centre: -midpoint - offset, width: 1, open: 1 };
      }
      return {
        term,
        highest: events * Math.log(events / (events + rest)) + rest * Math.log(rest / (events + rest)),
        centre: Math.log(events / rest) - offset,
        width: Math.sqrt(1 / events + 1 / rest),
        open: 0,
      };
    }),
    Math.log(treated / comparator) - offsets / used.length,
  );
}

function effectLikelihood(terms: readonly StudyTerm[], shared: number): EffectLikelihood {
  const likelihood = new TabulatedLikelihood(terms);
  const posteriors = new Map<EffectDeviationScale, GridPosterior>();
  return {
    likelihood,
    shared,
    studies: terms.length,
    posterior(scale) {
      const made =
        posteriors.get(scale) ??
        gridPosterior(likelihood, effectDeviationPrior(scale), effectMeanPrior, shared);
      posteriors.set(scale, made);
      return made;
    },
  };
}

/** With its highest point; undefined where it rises without end. */
export function fitted(effects: EffectLikelihood | undefined): FittedEffects | undefined {
  if (!effects) return undefined;
  const problem: ProfileProblem = { likelihood: (t, s) => effects.likelihood.at(t, s) };
  const peak = highestPeak(problem, effects.shared);
  return peak && { ...effects, problem, peak };
}

/** A study's conditional likelihood in its log odds ratio. */
function hypergeometricTerm({ lowest, highest, observed, evaluate }: NoncentralHypergeometric): StudyTerm {
  const term: LikelihoodTerm = (theta, out) => {
    evaluate(theta, out);
    out[2] = -out[2]!;
  };
  const at = new Float64Array(3);
  if (observed === lowest || observed === highest) {
    // The likelihood falls from 1 to 0 once: where it is a half.
    const falls = observed === lowest;
    const { root } = findIncreasingRoot(
      (theta, out) => {
        evaluate(falls ? theta : -theta, at);
        out[0] = -Math.LN2 - at[0]!;
        out[1] = falls ? -at[1]! : at[1]!;
      },
      -logOddsRatioLimit,
      logOddsRatioLimit,
      0,
    );
    return { term, highest: 0, centre: falls ? root : -root, width: 1, open: falls ? -1 : 1 };
  }
  const { root } = findIncreasingRoot(
    (theta, out) => {
      evaluate(theta, at);
      out[0] = -at[1]!;
      out[1] = at[2]!;
    },
    -logOddsRatioLimit,
    logOddsRatioLimit,
    0,
  );
  evaluate(root, at);
  return { term, highest: at[0]!, centre: root, width: 1 / Math.sqrt(at[2]!), open: 0 };
}
