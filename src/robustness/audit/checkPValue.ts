import type { Count } from '../../effects/estimate.ts';
import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { type ArithmeticCheck, printsAs, pText } from './arithmeticCheck.ts';
import { twoArmTests } from './twoArmTests.ts';

/**
 * Does any usual test of these counts give the printed p value?
 *
 * A finding only when none of {@link twoArmTests} does within the printed rounding; what each gives is said. As possible
 * explanations: a one-sided test, a decimal point that slipped, events counted out of the other arm's total.
 *
 * @example
 * checkPValue(printed, { events: 8, total: 530 }, { events: 6, total: 996 })
 */
export function checkPValue(printed: PrintedStatistic, one: Count, other: Count): ArithmeticCheck {
  const tests = twoArmTests(one, other);
  if (tests.length === 0) {
    return {
      verdict: 'cannot be checked',
      reason: 'Where no arm, or every shoulder, has the event there is nothing to test.',
    };
  }
  const match = tests.find(({ p }) => printsAs(printed, p));
  if (match !== undefined) return { verdict: 'fits', by: match.name };
  const wouldFit: string[] = [];
  const oneSided = tests.find(({ p }) => printsAs(printed, p / 2));
  if (oneSided !== undefined) wouldFit.push(`A one-sided test would fit (half of ${oneSided.name}).`);
  for (const factor of [0.1, 10]) {
    const slipped = tests.find(
      ({ p }) => p * factor <= 1 && printed.relation === '=' && printsAs(printed, p * factor),
    );
    if (slipped !== undefined)
      wouldFit.push(`${capital(slipped.name)} would fit if the decimal point had slipped.`);
  }
  if (one.total !== other.total && one.events <= other.total && other.events <= one.total) {
    const swapped = twoArmTests(
      { events: one.events, total: other.total },
      { events: other.events, total: one.total },
    ).find(({ p }) => printsAs(printed, p));
    if (swapped !== undefined)
      wouldFit.push(`${capital(swapped.name)} would fit with the two denominators exchanged.`);
  }
  const shown = tests.filter(({ name }) => mainTests.includes(name));
  return {
    verdict: 'does not fit',
    kind: 'p value',
    strength: 'question',
    counts: `${one.events} of ${one.total} against ${other.events} of ${other.total} gives ${shown
      .map(({ name, p }) => `p ${pText(p).startsWith('<') ? pText(p) : `= ${pText(p)}`} by ${name}`)
      .join(', ')}.`,
    wouldFit,
  };
}

/** Named in the finding; the others are tried and rarely used. */
const mainTests: readonly string[] = [
  "Fisher's exact test",
  'chi-square without correction',
  "chi-square with Yates's correction",
  'mid-P exact test',
];

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
