import type { ArmEvents } from '../../extraction/armEvents.ts';
import { countsByNode, type NodeCount, type NodeOfArm } from './networkFromCounts.ts';
import type { NetworkLeftOut } from './networkStudy.ts';

/** One study's counts by node. */
export interface CountStudy {
  readonly study: string;
  readonly label: string;
  readonly nodes: readonly Pick<NodeCount, 'treatment' | 'events' | 'total'>[];
}

/** Treatments that a chain of studies links, with the counts of those studies. */
export interface CountPart {
  readonly treatments: readonly string[];
  readonly studies: readonly CountStudy[];
}

/**
 * The studies whose counts say something about an odds ratio, by connected part.
 *
 * A study without any event, or with nothing but events, has the same likelihood whatever the odds ratios are; it is
 * left out and listed.
 */
export function countParts(
  arms: readonly ArmEvents[],
  node: NodeOfArm | undefined,
  order: readonly string[],
): { readonly parts: readonly CountPart[]; readonly leftOut: readonly NetworkLeftOut[] } {
  const studies: CountStudy[] = [];
  const leftOut: NetworkLeftOut[] = [];
  for (const { first, nodes } of countsByNode(arms, node)) {
    if (nodes.length < 2) continue;
    const { study, label } = first;
    const silent = nodes.every(({ events }) => events === 0)
      ? 'no events in any arm, which says nothing about an odds ratio'
      : nodes.every(({ events, total }) => events === total)
        ? 'nothing but events in every arm, which says nothing about an odds ratio'
        : undefined;
    if (silent === undefined) studies.push({ study, label, nodes });
    else leftOut.push({ study, label, reason: silent });
  }
  return { parts: partsOf(studies, order), leftOut };
}

/** Groups count studies by what links them; larger parts first. */
export function partsOf(studies: readonly CountStudy[], order: readonly string[]): readonly CountPart[] {
  const groups: Set<string>[] = [];
  for (const { nodes } of studies) {
    const own = new Set(nodes.map(({ treatment }) => treatment));
    const touching = groups.filter((group) => [...own].some((treatment) => group.has(treatment)));
    for (const group of touching) {
      for (const treatment of group) own.add(treatment);
      groups.splice(groups.indexOf(group), 1);
    }
    groups.push(own);
  }
  return groups
    .map((group) => ({
      treatments: [
        ...order.filter((treatment) => group.has(treatment)),
        ...[...group].filter((treatment) => !order.includes(treatment)).sort((a, b) => (a < b ? -1 : 1)),
      ],
      studies: studies.filter(({ nodes }) => group.has(nodes[0]!.treatment)),
    }))
    .sort((a, b) => b.treatments.length - a.treatments.length || b.studies.length - a.studies.length);
}
