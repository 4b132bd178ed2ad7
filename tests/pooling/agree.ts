import { expect } from 'vitest';
import type { AnalysisScale } from '../../src/effects/analysisScale.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import type { ClassifiedSite } from '../../src/extraction/site.ts';

/** Relative agreement; `scale` is what a difference is measured against when the expected value is near zero. */
export function agree(actual: number | undefined, expected: number, tolerance: number, scale = 0): void {
  const size = Math.max(Math.abs(expected), scale);
  if (actual === undefined || !(Math.abs(actual - expected) <= tolerance * size)) {
    expect.fail(`expected ${expected}, received ${actual} (tolerance ${tolerance} of ${size})`);
  }
}

/** Agreement at the printed digits: within half a unit of the last place, read from the printed string. */
export function agreeAsPrinted(actual: number | undefined, printed: string, slack?: number): void {
  const decimals = printed.split('.')[1]?.length ?? 0;
  const half = slack ?? 0.5000001 * 10 ** -decimals;
  if (actual === undefined || !(Math.abs(actual - Number(printed)) <= half)) {
    expect.fail(`printed ${printed}, received ${actual}`);
  }
}

/** Estimates of one invented study each. */
export function estimatesOf(
  values: readonly number[],
  variances: readonly number[],
  scale: AnalysisScale = 'plain',
): Estimate[] {
  return values.map((value, i) => ({
    study: `study-${i}`,
    label: `Place ${i} 2020`,
    value,
    variance: variances[i]!,
    scale,
    ...(scale === 'double-arcsine' ? { count: { events: 1, total: 10 + i } } : {}),
    addedToEachCell: 0,
    rows: [],
  }));
}

/** Arms of one invented study each. */
export function armsOf(
  counts: readonly (readonly [events: number, total: number])[],
  site: ClassifiedSite = 'subpectoral',
): ArmEvents[] {
  return counts.map(([events, total], i) => ({
    study: `study-${i}`,
    label: `Place ${i} 2020`,
    year: 2020,
    arm: `arm-${i}`,
    site,
    events,
    total,
    followUpMonths: 'not reported',
    definition: 'any',
    assessor: 'examiner',
    design: 'case series',
    row: { file: 'events.csv', line: i + 2, locator: 'not reported' },
  }));
}

/** Fails when a number anywhere in a result is NaN or infinite, or when JSON would lose more than undefined. */
export function expectJsonSafe(result: unknown): void {
  const visit = (value: unknown, path: string): void => {
    if (typeof value === 'number' && !Number.isFinite(value)) expect.fail(`${path} is ${value}`);
    if (value !== null && typeof value === 'object') {
      for (const [key, inner] of Object.entries(value)) visit(inner, `${path}.${key}`);
    }
  };
  visit(result, 'result');
  expect(JSON.parse(JSON.stringify(result))).toEqual(result);
}
