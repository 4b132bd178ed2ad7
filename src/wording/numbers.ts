/**
 * A rate in 100 as every product prints it.
 *
 * Whole numbers from 10 to 90, one decimal outside, two within 0.2 of none or all. Never a `0` or `100` that is only
 * rounding: what two decimals cannot tell from none is `<0.01`, from all `>99.99`.
 *
 * @param value from 0 to 100
 * @returns digits without a unit
 * @throws RangeError when `value` is not from 0 to 100
 * @example
 * rateDigits(0.41) // '0.4'
 * rateDigits(21.34) // '21'
 */
export function rateDigits(value: number): string {
  if (!(value >= 0 && value <= 100))
    throw new RangeError(`rate in 100 must be from 0 to 100, received ${value}`);
  if (value === 0) return '0';
  if (value === 100) return '100';
  const toEdge = Math.min(value, 100 - value);
  if (toEdge < 0.005) return value < 50 ? '<0.01' : '>99.99';
  if (toEdge < 0.195) return value.toFixed(2);
  return value.toFixed(toEdge < 9.95 ? 1 : 0);
}

/**
 * The size of a difference in 100, or of a width: whole from 10 on, one decimal below, two below 0.2; `<0.01` for what
 * is not nothing and prints as nothing. The sign is said in words ("fewer", "more") by whoever prints it.
 *
 * @throws RangeError for a size that is not finite
 * @example
 * sizeDigits(-7.86) // '7.9'
 */
export function sizeDigits(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`a size must be finite, received ${value}`);
  const size = Math.abs(value);
  if (size === 0) return '0';
  if (size < 0.005) return '<0.01';
  return size.toFixed(size < 0.195 ? 2 : size < 9.95 ? 1 : 0);
}

/** Points of a score: one decimal, a true minus sign, never a minus before nought. */
export function pointsDigits(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`points must be finite, received ${value}`);
  const text = value.toFixed(1);
  return (Number(text) === 0 ? '0.0' : text).replace('-', '\u2212');
}

/**
 * A ratio, with about three figures: `0.29`, `3.20`, `14.2`, `560`; `<0.001` and `>9999` for what has no such figures.
 *
 * @throws RangeError for a ratio below 0 or not a number
 */
export function ratioDigits(ratio: number): string {
  if (!(ratio >= 0)) throw new RangeError(`a ratio must be 0 or more, received ${ratio}`);
  if (ratio >= 9999.5) return '>9999';
  if (ratio >= 99.95) return ratio.toFixed(0);
  if (ratio >= 9.995) return ratio.toFixed(1);
  if (ratio >= 0.0095 || ratio === 0) return ratio.toFixed(2);
  return ratio >= 0.0005 ? ratio.toFixed(3) : '<0.001';
}
