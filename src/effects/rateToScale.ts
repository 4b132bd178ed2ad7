import { type RateScale, rateScales } from './analysisScale.ts';

/** A rate on an analysis scale, with its sampling variance there. */
export interface ScaledRate {
  readonly value: number;
  readonly variance: number;
}

/**
 * Where does a rate of `events` in `total` lie on an analysis scale, and how precisely is it known there?
 *
 * | scale | value | sampling variance |
 * |---|---|---|
 * | raw | x/n | p(1−p)/n |
 * | logit | ln(x/(n−x)) | 1/x + 1/(n−x) |
 * | log | ln(x/n) | 1/x − 1/n |
 * | arcsine | arcsin √(x/n) | 1/(4n) |
 * | double-arcsine | ½[arcsin √(x/(n+1)) + arcsin √((x+1)/(n+1))] | 1/(4n+2) |
 *
 * @param events may be fractional after an amount was added; 0 ≤ events ≤ total
 * @returns undefined where the value is not finite or the variance would be zero: raw, logit and log at no events;
 *   raw, logit and log at nothing but events
 * @throws RangeError for an unknown scale, naming the allowed ones
 * @see Freeman MF, Tukey JW. Ann Math Stat 1950;21:607-611 (double arcsine, here with the ½ of Miller 1978 so that it
 *   is an angle like the arcsine). Agresti A. Categorical Data Analysis, 3rd ed. 2013, section 3.1 (delta method).
 * @example
 * rateToScale(3, 60, 'logit') // { value: -2.944, variance: 0.351 }
 */
export function rateToScale(events: number, total: number, scale: RateScale): ScaledRate | undefined {
  const rest = total - events;
  switch (scale) {
    case 'raw':
      return events > 0 && rest > 0
        ? { value: events / total, variance: (events * rest) / total ** 3 }
        : undefined;
    case 'logit':
      return events > 0 && rest > 0
        ? { value: Math.log(events / rest), variance: 1 / events + 1 / rest }
        : undefined;
    case 'log':
      return events > 0 && rest > 0
        ? { value: Math.log(events / total), variance: rest / (events * total) }
        : undefined;
    case 'arcsine':
      return { value: Math.asin(Math.sqrt(events / total)), variance: 1 / (4 * total) };
    case 'double-arcsine':
      return { value: doubleArcsine(events, total), variance: 1 / (4 * total + 2) };
    default:
      throw new RangeError(`scale must be one of ${rateScales.join(', ')}; received ${String(scale)}`);
  }
}

/** ½[arcsin √(x/(n+1)) + arcsin √((x+1)/(n+1))], rising in x. */
export function doubleArcsine(events: number, total: number): number {
  return (
    0.5 * (Math.asin(Math.sqrt(events / (total + 1))) + Math.asin(Math.sqrt((events + 1) / (total + 1))))
  );
}
