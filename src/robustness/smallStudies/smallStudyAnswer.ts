import type { Estimate } from '../../effects/estimate.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';

/**
 * Fewer studies than this say nothing about asymmetry: tests have too little power to tell chance from a lean.
 *
 * Source: Sterne JAC, Sutton AJ, Ioannidis JPA et al., BMJ 2011;343:d4002, recommendation 3.
 */
export const fewestStudiesForAsymmetry = 10;

export interface SmallStudyOptions {
  /** Answer below ten studies too; the answer is then marked as forced. Default false. */
  readonly force?: boolean;
  /** Coverage of intervals, default 0.95. */
  readonly level?: number;
}

/** A question not answered, and why. */
export interface SmallStudyRefusal {
  readonly kind: 'small-study-refusal';
  readonly method: string;
  readonly studies: number;
  readonly reason: string;
}

/** What every answer carries. */
export interface SmallStudyBase {
  /** As printed in a methods sentence. */
  readonly method: string;
  readonly source: string;
  readonly studies: number;
  /** True where fewer than ten studies were answered for on demand: not to be reported without saying so. */
  readonly forced: boolean;
  /** What the answer must be read with. */
  readonly warnings: readonly string[];
}

export const forcedWarning = (studies: number): string =>
  `Forced with ${studies} studies: below ${fewestStudiesForAsymmetry} neither a lean nor its absence means anything.`;

/** Refuses too few studies unless forced, and fewer than the method needs at all; undefined lets it go ahead. */
export function refuse(
  method: string,
  estimates: readonly Estimate[],
  options: SmallStudyOptions,
  needed = 3,
): SmallStudyRefusal | undefined {
  checkEstimates(estimates, undefined);
  const studies = studiesAmong(estimates);
  if (estimates.length < needed) {
    return refusal(method, studies, `needs at least ${needed} estimates, there are ${estimates.length}`);
  }
  if (studies < fewestStudiesForAsymmetry && options.force !== true) {
    return refusal(
      method,
      studies,
      `fewer than ${fewestStudiesForAsymmetry} studies (${studies}): such a test cannot tell a lean from chance`,
    );
  }
  return undefined;
}

export const refusal = (method: string, studies: number, reason: string): SmallStudyRefusal => ({
  kind: 'small-study-refusal',
  method,
  studies,
  reason,
});

export const studiesAmong = (estimates: readonly Estimate[]): number =>
  new Set(estimates.map(({ study }) => study)).size;

/** The parts of {@link SmallStudyBase} for an answer that is given. */
export function answerBase(
  method: string,
  source: string,
  estimates: readonly Estimate[],
  warnings: readonly string[] = [],
): SmallStudyBase {
  const studies = studiesAmong(estimates);
  const forced = studies < fewestStudiesForAsymmetry;
  return {
    method,
    source,
    studies,
    forced,
    warnings: forced ? [forcedWarning(studies), ...warnings] : warnings,
  };
}
