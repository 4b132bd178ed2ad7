import type { NetworkSystem } from './networkSystem.ts';
import { totalCovariance } from './solveNetwork.ts';

/** One study's own comparison of two treatments: first less second. */
export interface DirectContrast {
  /** Place of the study in the system. */
  readonly study: number;
  readonly value: number;
  /** Between-study variance included. */
  readonly variance: number;
}

/** Weights on a study's contrasts that give the difference of two of its arms; undefined when it lacks one. */
export function contrastWeights(
  arms: Int32Array,
  treatment: number,
  comparator: number,
): Float64Array | undefined {
  const one = arms.indexOf(treatment);
  const other = arms.indexOf(comparator);
  if (one < 0 || other < 0) return undefined;
  const weights = new Float64Array(arms.length - 1);
  if (one > 0) weights[one - 1]! += 1;
  if (other > 0) weights[other - 1]! -= 1;
  return weights;
}

/** Every study with both arms, with its own difference between them. */
export function directContrasts(
  system: NetworkSystem,
  treatment: number,
  comparator: number,
  betweenStudyVariance: number,
): readonly DirectContrast[] {
  const found: DirectContrast[] = [];
  for (let s = 0; s < system.studies.length; s++) {
    const study = system.studies[s]!;
    const { arms, size, values } = study;
    if (size === 1) {
      const [base, other] = arms as unknown as [number, number];
      const variance = study.covariance[0]! + betweenStudyVariance;
      if (other === treatment && base === comparator) found.push({ study: s, value: values[0]!, variance });
      else if (base === treatment && other === comparator)
        found.push({ study: s, value: -values[0]!, variance });
      continue;
    }
    const weights = contrastWeights(arms, treatment, comparator);
    if (weights === undefined) continue;
    const covariance = totalCovariance(study, betweenStudyVariance);
    let value = 0;
    let variance = 0;
    for (let i = 0; i < size; i++) {
      value += weights[i]! * values[i]!;
      for (let j = 0; j < size; j++) variance += weights[i]! * weights[j]! * covariance[i * size + j]!;
    }
    found.push({ study: s, value, variance });
  }
  return found;
}

/** Inverse-variance mean of direct contrasts; undefined without any. */
export function poolDirect(
  contrasts: readonly DirectContrast[],
): { readonly value: number; readonly variance: number } | undefined {
  if (contrasts.length === 0) return undefined;
  let total = 0;
  let weighted = 0;
  for (const { value, variance } of contrasts) {
    total += 1 / variance;
    weighted += value / variance;
  }
  return { value: weighted / total, variance: 1 / total };
}
