import type { BareRate } from './fastRatePool.ts';

/**
 * How far apart are two independent rates, with limits built from the limits of each?
 *
 * `d = p₁ − p₂`, lower `d − √((p₁ − l₁)² + (u₂ − p₂)²)`, upper `d + √((u₁ − p₁)² + (p₂ − l₂)²)`.
 *
 * Source: Newcombe RG, Stat Med 1998;17:873-890, method 10 (with intervals of single rates); Zou GY, Donner A, Stat Med
 * 2008;27:1693-1702 (with any intervals).
 *
 * @example
 * rateDifference(pooledAtOneSite, pooledAtTheOther).value // -0.08
 */
export function rateDifference(
  one: BareRate,
  other: BareRate,
): { readonly value: number; readonly lower: number; readonly upper: number } {
  const value = one.rate - other.rate;
  return {
    value,
    lower: value - Math.hypot(one.rate - one.interval.lower, other.interval.upper - other.rate),
    upper: value + Math.hypot(one.interval.upper - one.rate, other.rate - other.interval.lower),
  };
}
