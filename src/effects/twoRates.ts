import type { RowAddress } from '../extraction/rowAddress.ts';
import type { ContrastScale } from './analysisScale.ts';
import { checkCount } from './checkCount.ts';
import type { Count, Estimate, LeftOut } from './estimate.ts';
import { amountToAdd, type ZeroEvents } from './zeroEvents.ts';

/** Two arms of one study, by name: `treated` is the numerator of every ratio and the first term of every difference. */
export interface TwoRates {
  readonly study: string;
  readonly label: string;
  readonly treated: Count;
  readonly comparator: Count;
  readonly rows?: readonly RowAddress[];
}

export interface TwoRatesOptions {
  /** What to do where the estimate or its variance does not exist; default `leave-out`. */
  readonly zeroEvents?: ZeroEvents;
}

type Formula = (
  events1: number,
  total1: number,
  events0: number,
  total0: number,
) => [value: number, variance: number];

/**
 * How do the odds of the event compare between the two arms?
 *
 * ln[x₁(n₂−x₂)/(x₂(n₁−x₁))], variance the sum of the reciprocals of the four cells.
 *
 * Cells: a zero in any of the four leaves no finite value. No events in either arm, or nothing but events in both,
 * carry no information on the odds ratio at all and are left out even when an amount is stated, since the amount alone
 * would then make the answer.
 *
 * @returns an {@link Estimate} on the scale `log-odds-ratio`, or {@link LeftOut} with the reason
 * @throws RangeError for an impossible count or option
 * @see Woolf B. Ann Hum Genet 1955;19:251-253. Cochrane Handbook, section 10.4.4 (rare events and zero cells).
 * @example
 * oddsRatio({ study: 'a', label: 'Ostrava 2015', treated: { events: 4, total: 42 }, comparator: { events: 15, total: 45 } })
 */
export function oddsRatio(arms: TwoRates, options: TwoRatesOptions = {}): Estimate | LeftOut {
  return compare(arms, options, 'log-odds-ratio', (x1, n1, x0, n0) => [
    Math.log((x1 * (n0 - x0)) / (x0 * (n1 - x1))),
    1 / x1 + 1 / (n1 - x1) + 1 / x0 + 1 / (n0 - x0),
  ]);
}

/**
 * How many times as likely is the event in the first arm as in the second?
 *
 * ln[(x₁/n₁)/(x₂/n₂)], variance 1/x₁−1/n₁+1/x₂−1/n₂.
 *
 * Cells: no events in one arm leave no finite value; no events in either carry no information and are left out always.
 * Nothing but events in one arm is fine; in both arms the variance would be zero and the study is left out.
 *
 * @returns an {@link Estimate} on the scale `log-risk-ratio`, or {@link LeftOut} with the reason
 * @see Katz D et al. Biometrics 1978;34:469-474. Cochrane Handbook, section 6.4.1.
 * @example
 * riskRatio({ study: 'a', label: 'Ostrava 2015', treated: { events: 4, total: 42 }, comparator: { events: 15, total: 45 } })
 */
export function riskRatio(arms: TwoRates, options: TwoRatesOptions = {}): Estimate | LeftOut {
  return compare(arms, options, 'log-risk-ratio', (x1, n1, x0, n0) => [
    Math.log(x1 / n1 / (x0 / n0)),
    (n1 - x1) / (x1 * n1) + (n0 - x0) / (x0 * n0),
  ]);
}

/**
 * How many more events per shoulder are there in the first arm than in the second?
 *
 * x₁/n₁−x₂/n₂, variance p₁(1−p₁)/n₁+p₂(1−p₂)/n₂.
 *
 * Cells: a zero is no obstacle, except where both arms have no events or nothing but events (or one each): the variance
 * would then be zero and claim certainty, so the study is left out unless an amount is stated.
 *
 * @returns an {@link Estimate} on the scale `risk-difference`, or {@link LeftOut} with the reason
 * @see Cochrane Handbook, section 6.4.1.
 * @example
 * riskDifference({ study: 'a', label: 'Ostrava 2015', treated: { events: 0, total: 42 }, comparator: { events: 15, total: 45 } })
 */
export function riskDifference(arms: TwoRates, options: TwoRatesOptions = {}): Estimate | LeftOut {
  return compare(arms, options, 'risk-difference', (x1, n1, x0, n0) => [
    x1 / n1 - x0 / n0,
    (x1 * (n1 - x1)) / n1 ** 3 + (x0 * (n0 - x0)) / n0 ** 3,
  ]);
}

function compare(
  arms: TwoRates,
  options: TwoRatesOptions,
  scale: ContrastScale & ('log-odds-ratio' | 'log-risk-ratio' | 'risk-difference'),
  formula: Formula,
): Estimate | LeftOut {
  const { treated, comparator } = arms;
  checkCount(treated, `${arms.label} (treated)`);
  checkCount(comparator, `${arms.label} (comparator)`);
  const amount = amountToAdd(options.zeroEvents ?? 'leave-out');
  const base = {
    study: arms.study,
    label: arms.label,
    counts: {
      treated: { events: treated.events, total: treated.total },
      comparator: { events: comparator.events, total: comparator.total },
    },
    rows: arms.rows ?? [],
  };
  const [value, variance] = formula(treated.events, treated.total, comparator.events, comparator.total);
  if (Number.isFinite(value) && variance > 0 && Number.isFinite(variance)) {
    return { ...base, value, variance, scale, addedToEachCell: 0 };
  }
  const noEvents = treated.events === 0 && comparator.events === 0;
  const allEvents = treated.events === treated.total && comparator.events === comparator.total;
  const ratio = scale !== 'risk-difference';
  if (amount > 0 && !(ratio && (noEvents || allEvents))) {
    const [corrected, correctedVariance] = formula(
      treated.events + amount,
      treated.total + 2 * amount,
      comparator.events + amount,
      comparator.total + 2 * amount,
    );
    return { ...base, value: corrected, variance: correctedVariance, scale, addedToEachCell: amount };
  }
  return { ...base, reason: whyNot(arms, noEvents, allEvents, ratio) };
}

function whyNot(
  { treated, comparator }: TwoRates,
  noEvents: boolean,
  allEvents: boolean,
  ratio: boolean,
): string {
  if (noEvents) {
    return ratio
      ? 'no events in either arm, which says nothing about a ratio'
      : 'no events in either arm, so the difference has no sampling variance';
  }
  if (allEvents) {
    return ratio
      ? 'nothing but events in both arms, which says nothing about a ratio'
      : 'nothing but events in both arms, so the difference has no sampling variance';
  }
  if (!ratio)
    return 'no events in one arm and nothing but events in the other, so the difference has no sampling variance';
  const which = [
    treated.events === 0 ? 'no events in the treated arm' : undefined,
    comparator.events === 0 ? 'no events in the comparator arm' : undefined,
    treated.events === treated.total ? 'nothing but events in the treated arm' : undefined,
    comparator.events === comparator.total ? 'nothing but events in the comparator arm' : undefined,
  ].filter((reason) => reason !== undefined);
  return `${which.join(' and ')}, so the ratio has no finite value`;
}
