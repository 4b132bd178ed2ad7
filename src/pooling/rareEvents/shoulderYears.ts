import type { LeftOut } from '../../effects/estimate.ts';
import { isReported } from '../../extraction/reported.ts';
import type { OneArmCount } from './oneArmFit.ts';

/**
 * For how long, over all its shoulders, was an arm watched?
 *
 * Shoulders times mean follow-up in years. Time after a shoulder's first event is not taken off, which papers
 * do not report: for rare events the difference is small.
 *
 * @returns undefined when the paper does not report follow-up
 * @throws RangeError when follow-up is not above zero, naming the arm
 *
 * @example
 * shoulderYearsOf({ ...arm, total: 50, followUpMonths: 24 }); // 100
 */
export function shoulderYearsOf({ label, total, followUpMonths }: OneArmCount): number | undefined {
  if (!isReported(followUpMonths)) return undefined;
  if (!(Number.isFinite(followUpMonths) && followUpMonths > 0)) {
    throw new RangeError(`${label}: follow-up must be above 0 months, received ${followUpMonths}`);
  }
  return (total * followUpMonths) / 12;
}

/** Arms whose time is known, and those left out because it is not. */
export function splitByFollowUp(arms: readonly OneArmCount[]): {
  readonly timed: readonly { readonly arm: OneArmCount; readonly shoulderYears: number }[];
  readonly leftOut: readonly LeftOut[];
} {
  const timed: { arm: OneArmCount; shoulderYears: number }[] = [];
  const leftOut: LeftOut[] = [];
  for (const arm of arms) {
    const shoulderYears = shoulderYearsOf(arm);
    if (shoulderYears !== undefined) timed.push({ arm, shoulderYears });
    else {
      leftOut.push({
        study: arm.study,
        label: arm.label,
        arm: arm.arm,
        reason: 'follow-up not reported: events cannot be put over time',
        count: { events: arm.events, total: arm.total },
        rows: (arm.merged ?? [arm]).map(({ row }) => row),
      });
    }
  }
  return { timed, leftOut };
}
