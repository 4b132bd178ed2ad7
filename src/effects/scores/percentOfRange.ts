import type { ScoreRange } from './scaleEndCaution.ts';
import { requireFinite } from './scoreInputs.ts';

/**
 * How far along its scale is a score, in per cent?
 *
 * 100 (x - minimum)/(maximum - minimum). For a standard deviation or a change, which have no place on
 * the scale, use `spread: true`: 100 x/(maximum - minimum).
 *
 * @throws RangeError when the maximum is not above the minimum, or a place lies outside the range.
 * Source: Thorlund K, Walter SD, Johnston BC, et al., Res Synth Methods 2011;2:188-203 (from memory).
 * @example
 * percentOfRange(30, { minimum: 12, maximum: 60 }) // 37.5
 */
export function percentOfRange(
  value: number,
  range: ScoreRange,
  options: { readonly spread?: boolean } = {},
): number {
  requireFinite('value', value);
  requireFinite('minimum', range.minimum);
  requireFinite('maximum', range.maximum);
  const width = range.maximum - range.minimum;
  if (!(width > 0 && Number.isFinite(width))) {
    throw new RangeError(`maximum must be above minimum (${range.minimum}); received ${range.maximum}`);
  }
  if (options.spread === true) return 100 * (value / width);
  if (value < range.minimum || value > range.maximum) {
    throw new RangeError(`value must lie from ${range.minimum} to ${range.maximum}; received ${value}`);
  }
  return 100 * ((value - range.minimum) / width);
}
