import { chiSquareUpperTail } from '../../numerics/distributions.ts';
import { checkTwoArmTables, type TwoArmTable } from './twoArmTable.ts';

/** The Cochran-Mantel-Haenszel test of no effect in any study. */
export interface CochranMantelHaenszelTest {
  readonly kind: 'cochran-mantel-haenszel-test';
  /** Chi-square with one degree of freedom; undefined when no study has both events and non-events. */
  readonly chiSquare: number | undefined;
  readonly degreesOfFreedom: 1;
  readonly pValue: number | undefined;
  /** Events observed in the treated arms less those expected, over all studies. */
  readonly observedLessExpected: number;
  readonly variance: number;
  readonly continuityCorrection: boolean;
  readonly reason: string | undefined;
}

/** Mean and variance of the events in the treated arm when treatment makes no difference, margins fixed. */
export function hypergeometricMoments({ treated, comparator }: TwoArmTable): {
  readonly expected: number;
  readonly variance: number;
} {
  const total = treated.total + comparator.total;
  const events = treated.events + comparator.events;
  return {
    expected: (treated.total * events) / total,
    variance: (treated.total * comparator.total * events * (total - events)) / (total * total * (total - 1)),
  };
}

/**
 * Does treatment make any difference, whatever each study's baseline?
 *
 * `(|Σ(a − E)| − ½)² / ΣV` against chi-square with one degree of freedom, `E` and `V` the hypergeometric
 * mean and variance of each study's treated events; the ½ only with `continuityCorrection` (and never more
 * than the difference itself). Studies without events, or with events only, contribute nothing.
 *
 * @param options `continuityCorrection`, default false
 * @throws RangeError for impossible counts
 *
 * Sources: Cochran WG, Biometrics 1954;10:417-451; Mantel N, Haenszel W, J Natl Cancer Inst 1959;22:719-748.
 *
 * @example
 * cochranMantelHaenszelTest(tables).pValue;
 */
export function cochranMantelHaenszelTest(
  tables: readonly TwoArmTable[],
  options: { readonly continuityCorrection?: boolean } = {},
): CochranMantelHaenszelTest {
  checkTwoArmTables(tables);
  const continuityCorrection = options.continuityCorrection ?? false;
  let observedLessExpected = 0;
  let variance = 0;
  for (const table of tables) {
    const moments = hypergeometricMoments(table);
    observedLessExpected += table.treated.events - moments.expected;
    variance += moments.variance;
  }
  const distance = Math.abs(observedLessExpected);
  const corrected = continuityCorrection ? distance - Math.min(0.5, distance) : distance;
  const chiSquare = variance > 0 ? corrected ** 2 / variance : undefined;
  return {
    kind: 'cochran-mantel-haenszel-test',
    chiSquare,
    degreesOfFreedom: 1,
    pValue: chiSquare === undefined ? undefined : chiSquareUpperTail(chiSquare, 1),
    observedLessExpected,
    variance,
    continuityCorrection,
    reason: chiSquare === undefined ? 'no study has both shoulders with and without an event' : undefined,
  };
}
