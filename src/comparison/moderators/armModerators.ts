import type { Estimate } from '../../effects/estimate.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { armKey } from '../../extraction/armKey.ts';
import { isReported, notReported, type Reported } from '../../extraction/reported.ts';
import type { ArmRow, Review } from '../../extraction/review.ts';
import { siteNames } from '../../extraction/site.ts';
import type { Covariate, RegressionRow } from './covariate.ts';

type Reader = (arm: ArmEvents, row: ArmRow | undefined) => Reported<number | string>;

interface ArmModerator {
  readonly covariate: Covariate;
  readonly read: Reader;
}

const named = (covariate: Covariate, read: Reader): ArmModerator => ({ covariate, read });

/** What an arm's sheet row may say about why its result differs. To add one: a line here. */
export const armModerators = {
  site: named({ id: 'site', name: 'Site', kind: 'categorical', levelNames: siteNames }, (arm) => arm.site),
  age: named(
    { id: 'age', name: 'Mean age', kind: 'continuous', unit: 'year' },
    (_, row) => row?.ageMeanYears ?? notReported,
  ),
  followUp: named(
    { id: 'followUp', name: 'Follow-up', kind: 'continuous', unit: 'month' },
    (arm) => arm.followUpMonths,
  ),
  cuffRepair: named(
    { id: 'cuffRepair', name: 'Share with cuff repair', kind: 'continuous', unit: 'percentage point' },
    (_, row) => row?.cuffRepairPercent ?? notReported,
  ),
  design: named({ id: 'design', name: 'Design', kind: 'categorical' }, (arm) => arm.design),
  boneInterface: named(
    { id: 'boneInterface', name: 'Inlay or onlay', kind: 'categorical' },
    (_, row) => row?.inlayOrOnlay ?? notReported,
  ),
  ascertainment: named(
    { id: 'ascertainment', name: 'Who looked', kind: 'categorical' },
    (arm) => arm.assessor,
  ),
  year: named(
    { id: 'year', name: 'Year of publication', kind: 'continuous', unit: 'year' },
    (arm) => arm.year,
  ),
} as const satisfies Readonly<Record<string, ArmModerator>>;

export type ArmModeratorName = keyof typeof armModerators;
export const armModeratorNames = Object.keys(armModerators) as readonly ArmModeratorName[];

/**
 * What else differed between these arms, as far as their papers say?
 *
 * Every estimate with every moderator of its arm; what the sheet leaves blank stays "not reported".
 *
 * @param review where the arms' rows stand
 * @param arms the selected arms the estimates were made from
 * @param estimates one for each arm that has one; told apart by study and arm
 * @example
 * moderatorRows(review, selection.arms, estimateRates(selection.arms).estimates)
 */
export function moderatorRows(
  review: Pick<Review, 'arms'>,
  arms: readonly ArmEvents[],
  estimates: readonly Estimate[],
): readonly RegressionRow[] {
  const sheet = new Map(review.arms.map((row) => [armKey(row), row]));
  const selected = new Map(arms.map((arm) => [armKey(arm), arm]));
  return estimates.map((estimate) => {
    const key = armKey({ study: estimate.study, arm: estimate.arm ?? '' });
    const arm = selected.get(key);
    if (!arm) {
      throw new RangeError(
        `estimates must come from the arms given: ${estimate.label} ${estimate.arm ?? ''} is not among them`,
      );
    }
    const row = sheet.get(key);
    return {
      estimate,
      covariates: Object.fromEntries(
        Object.values(armModerators).map(({ covariate, read }) => [covariate.id, read(arm, row)]),
      ),
    };
  });
}

/** How many rows report each moderator, in the registry's order. */
export function moderatorsReported(
  rows: readonly RegressionRow[],
): readonly { readonly covariate: Covariate; readonly reported: number; readonly rows: number }[] {
  return Object.values(armModerators).map(({ covariate }) => ({
    covariate,
    reported: rows.filter(({ covariates }) => {
      const value = covariates[covariate.id];
      return value !== undefined && isReported(value);
    }).length,
    rows: rows.length,
  }));
}
