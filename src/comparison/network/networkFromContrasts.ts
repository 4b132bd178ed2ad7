import type { NetworkScale, NetworkStudy } from './networkStudy.ts';

/** One reported difference: `treatment` less `comparator`. */
export interface ReportedContrast {
  readonly study: string;
  readonly label: string;
  readonly treatment: string;
  readonly comparator: string;
  readonly value: number;
  readonly standardError: number;
}

/**
 * Which studies do reported differences make, where a study with several arms reports every pair?
 *
 * With all pairs known, `cov(y_ab, y_ac) = (var(y_ab) + var(y_ac) - var(y_bc)) / 2`.
 *
 * @throws RangeError when a study with more than two arms does not report every pair once, or its differences do
 *   not add up (beyond a tenth of a standard error, which rounding in print explains)
 * @see Rücker G, Schwarzer G. Stat Med 2014;33:4353-4369, section 2 (variances of all pairs).
 * @example
 * networkFromContrasts([{ study: 'a', label: 'A', treatment: 'x', comparator: 'y', value: -1.2, standardError: 0.3 }], 'plain')
 */
export function networkFromContrasts(
  contrasts: readonly ReportedContrast[],
  scale: NetworkScale,
): readonly NetworkStudy[] {
  const byStudy = new Map<string, ReportedContrast[]>();
  for (const contrast of contrasts) {
    if (!(contrast.standardError > 0 && Number.isFinite(contrast.standardError)))
      throw new RangeError(
        `standardError of ${contrast.label} must be above 0, received ${contrast.standardError}`,
      );
    byStudy.set(contrast.study, [...(byStudy.get(contrast.study) ?? []), contrast]);
  }
  return [...byStudy.values()].map((own) => oneStudy(own, scale));
}

function oneStudy(own: readonly ReportedContrast[], scale: NetworkScale): NetworkStudy {
  const { study, label } = own[0]!;
  const treatments = [...new Set(own.flatMap(({ treatment, comparator }) => [comparator, treatment]))];
  const pairs = (treatments.length * (treatments.length - 1)) / 2;
  const difference = (treatment: string, comparator: string) => {
    const found = own.filter(
      (each) =>
        (each.treatment === treatment && each.comparator === comparator) ||
        (each.treatment === comparator && each.comparator === treatment),
    );
    if (found.length !== 1 || own.length !== pairs)
      throw new RangeError(
        `${label} has ${treatments.length} arms, so it must report each of its ${pairs} pairs once, received ${own.length} differences`,
      );
    const [only] = found;
    return {
      value: only!.treatment === treatment ? only!.value : -only!.value,
      variance: only!.standardError ** 2,
    };
  };
  const [first, ...others] = treatments as [string, ...string[]];
  const against = others.map((treatment) => difference(treatment, first));
  const covariance = others.map((one, i) =>
    others.map((other, j) => {
      if (i === j) return against[i]!.variance;
      const between = difference(one, other);
      const expected = against[i]!.value - against[j]!.value;
      if (Math.abs(between.value - expected) > 0.1 * Math.sqrt(between.variance))
        throw new RangeError(
          `differences of ${label} do not add up: ${one} less ${other} is ${between.value}, by way of ${first} it is ${expected}`,
        );
      return (against[i]!.variance + against[j]!.variance - between.variance) / 2;
    }),
  );
  return {
    study,
    label,
    scale,
    treatments,
    values: against.map(({ value }) => value),
    covariance,
    addedToEachCell: 0,
    rows: [],
  };
}
