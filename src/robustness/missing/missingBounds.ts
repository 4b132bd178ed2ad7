import type { ArmEvents } from '../../extraction/armEvents.ts';
import { armKey } from '../../extraction/armKey.ts';
import { classifySite } from '../../extraction/classifySite.ts';
import { cohortsOf } from '../../extraction/cohortsOf.ts';
import { isReported, notReported } from '../../extraction/reported.ts';
import type { ArmRow, Review, StudyRow } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { studyDesigns } from '../../extraction/sheets/studiesSheet.ts';
import type { PooledSite } from '../../extraction/site.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { poolRates } from '../../pooling/poolRates.ts';
import type { RatePoolOptions } from '../../pooling/ratePoolOptions.ts';

/** An arm of the review that gives no usable count of the outcome. */
export interface MissingArm {
  readonly study: string;
  readonly label: string;
  readonly arm: string;
  /** Shoulders at follow-up, else enrolled; undefined where the paper gives neither. */
  readonly shoulders: number | undefined;
}

/** The rate if the odds among missing shoulders are a stated multiple of those among reported ones. */
export interface MissingScenario {
  /** 0: none had the event. Undefined: all had. */
  readonly oddsRatio: number | undefined;
  readonly words: string;
  /** All shoulders together, 0 to 1. */
  readonly rate: number;
}

/** What missing results could do to a rate. */
export interface MissingBounds {
  readonly kind: 'missing-bounds';
  readonly site: PooledSite;
  readonly reported: { readonly arms: number; readonly events: number; readonly shoulders: number };
  readonly missing: readonly MissingArm[];
  /** Shoulders of missing arms whose number is known. */
  readonly missingShoulders: number;
  readonly unknownSize: number;
  /** All shoulders together, from none to all of the missing ones; empty when nothing is reported. */
  readonly scenarios: readonly MissingScenario[];
  /** Pooled as the analysis pools, with every missing arm given no event, and nothing but events. */
  readonly pooled: { readonly reported: PooledRate; readonly best: PooledRate; readonly worst: PooledRate };
}

/** Odds among missing shoulders over odds among reported ones: none, half, equal, twice, five times, all. */
export const usualOddsRatios = [0, 0.5, 1, 2, 5, undefined] as const;

/**
 * How far could the results we do not have move the rate?
 *
 * Every arm at the site whose study is eligible and whose patients are in no other report used, without a usable count,
 * is given one: no event, all events, and odds a stated multiple of those reported (`r = (E + M p) / (N + M)` with `p`
 * of odds `λ E / (N − E)`). The ends hold whatever the reason a result is missing; what lies between is a judgement.
 *
 * @param options options of {@link poolRates}; the protocol's own usually
 * @throws RangeError for an unknown outcome or option
 *
 * Source: Higgins JPT, White IR, Wood AM, Clin Trials 2008;5:225-239 (informative missingness odds ratio).
 *
 * @example
 * missingBounds(review, 'groove-pain', 'subpectoral').scenarios.at(-1)?.rate
 */
export function missingBounds(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events'>,
  outcomeId: string,
  site: PooledSite,
  options: RatePoolOptions = {},
): MissingBounds {
  const selection = selectEvents(review, outcomeId);
  const here = selection.arms.filter((arm) => arm.site === site);
  const missing = missingArms(review, selection.arms, site);
  const sized = missing.flatMap((arm) =>
    arm.shoulders === undefined ? [] : [{ ...arm, total: arm.shoulders }],
  );
  const events = here.reduce((sum, arm) => sum + arm.events, 0);
  const shoulders = here.reduce((sum, arm) => sum + arm.total, 0);
  const missingShoulders = sized.reduce((sum, arm) => sum + arm.total, 0);
  const given = (share: 0 | 1): ArmEvents[] =>
    sized.map(({ study, label, arm, total }) => ({
      study,
      label,
      arm,
      year: review.studies.find((each) => each.study === study)!.year,
      site,
      events: share * total,
      total,
      followUpMonths: 'not reported',
      definition: 'assumed',
      assessor: 'assumed',
      design: review.studies.find((each) => each.study === study)!.design,
      row: review.arms.find((each) => armKey(each) === armKey({ study, arm }))!.row,
    }));
  return {
    kind: 'missing-bounds',
    site,
    reported: { arms: here.length, events, shoulders },
    missing,
    missingShoulders,
    unknownSize: missing.length - sized.length,
    scenarios:
      shoulders === 0
        ? []
        : usualOddsRatios.map((oddsRatio) => ({
            oddsRatio,
            words: scenarioWords(oddsRatio),
            rate:
              (events + missingShoulders * missingRate(oddsRatio, events, shoulders)) /
              (shoulders + missingShoulders),
          })),
    pooled: {
      reported: poolRates(here, options),
      best: poolRates([...here, ...given(0)], options),
      worst: poolRates([...here, ...given(1)], options),
    },
  };
}

function missingRate(oddsRatio: number | undefined, events: number, shoulders: number): number {
  if (oddsRatio === undefined) return 1;
  if (events === shoulders) return oddsRatio === 0 ? 0 : 1;
  const odds = (oddsRatio * events) / (shoulders - events);
  return odds / (1 + odds);
}

function scenarioWords(oddsRatio: number | undefined): string {
  if (oddsRatio === undefined) return 'every one had the event';
  if (oddsRatio === 0) return 'none had the event';
  return oddsRatio === 1 ? 'as in those reported' : `odds ${oddsRatio} times those reported`;
}

function missingArms(
  review: Pick<Review, 'protocol' | 'studies' | 'arms'>,
  used: readonly ArmEvents[],
  site: PooledSite,
): readonly MissingArm[] {
  const designs = review.protocol.designs ?? studyDesigns;
  const studies = new Map(review.studies.map((study) => [study.study, study]));
  const usedArms = new Set(used.map(armKey));
  const usedCohorts = new Set(
    used.flatMap(({ study }) => cohortsOf(studies.get(study)?.cohort ?? notReported)),
  );
  const found = review.arms.flatMap((arm): { arm: ArmRow; study: StudyRow }[] => {
    const study = studies.get(arm.study);
    if (study === undefined || !designs.includes(study.design) || usedArms.has(armKey(arm))) return [];
    if (classifySite(arm, review.protocol.siteRule).site !== site) return [];
    // The patients of a cohort one of whose reports is used are not missing.
    const elsewhere = cohortsOf(study.cohort).some((each) => usedCohorts.has(each));
    return elsewhere ? [] : [{ arm, study }];
  });
  // Of a cohort none of whose reports is used, the largest report stands for all.
  const largest = new Map<string, { study: string; size: number }>();
  for (const { arm, study } of found) {
    if (!isReported(study.cohort)) continue;
    const size = sizeOf(arm) ?? 0;
    const known = largest.get(study.cohort);
    if (known === undefined || size > known.size) largest.set(study.cohort, { study: study.study, size });
  }
  return found
    .filter(({ study }) => !isReported(study.cohort) || largest.get(study.cohort)?.study === study.study)
    .map(({ arm, study }) => ({
      study: study.study,
      label: study.label,
      arm: arm.arm,
      shoulders: sizeOf(arm),
    }));
}

const sizeOf = (arm: ArmRow): number | undefined =>
  [arm.shouldersAnalysed, arm.shouldersEnrolled].filter(isReported).find((size) => size > 0);
