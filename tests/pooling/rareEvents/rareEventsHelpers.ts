import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import type { OneArmCount } from '../../../src/pooling/rareEvents/oneArmFit.ts';
import { twoArmMethods } from '../../../src/pooling/rareEvents/twoArmMethods.ts';
import type { TwoArmOptions } from '../../../src/pooling/rareEvents/twoArmOptions.ts';
import { twoArmMethodNames } from '../../../src/pooling/rareEvents/twoArmOptions.ts';
import type { TwoArmTable } from '../../../src/pooling/rareEvents/twoArmTable.ts';

// biome-ignore lint/suspicious/noExplicitAny: reference files are plain JSON, read where they are checked
type Json = any;

const read = (name: string): Json =>
  JSON.parse(readFileSync(new URL(`../../reference/${name}`, import.meta.url), 'utf8'));

export const data: Json = read('rareEventsData.json');
/** Base R and lme4. */
export const r: Json = read('rareEventsR.json');
/** mpmath at 40 digits, numpy and scipy. */
export const python: Json = read('rareEventsPython.json');

export const table = (
  label: string,
  treated: [number, number],
  comparator: [number, number],
): TwoArmTable => ({
  study: label,
  label,
  treated: { events: treated[0], total: treated[1] },
  comparator: { events: comparator[0], total: comparator[1] },
  rows: [],
});

export const tablesOf = (name: string): TwoArmTable[] =>
  data.twoArm[name].tables.map((entry: Json) => table(entry.label, entry.treated, entry.comparator));

export const armsOf = (name: string): OneArmCount[] =>
  data.oneArm[name].arms.map((entry: Json, index: number) =>
    arm(entry.label, entry.count, entry.followUpMonths, index + 2),
  );

export const arm = (
  label: string,
  [events, total]: [number, number],
  followUpMonths: OneArmCount['followUpMonths'] = 'not reported',
  line = 2,
): OneArmCount => ({
  study: label,
  label,
  arm: `${label} arm`,
  events,
  total,
  followUpMonths,
  row: { file: 'events.csv', line, locator: 'not reported' },
});

/** Every method with every measure, model, variance and interval it allows. */
export const everyChoice: readonly TwoArmOptions[] = twoArmMethodNames.flatMap((method) => {
  const { measures, models, intervals, variances } = twoArmMethods[method];
  return measures.flatMap((measure) =>
    models.flatMap((model) =>
      intervals.flatMap((interval): TwoArmOptions[] =>
        measure === 'risk-difference' && variances.length > 0
          ? variances.map((variance) => ({ method, measure, model, interval, variance }))
          : [{ method, measure, model, interval }],
      ),
    ),
  );
});

export const named = (options: TwoArmOptions): string =>
  [options.method, options.measure, options.model, options.interval, options.variance]
    .filter(Boolean)
    .join(' ');

/** Equal to a relative tolerance (absolute below 1e-3 of one, where both may be rounding around zero). */
export function near(actual: number | undefined, expected: number, tolerance: number, what = ''): void {
  expect(actual, what).toBeTypeOf('number');
  const allowed = tolerance * Math.max(Math.abs(expected), 1e-3);
  expect(
    Math.abs(actual! - expected),
    `${what}: received ${actual}, expected ${expected}`,
  ).toBeLessThanOrEqual(allowed);
}

/** Every number anywhere in a result is finite. */
export function everyNumberFinite(value: unknown, path = 'result'): void {
  // An expectation for every number takes longer than the pooling, so only one that fails is made.
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) expect.fail(`${path} is ${value}`);
  } else if (value && typeof value === 'object') {
    for (const [key, item] of Object.entries(value)) everyNumberFinite(item, `${path}.${key}`);
  }
}

/** The codes of a result's cautions. */
export const codes = (result: { readonly cautions: readonly { readonly code: string }[] }): string[] =>
  result.cautions.map(({ code }) => code);
