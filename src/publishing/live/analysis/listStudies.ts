import type { ArmEvents } from '../../../extraction/armEvents.ts';
import { type ClassifiedSite, classifiedSites } from '../../../extraction/site.ts';

/** One study of the list a reader switches on and off. */
export interface ListedStudy {
  readonly study: string;
  readonly label: string;
  /** Shoulders of its arms that count for the outcome. */
  readonly shoulders: number;
  readonly events: number;
  /** Where its arms stand, proximal to distal. */
  readonly sites: readonly ClassifiedSite[];
  readonly on: boolean;
}

/** The studies of a selection, most shoulders first, then by name. */
export function listStudies(
  arms: readonly ArmEvents[],
  switchedOff: ReadonlySet<string>,
): readonly ListedStudy[] {
  const byStudy = new Map<string, ArmEvents[]>();
  for (const arm of arms) byStudy.set(arm.study, [...(byStudy.get(arm.study) ?? []), arm]);
  return [...byStudy]
    .map(([study, own]): ListedStudy => {
      const found = new Set(own.map(({ site }) => site));
      return {
        study,
        label: own[0]!.label,
        shoulders: own.reduce((sum, { total }) => sum + total, 0),
        events: own.reduce((sum, { events }) => sum + events, 0),
        sites: classifiedSites.filter((site) => found.has(site)),
        on: !switchedOff.has(study),
      };
    })
    .sort((a, b) => b.shoulders - a.shoulders || (a.label < b.label ? -1 : 1));
}

/** The study with most shoulders that still counts. */
export const biggestStudy = (studies: readonly ListedStudy[]): ListedStudy | undefined =>
  studies.find(({ on }) => on);
