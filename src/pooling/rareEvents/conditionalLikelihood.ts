import { findIncreasingRoot } from '../../numerics/rootFinding.ts';
import { type NoncentralHypergeometric, noncentralHypergeometric } from './noncentralHypergeometric.ts';
import { isAllEvents, isDoubleZero, type TwoArmTable } from './twoArmTable.ts';

/** Log odds ratios beyond this are not looked for. */
export const logOddsRatioLimit = 200;

/** The conditional likelihood of a common odds ratio over several studies. */
export interface ConditionalLikelihood {
  /** Studies whose split between the arms was not fixed by their margins. */
  readonly informative: readonly NoncentralHypergeometric[];
  readonly lowest: number;
  readonly highest: number;
  readonly observed: number;
  /** Writes log-likelihood, score and information at log odds ratio θ to `out`. */
  readonly evaluate: (theta: number, out: Float64Array) => void;
}

/** The conditional likelihood of these studies; those without events, or with events only, drop out. */
export function conditionalLikelihood(tables: readonly TwoArmTable[]): ConditionalLikelihood {
  const informative = tables
    .filter((table) => !isDoubleZero(table) && !isAllEvents(table))
    .map(noncentralHypergeometric);
  const sum = (pick: (study: NoncentralHypergeometric) => number): number =>
    informative.reduce((total, study) => total + pick(study), 0);
  const one = new Float64Array(3);
  return {
    informative,
    lowest: sum((study) => study.lowest),
    highest: sum((study) => study.highest),
    observed: sum((study) => study.observed),
    evaluate(theta, out) {
      let logLikelihood = 0;
      let score = 0;
      let information = 0;
      for (const study of informative) {
        study.evaluate(theta, one);
        logLikelihood += one[0]!;
        score += one[1]!;
        information += one[2]!;
      }
      out[0] = logLikelihood;
      out[1] = score;
      out[2] = information;
    },
  };
}

/** The log odds ratio at which the events observed in the treated arms are those expected. */
export function conditionalMaximum(
  likelihood: ConditionalLikelihood,
): { readonly value: number; readonly standardError: number; readonly logLikelihood: number } | undefined {
  if (likelihood.observed === likelihood.lowest || likelihood.observed === likelihood.highest)
    return undefined;
  const at = new Float64Array(3);
  const search = findIncreasingRoot(
    (theta, out) => {
      likelihood.evaluate(theta, at);
      out[0] = -at[1]!;
      out[1] = at[2]!;
    },
    -logOddsRatioLimit,
    logOddsRatioLimit,
    0,
  );
  likelihood.evaluate(search.root, at);
  if (!search.converged || !(at[2]! > 0)) return undefined;
  return { value: search.root, standardError: 1 / Math.sqrt(at[2]!), logLikelihood: at[0]! };
}

/** Why a conditional odds ratio has no finite value. */
export function withoutConditionalMaximum({
  informative,
  observed,
  lowest,
  highest,
}: ConditionalLikelihood): string {
  if (informative.length === 0 || lowest === highest) {
    return 'no study has both shoulders with and without an event';
  }
  if (observed === highest) {
    return 'the treated arms had as many events as their margins allow: the odds ratio has no upper limit';
  }
  if (observed === lowest) {
    return 'the treated arms had as few events as their margins allow: the odds ratio may be zero';
  }
  return 'the search for the maximum of the conditional likelihood did not end';
}
