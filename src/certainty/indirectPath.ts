import type { NetworkPart } from '../comparison/network/networkResult.ts';

/**
 * By which way round do two treatments compare most exactly without their own studies?
 *
 * Of the ways over direct comparisons other than the pair's own: through one other treatment where there is such a way,
 * and of those the one with the smallest sum of variances; otherwise the shortest sum over any number of treatments.
 *
 * @returns treatments of the way, both ends included; empty when there is none
 */
export function indirectPath(part: NetworkPart, one: string, other: string): readonly string[] {
  const variance = (a: string, b: string): number | undefined => {
    if ((a === one && b === other) || (a === other && b === one)) return undefined;
    const direct = part.comparisons.find(
      ({ treatment, comparator }) =>
        (treatment === a && comparator === b) || (treatment === b && comparator === a),
    )?.direct;
    return direct === undefined ? undefined : direct.standardError ** 2;
  };
  const loops = part.treatments.flatMap((middle) => {
    const [first, second] = [variance(one, middle), variance(middle, other)];
    return first === undefined || second === undefined ? [] : [{ middle, sum: first + second }];
  });
  loops.sort((a, b) => a.sum - b.sum);
  if (loops[0] !== undefined) return [one, loops[0].middle, other];
  return shortest(part.treatments, variance, one, other);
}

/** Dijkstra's shortest way by sum of variances. */
function shortest(
  treatments: readonly string[],
  variance: (a: string, b: string) => number | undefined,
  from: string,
  to: string,
): readonly string[] {
  const reached = new Map<string, { readonly sum: number; readonly path: readonly string[] }>([
    [from, { sum: 0, path: [from] }],
  ]);
  const done = new Set<string>();
  for (;;) {
    const [next] = [...reached]
      .filter(([treatment]) => !done.has(treatment))
      .sort(([, a], [, b]) => a.sum - b.sum);
    if (next === undefined) return [];
    const [here, { sum, path }] = next;
    if (here === to) return path;
    done.add(here);
    for (const there of treatments) {
      const step = variance(here, there);
      if (step === undefined || done.has(there)) continue;
      if (sum + step < (reached.get(there)?.sum ?? Number.MAX_VALUE))
        reached.set(there, { sum: sum + step, path: [...path, there] });
    }
  }
}
