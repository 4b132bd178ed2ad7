import type { MeanSummary } from '../twoMeans.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import { requireGroup, requireResult } from './scoreInputs.ts';

/**
 * What are mean and standard deviation of several groups taken as one?
 *
 * N = Σnᵢ, M = Σnᵢmᵢ/N, S² = [Σ(nᵢ-1)sᵢ² + Σnᵢ(mᵢ-M)²]/(N-1): exactly what the raw scores of all
 * groups together would give. For two groups it is the formula of the Handbook's table 6.5.a. A group
 * of one person (standard deviation 0) is allowed.
 *
 * @throws RangeError for no group, or a group with an impossible figure.
 * Source: Cochrane Handbook version 6, section 6.5.2.10 and table 6.5.a.
 * @example
 * combineGroups([{ mean: 80, standardDeviation: 12, total: 20 }, { mean: 85, standardDeviation: 10, total: 30 }])
 */
export function combineGroups(
  groups: readonly MeanSummary[],
): ScoreConversion & { readonly mean: number; readonly total: number } {
  if (groups.length === 0) throw new RangeError('groups must hold at least one group; received none');
  for (const [i, group] of groups.entries()) requireGroup(`groups[${i}]`, group, 1);
  const total = groups.reduce((sum, group) => sum + group.total, 0);
  if (total < 2) throw new RangeError(`the groups must hold at least 2 people; received ${total}`);
  const first = groups[0]!.mean;
  // Around the first mean, so that a large offset costs no digits.
  const mean = first + groups.reduce((sum, group) => sum + (group.total / total) * (group.mean - first), 0);
  const squares = groups.reduce(
    (sum, { mean: own, standardDeviation: spread, total: n }) =>
      sum + (n - 1) * spread ** 2 + n * (own - mean) ** 2,
    0,
  );
  return {
    kind: 'score-conversion',
    mean: requireResult('mean', mean),
    standardDeviation: requireResult('standardDeviation', Math.sqrt(squares / (total - 1))),
    total,
    method: `${groups.length} groups combined into one`,
    source: 'Cochrane Handbook version 6, section 6.5.2.10, table 6.5.a',
    cautions: [],
    inputs: Object.fromEntries(
      groups.flatMap((group, i) =>
        Object.entries({
          mean: group.mean,
          standardDeviation: group.standardDeviation,
          total: group.total,
        }).map(([name, value]) => [`groups[${i}].${name}`, value]),
      ),
    ),
  };
}
