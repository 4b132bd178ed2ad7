import type { NetworkScale, NetworkStudy } from './networkStudy.ts';

/** One arm on the analysis scale: a mean, a log odds, a log risk. */
export interface NetworkArm {
  readonly treatment: string;
  readonly value: number;
  /** Sampling variance of the arm's own value. */
  readonly variance: number;
}

/**
 * How do the arms of one study differ, and how do those differences move together?
 *
 * `y_j = a_j - a_1`, `var(y_j) = v_j + v_1`, `cov(y_j, y_l) = v_1`: arms are independent of each other and every
 * contrast shares the first.
 *
 * @throws RangeError for fewer than two arms or a variance not above zero
 * @see Dias S, Welton NJ, Sutton AJ, Ades AE. Med Decis Making 2013;33:607-617, section on multi-arm trials.
 * @example
 * networkStudyFromArms({ study: 'a', label: 'Ostrava 2015', scale: 'mean-difference' }, [
 *   { treatment: 'tenotomy', value: 61, variance: 4 },
 *   { treatment: 'subpectoral', value: 66, variance: 5 },
 * ]).values // [5]
 */
export function networkStudyFromArms(
  about: Pick<NetworkStudy, 'study' | 'label' | 'design' | 'counts'> & {
    readonly scale: NetworkScale;
    readonly addedToEachCell?: number;
    readonly rows?: NetworkStudy['rows'];
  },
  arms: readonly NetworkArm[],
): NetworkStudy {
  const [first, ...others] = arms;
  if (first === undefined || others.length === 0)
    throw new RangeError(`${about.label} needs two or more arms, received ${arms.length}`);
  for (const { treatment, variance, value } of arms) {
    if (!Number.isFinite(value))
      throw new RangeError(`value of ${about.label} (${treatment}) must be finite, received ${value}`);
    if (!(variance > 0 && Number.isFinite(variance)))
      throw new RangeError(`variance of ${about.label} (${treatment}) must be above 0, received ${variance}`);
  }
  return {
    ...about,
    treatments: arms.map(({ treatment }) => treatment),
    values: others.map(({ value }) => value - first.value),
    covariance: others.map(({ variance }, i) =>
      others.map((_, j) => (i === j ? variance + first.variance : first.variance)),
    ),
    addedToEachCell: about.addedToEachCell ?? 0,
    rows: about.rows ?? [],
  };
}
