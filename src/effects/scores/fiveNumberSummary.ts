import { requireFinite, requireSampleSize } from './scoreInputs.ts';

/** What a paper prints in place of mean and standard deviation: any of the five numbers, with the sample size. */
export interface FiveNumberSummary {
  readonly minimum?: number;
  readonly quartileLower?: number;
  readonly median?: number;
  readonly quartileUpper?: number;
  readonly maximum?: number;
  readonly total: number;
}

/** Which of the five numbers are there, beside the median. */
export const summaryScenarios = ['range', 'quartiles', 'range-and-quartiles'] as const;
export type SummaryScenario = (typeof summaryScenarios)[number];

const order = ['minimum', 'quartileLower', 'median', 'quartileUpper', 'maximum'] as const;

/**
 * Which scenario is this summary, and can it be true?
 *
 * @throws RangeError when the numbers are out of order, one end of a pair is missing, or neither pair is there.
 * Source: the three scenarios of Wan et al., BMC Med Res Methodol 2014;14:135.
 * @example
 * summaryScenario({ minimum: 2, median: 8, maximum: 21, total: 49 }) // 'range'
 */
export function summaryScenario(summary: FiveNumberSummary): SummaryScenario {
  requireSampleSize('total', summary.total);
  let last: { readonly name: string; readonly value: number } | undefined;
  for (const name of order) {
    const value = summary[name];
    if (value === undefined) continue;
    requireFinite(name, value);
    if (last !== undefined && value < last.value) {
      throw new RangeError(`${name} must be at least ${last.name} (${last.value}); received ${value}`);
    }
    last = { name, value };
  }
  const range = both(summary, 'minimum', 'maximum');
  const quartiles = both(summary, 'quartileLower', 'quartileUpper');
  if (range && quartiles) return 'range-and-quartiles';
  if (range) return 'range';
  if (quartiles) return 'quartiles';
  throw new RangeError(
    'minimum and maximum, or quartileLower and quartileUpper, must be given: a median alone says nothing of the spread',
  );
}

function both(
  summary: FiveNumberSummary,
  low: (typeof order)[number],
  high: (typeof order)[number],
): boolean {
  const present = [low, high].filter((name) => summary[name] !== undefined);
  if (present.length === 1) {
    const missing = present[0] === low ? high : low;
    throw new RangeError(
      `${missing} must be given beside ${present[0]} (${summary[present[0]!]}); received nothing`,
    );
  }
  return present.length === 2;
}
