import type { NetworkStudy } from './networkStudy.ts';

/** A study laid out for arithmetic: places of its arms among the treatments, contrasts, covariance. */
export interface SystemStudy {
  /** Place of each arm, the study's baseline first. */
  readonly arms: Int32Array;
  /** Contrasts: one less than arms. */
  readonly size: number;
  readonly values: Float64Array;
  /** Row-major, `size × size`. */
  readonly covariance: Float64Array;
}

/** A connected set of treatments and the studies that compare them. */
export interface NetworkSystem {
  readonly treatments: readonly string[];
  readonly studies: readonly SystemStudy[];
  readonly contrasts: number;
  /** Contrasts less effects to be estimated. */
  readonly degreesOfFreedom: number;
}

export function networkSystem(
  studies: readonly NetworkStudy[],
  treatments: readonly string[],
): NetworkSystem {
  const placeOf = new Map(treatments.map((treatment, place) => [treatment, place]));
  const laidOut = studies.map(({ treatments: own, values, covariance }): SystemStudy => {
    const size = values.length;
    const flat = new Float64Array(size * size);
    for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) flat[i * size + j] = covariance[i]![j]!;
    return {
      arms: Int32Array.from(own, (treatment) => placeOf.get(treatment)!),
      size,
      values: Float64Array.from(values),
      covariance: flat,
    };
  });
  const contrasts = laidOut.reduce((sum, { size }) => sum + size, 0);
  return { treatments, studies: laidOut, contrasts, degreesOfFreedom: contrasts - (treatments.length - 1) };
}

/** Which treatments hang together through studies? Groups of treatments, in the order given. */
export function connectedParts(
  studies: readonly NetworkStudy[],
  treatments: readonly string[],
): readonly (readonly string[])[] {
  const parent = new Map(treatments.map((treatment) => [treatment, treatment]));
  const root = (treatment: string): string => {
    let at = treatment;
    while (parent.get(at) !== at) at = parent.get(at)!;
    parent.set(treatment, at);
    return at;
  };
  for (const { treatments: own } of studies)
    for (const treatment of own) parent.set(root(treatment), root(own[0]!));
  const groups = new Map<string, string[]>();
  for (const treatment of treatments) {
    const at = root(treatment);
    const group = groups.get(at);
    if (group === undefined) groups.set(at, [treatment]);
    else group.push(treatment);
  }
  return [...groups.values()];
}
