import type { Estimate } from '../effects/estimate.ts';
import type { WeightedEstimate } from './pooledResult.ts';

/** Which studies a pool is made of. */
export interface StudyRoll {
  /** Distinct studies that were reported. */
  readonly studies: number;
  /** Imputed studies beside them. */
  readonly imputed: number;
  /** Labels of studies with more than one estimate. */
  readonly repeated: readonly string[];
  readonly corrected: number;
  readonly addedToEachCell: number;
}

/** Counts distinct studies and imputed ones apart, names those with several estimates, counts corrected estimates. */
export function studyRoll(estimates: readonly Estimate[]): StudyRoll {
  let imputed = 0;
  let corrected = 0;
  let addedToEachCell = 0;
  for (const estimate of estimates) {
    if (estimate.imputed) imputed += 1;
    if (estimate.addedToEachCell > 0) {
      corrected += 1;
      addedToEachCell = estimate.addedToEachCell;
    }
  }
  if (inRisingOrder(estimates))
    return { studies: estimates.length - imputed, imputed, repeated: [], corrected, addedToEachCell };
  const seen = new Set<string>();
  const repeated = new Map<string, string>();
  for (const { study, label, imputed: madeUp } of estimates) {
    if (madeUp) continue;
    if (seen.has(study)) repeated.set(study, label);
    else seen.add(study);
  }
  return { studies: seen.size, imputed, repeated: [...repeated.values()], corrected, addedToEachCell };
}

/** Ids that rise in length and then in letters are all different, which spares a table of thousands of them. */
function inRisingOrder(estimates: readonly Estimate[]): boolean {
  for (let i = 1; i < estimates.length; i++) {
    const before = estimates[i - 1]!.study;
    const here = estimates[i]!.study;
    if (here.length < before.length || (here.length === before.length && !(here > before))) return false;
  }
  return true;
}

/** The study that carries most of the weight, its estimates taken together. */
export function heaviestStudy(
  estimates: readonly WeightedEstimate[],
  repeated: boolean,
): { label: string; weight: number } | undefined {
  if (!repeated) {
    let heaviest = estimates[0];
    for (const estimate of estimates) if (estimate.weight > heaviest!.weight) heaviest = estimate;
    return heaviest && { label: heaviest.label, weight: heaviest.weight };
  }
  const byStudy = new Map<string, { label: string; weight: number }>();
  for (const { study, label, weight } of estimates) {
    const sum = byStudy.get(study);
    if (sum) sum.weight += weight;
    else byStudy.set(study, { label, weight });
  }
  return [...byStudy.values()].reduce((a, b) => (b.weight > a.weight ? b : a));
}
