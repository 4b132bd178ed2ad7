import { type ArmEvents, sheetArmsOf } from './armEvents.ts';
import { isReported, notReported, type Reported } from './reported.ts';

/**
 * Which counts does each study bring to each site, once?
 *
 * Arms of one study that stand at one site (after the rule for mid-groove is applied) are groups of the same patients'
 * hospital, surgeons and years: pooled as two they would count that study twice and hide what they share. Their events
 * and shoulders are added up, x = Σxᵢ of n = Σnᵢ. The follow-up is the mean weighted by shoulders, and not reported
 * where one of them does not report it; definitions and assessors that differ are named beside each other; the arms of
 * the sheets stay in `merged`, with their rows. Arms whose site is unclear stay apart, since nobody can say that they
 * are at one site. A study with one arm at a site is returned as it came.
 *
 * @param arms in any order; the merged arm takes the place of the first of its arms
 * @see Cochrane Handbook, section 23.3.4 (several groups of one study: combine them to create a single comparison).
 * @example
 * mergeArms([arm({ events: 2, total: 5 }), arm({ events: 0, total: 12 })]) // one arm, 2 of 17
 */
export function mergeArms(arms: readonly ArmEvents[]): readonly ArmEvents[] {
  const groups = new Map<string | ArmEvents, ArmEvents[]>();
  for (const arm of arms) {
    const key = arm.site === 'unclassified' ? arm : `${arm.study}\u0000${arm.site}`;
    const own = groups.get(key);
    if (own === undefined) groups.set(key, [arm]);
    else own.push(arm);
  }
  if (groups.size === arms.length) return arms;
  return [...groups.values()].map((own) => (own.length === 1 ? own[0]! : mergedArm(own)));
}

function mergedArm(arms: readonly ArmEvents[]): ArmEvents {
  const merged = arms.flatMap(sheetArmsOf);
  const total = arms.reduce((sum, each) => sum + each.total, 0);
  const together = `${merged.length} arms of this study at one site, counted together: ${merged
    .map((each) => `${each.arm} ${each.events} of ${each.total}`)
    .join(', ')}.`;
  const own = merged.flatMap(({ arm, notes }) => (notes ?? []).map((note) => `${arm}: ${note}`));
  return {
    ...arms[0]!,
    arm: merged.map(({ arm }) => arm).join(' + '),
    events: arms.reduce((sum, { events }) => sum + events, 0),
    total,
    followUpMonths: meanFollowUp(arms, total),
    definition: distinct(merged.map(({ definition }) => definition)),
    assessor: distinct(merged.map(({ assessor }) => assessor)),
    notes: [together, ...own],
    merged,
  };
}

const distinct = (words: readonly string[]): string => [...new Set(words)].join('; ');

function meanFollowUp(arms: readonly ArmEvents[], total: number): Reported<number> {
  let sum = 0;
  for (const { followUpMonths, total: shoulders } of arms) {
    if (!isReported(followUpMonths)) return notReported;
    sum += followUpMonths * shoulders;
  }
  return sum / total;
}
