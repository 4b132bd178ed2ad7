import { betaTails } from './incompleteBeta.ts';
import { requireNumber } from './requireNumber.ts';
import { stirlingError } from './stirling.ts';

/**
 * Probability of at most `events` events in `total` independent trials.
 *
 * @param events whole, from 0 to total
 * @param rate from 0 to 1
 * @example
 * binomialLowerTail(0, 20, 0.1); // 0.9 ** 20
 */
export function binomialLowerTail(events: number, total: number, rate: number): number {
  requireCount(events, total);
  requireNumber(rate >= 0 && rate <= 1, 'rate', 'from 0 to 1', rate);
  if (events === total || rate === 0) return 1;
  return rate === 1 ? 0 : Math.exp(betaTails(rate, 1 - rate, events + 1, total - events).logUpper);
}

/**
 * Probability of at least `events` events in `total` independent trials.
 *
 * @param events whole, from 0 to total
 * @param rate from 0 to 1
 * @example
 * binomialUpperTail(20, 20, 0.9); // 0.9 ** 20
 */
export function binomialUpperTail(events: number, total: number, rate: number): number {
  requireCount(events, total);
  requireNumber(rate >= 0 && rate <= 1, 'rate', 'from 0 to 1', rate);
  if (events === 0 || rate === 1) return 1;
  return rate === 0 ? 0 : Math.exp(betaTails(rate, 1 - rate, events, total - events + 1).logLower);
}

/**
 * Logarithm of the number of ways to choose `events` out of `total`.
 *
 * @param events whole, from 0 to total
 * @example
 * logBinomialCoefficient(5, 2); // log(10)
 */
export function logBinomialCoefficient(total: number, events: number): number {
  requireCount(events, total);
  const fewer = Math.min(events, total - events);
  if (fewer === 0) return 0;
  const rest = total - fewer;
  return (
    -fewer * Math.log(fewer / total) -
    rest * Math.log1p(-fewer / total) -
    0.5 * Math.log(((2 * Math.PI * fewer) / total) * rest) +
    (stirlingError(total) - stirlingError(fewer) - stirlingError(rest))
  );
}

function requireCount(events: number, total: number): void {
  requireNumber(
    Number.isInteger(total) && total >= 0 && total < 1e9,
    'total',
    'a whole number from 0, below 1e9',
    total,
  );
  requireNumber(
    Number.isInteger(events) && events >= 0 && events <= total,
    'events',
    `a whole number from 0 to the total ${total}`,
    events,
  );
}
