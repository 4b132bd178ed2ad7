/**
 * How near two numbers must be, by where the expected one comes from. Every tier is relative, so a p-value
 * of 1e-26 is held to as many digits as a mean of 12.
 */
export const tiers = {
  /** Counts, degrees of freedom, numbers of studies. */
  exact: 0,
  /** Two ways of writing one formula. */
  identity: 1e-13,
  /** A special function where its value is between about 1e-6 and 1. */
  specialFunction: 1e-12,
  /** A special function far in a tail. */
  specialFunctionTail: 1e-10,
  /** The end point of an iteration (a root, a maximum). */
  iterative: 1e-8,
  /** What another general library gives. */
  otherLibrary: 1e-6,
} as const;
export type Tier = keyof typeof tiers;

export interface CloseOptions {
  /** Said first in the failure message: which row, which quantity. */
  readonly label?: string;
  /**
   * Size of the terms that cancel to give the expected value, for differences near zero. The tolerance is
   * then relative to this size where it is larger than the expected value.
   */
  readonly ofSize?: number;
}

export interface PrintedOptions {
  readonly label?: string;
  /** Absolute tolerance in place of half a unit in the last place; needs `because`. */
  readonly within?: number;
  /** Why the tolerance is wider than the printed digits, or why a check this coarse is worth having. */
  readonly because?: string;
}

const coarse = 0.1;

/**
 * Is the number the expected one, to the digits its origin promises?
 *
 * Misuse is an error of the test itself: an expected value that is not finite, or a tolerance that lets a
 * tenth of the expected value pass.
 *
 * @example
 * expectClose(normalCumulative(-9), 1.1285884059538406e-19, 'specialFunctionTail');
 */
export function expectClose(
  actual: number | undefined,
  expected: number,
  tier: Tier,
  options: CloseOptions = {},
): void {
  const where = options.label === undefined ? '' : `${options.label}: `;
  if (!Number.isFinite(expected)) throw new Error(`${where}the expected value ${expected} is not finite`);
  const size = Math.max(Math.abs(expected), options.ofSize ?? 0);
  const tolerance = tiers[tier] * size;
  refuseCoarse(tolerance, expected, where);
  const off = actual === undefined ? Number.NaN : Math.abs(actual - expected);
  if (actual === expected || off <= tolerance) return;
  throw new Error(
    `${where}got ${actual}, expected ${expected}: off by ${off} (${relative(off, expected)}), allowed ${tolerance} (${tier}, ${tiers[tier]} relative)`,
  );
}

/** The same for two lists, which must be equally long. */
export function expectAllClose(
  actual: readonly (number | undefined)[],
  expected: readonly number[],
  tier: Tier,
  options: CloseOptions = {},
): void {
  const where = options.label ?? 'list';
  if (actual.length !== expected.length)
    throw new Error(`${where}: got ${actual.length} values, expected ${expected.length}`);
  for (const [i, value] of expected.entries())
    expectClose(actual[i], value, tier, { ...options, label: `${where}[${i}]` });
}

/**
 * Does the number round to what a page prints? The tolerance is half a unit in the last place of the string
 * itself, so that `"0.50"` is held tighter than `"0.5"`.
 *
 * A string too short to tell right from wrong (half its last place is a tenth of it, or it is zero) is
 * refused unless the test says why it is worth checking.
 *
 * @example
 * expectPrinted(174.14, '174');
 * expectPrinted(0.0087, '0.009', { because: 'the page prints one digit' });
 */
export function expectPrinted(
  actual: number | undefined,
  printed: string,
  options: PrintedOptions = {},
): void {
  const where = options.label === undefined ? '' : `${options.label}: `;
  const expected = Number(printed);
  if (printed.trim() === '' || !Number.isFinite(expected))
    throw new Error(`${where}"${printed}" is not a printed number`);
  const half = halfUnitInLastPlace(printed);
  if (options.within !== undefined && options.because === undefined)
    throw new Error(`${where}a tolerance of ${options.within} needs a reason (because)`);
  const tolerance = options.within ?? half;
  if (options.because === undefined) refuseCoarse(tolerance, expected, where);
  const off = actual === undefined ? Number.NaN : Math.abs(actual - expected);
  // A value exactly on the rounding boundary must not fail for its last binary digit.
  if (off <= tolerance * (1 + 1e-9)) return;
  throw new Error(
    `${where}got ${actual}, printed ${printed}: off by ${off} (${relative(off, expected)}), allowed ${tolerance}`,
  );
}

/** The same for a list of printed values. */
export function expectAllPrinted(
  actual: readonly (number | undefined)[],
  printed: readonly string[],
  options: PrintedOptions = {},
): void {
  const where = options.label ?? 'list';
  if (actual.length !== printed.length)
    throw new Error(`${where}: got ${actual.length} values, printed ${printed.length}`);
  for (const [i, text] of printed.entries())
    expectPrinted(actual[i], text, { ...options, label: `${where}[${i}]` });
}

/** Half a unit in the last place of a decimal string: `"0.50"` gives 0.005, `"174"` gives 0.5. */
export function halfUnitInLastPlace(printed: string): number {
  const match = /^[+-]?\d*(?:\.(\d*))?(?:e([+-]?\d+))?$/i.exec(printed.trim());
  if (!match) throw new Error(`"${printed}" is not a plain decimal number`);
  return Number(`5e${Number(match[2] ?? 0) - (match[1]?.length ?? 0) - 1}`);
}

function refuseCoarse(tolerance: number, expected: number, where: string): void {
  if (tolerance > 0 && expected !== 0 && tolerance >= coarse * Math.abs(expected))
    throw new Error(
      `${where}a tolerance of ${tolerance} is a tenth or more of the expected ${expected}: it would let a wrong answer pass`,
    );
  if (expected === 0 && tolerance >= 1e-6)
    throw new Error(`${where}a tolerance of ${tolerance} around zero: it would let a wrong answer pass`);
}

const relative = (off: number, expected: number): string =>
  expected === 0 ? 'expected zero' : `${(off / Math.abs(expected)).toPrecision(3)} relative`;
