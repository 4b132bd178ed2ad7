import type { NetworkPart } from '../comparison/network/networkResult.ts';
import type { NetworkStudy } from '../comparison/network/networkStudy.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import type { BodyDesign, BodyOfEvidence } from './bodyOfEvidence.ts';
import { type CertaintyRating, certaintyLevels } from './certaintyRating.ts';

/** Kinds of studies that can stand in a network. */
export type FittedDesign = Extract<BodyDesign, 'randomised trials' | 'non-randomised studies'>;

/** The rating's own start and levels, without those for imprecision and not above its ceiling: 0 to 3. */
function levelWithoutImprecision({ start, domains, ceiling }: CertaintyRating): number {
  const sum = domains
    .filter(({ domain }) => domain !== 'imprecision')
    .reduce((total, { levels }) => total + levels, certaintyLevels.indexOf(start.level));
  return Math.min(Math.max(sum, 0), certaintyLevels.indexOf(ceiling?.level ?? 'high'));
}

/** What the network says of a pair, in either order. */
export const comparisonOf = ({ comparisons }: NetworkPart, one: string, other: string) =>
  comparisons.find(
    ({ treatment, comparator }) =>
      (treatment === one && comparator === other) || (treatment === other && comparator === one),
  );

const holds = ({ treatments }: NetworkStudy, ...wanted: readonly string[]): boolean =>
  wanted.every((each) => treatments.includes(each));

/** Kinds of studies in a network, or behind one of its pairs; a study that names no design is of neither kind. */
export function designsOf({ studies }: NetworkPart, ...pair: readonly string[]): readonly FittedDesign[] {
  const designs = studies.flatMap((study): FittedDesign[] =>
    study.design === undefined || !holds(study, ...pair)
      ? []
      : [study.design === 'randomised trial' ? 'randomised trials' : 'non-randomised studies'],
  );
  return [...new Set(designs)].sort().reverse();
}

/** The lowest rating, without imprecision, among the kinds of studies that were fitted for a pair; undefined unrated. */
export function levelAsFitted(
  ratings: readonly CertaintyRating[],
  outcome: string,
  one: string,
  other: string,
  designs: readonly FittedDesign[],
): number | undefined {
  const rating = ratings.find(
    ({ question: asked }) =>
      asked.kind === 'comparison' &&
      asked.outcome === outcome &&
      ((asked.site === one && asked.comparator === other) ||
        (asked.site === other && asked.comparator === one)),
  );
  const bodies = rating === undefined ? [] : [rating, ...rating.others];
  const rated = bodies.filter(
    ({ level, body }) => level !== undefined && body.design !== 'series against series',
  );
  const fitted =
    designs.length === 0
      ? rated.slice(0, 1)
      : rated.filter(({ body }) => designs.some((each) => each === body.design));
  if (fitted.length === 0) return undefined;
  const unrated = designs.filter((design) => fitted.every(({ body }) => body.design !== design));
  return Math.min(
    ...fitted.map(levelWithoutImprecision),
    ...(unrated.includes('non-randomised studies') ? [certaintyLevels.indexOf('low')] : []),
  );
}

/** Shoulders of the studies of a pair, in its two arms; undefined where a study gives no counts. */
function shouldersOf({ studies }: NetworkPart, one: string, other: string): number | undefined {
  let sum = 0;
  for (const study of studies) {
    if (!holds(study, one, other)) continue;
    if (study.counts === undefined) return undefined;
    for (const treatment of [one, other]) sum += study.counts[study.treatments.indexOf(treatment)]!.total;
  }
  return sum;
}

/**
 * Shoulders a trial of the pair would need to tell as much: those of the direct studies, and those of the way round, whose
 * legs n₁, n₂ … count for 1/Σ(1/n).
 */
export function effectiveShoulders(
  part: NetworkPart,
  one: string,
  other: string,
  path: readonly string[],
): number | undefined {
  const direct = shouldersOf(part, one, other);
  const legs = path.slice(1).map((to, at) => shouldersOf(part, path[at]!, to));
  if (direct === undefined || legs.some((leg) => leg === undefined)) return undefined;
  const indirect = legs.length === 0 ? 0 : 1 / legs.reduce<number>((sum, leg) => sum + 1 / leg!, 0);
  return Math.floor(direct + indirect);
}

/** A network estimate as a body of evidence: every study of its part, said at one risk. */
export function networkBody(
  outcome: EventsOutcome,
  part: NetworkPart,
  absolute: BodyOfEvidence['absolute'],
  known: { readonly arms: readonly ArmEvents[]; readonly effectiveShoulders: number | undefined },
): BodyOfEvidence {
  const counts = part.studies.flatMap((study) => study.counts ?? []);
  const fitted = new Set(part.studies.map(({ study }) => study));
  const [first] = absolute;
  return {
    design: 'network',
    outcome,
    studies: part.studies.length,
    ...(part.studies.every(({ design }) => design !== undefined)
      ? { trials: part.studies.filter(({ design }) => design === 'randomised trial').length }
      : {}),
    shoulders: counts.reduce((sum, { total }) => sum + total, 0),
    ...(known.effectiveShoulders === undefined ? {} : { effectiveShoulders: known.effectiveShoulders }),
    events: counts.reduce((sum, { events }) => sum + events, 0),
    notInNumber: [],
    estimate: first && {
      value: 100 * first.difference.value,
      lower: 100 * first.difference.lower,
      upper: 100 * first.difference.upper,
    },
    prediction: undefined,
    trueSpread: undefined,
    betweenStudyDeviation: undefined,
    parts: part.studies.map(({ study, label }) => ({
      study,
      label,
      arm: undefined,
      site: undefined,
      weight: 0,
      interval: undefined,
    })),
    arms: known.arms.filter(({ study, site }) => fitted.has(study) && part.treatments.includes(site)),
    relative: first?.relative,
    absolute,
    rows: part.studies.flatMap((study) => study.rows ?? []),
  };
}
