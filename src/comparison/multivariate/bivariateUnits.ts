import type { Estimate } from '../../effects/estimate.ts';

/** One arm's (or study's) estimates of two outcomes; one of them may not have been reported. */
export interface BivariateUnit {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  readonly first: Estimate | undefined;
  readonly second: Estimate | undefined;
}

/**
 * Which arms report both outcomes, and which only one?
 *
 * Arms are told apart by study and arm. An arm with one outcome stays: it informs that outcome, and through the
 * correlation the other.
 *
 * @throws RangeError when an arm has two estimates of one outcome
 * @example
 * pairOutcomes(deformity.estimates, pain.estimates)
 */
export function pairOutcomes(
  first: readonly Estimate[],
  second: readonly Estimate[],
): readonly BivariateUnit[] {
  const key = ({ study, arm }: Estimate): string => `${study}\u0000${arm ?? ''}`;
  const bySecond = index(second, key);
  const byFirst = index(first, key);
  const unit = (from: Estimate, one: Estimate | undefined, two: Estimate | undefined): BivariateUnit => ({
    study: from.study,
    label: from.label,
    ...(from.arm === undefined ? {} : { arm: from.arm }),
    first: one,
    second: two,
  });
  return [
    ...first.map((estimate) => unit(estimate, estimate, bySecond.get(key(estimate)))),
    ...second
      .filter((estimate) => !byFirst.has(key(estimate)))
      .map((estimate) => unit(estimate, undefined, estimate)),
  ];
}

function index(estimates: readonly Estimate[], key: (estimate: Estimate) => string): Map<string, Estimate> {
  const found = new Map<string, Estimate>();
  for (const estimate of estimates) {
    if (found.has(key(estimate))) {
      throw new RangeError(
        `each arm must have one estimate of an outcome, received two of ${estimate.label}`,
      );
    }
    found.set(key(estimate), estimate);
  }
  return found;
}
