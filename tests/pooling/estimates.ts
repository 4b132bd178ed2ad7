import { expect } from 'vitest';
import type { AnalysisScale } from '../../src/effects/analysisScale.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import type { ClassifiedSite } from '../../src/extraction/site.ts';
import { expectClose, type Tier } from '../helpers/close.ts';

/**
 * As `expectClose`, for random data whose expected value may fall anywhere near zero: there the difference is held to
 * the tier relative to `size`, the size of the terms that cancelled.
 */
export function expectNear(actual: number | undefined, expected: number, tier: Tier, size: number): void {
  if (Math.abs(expected) >= size) expectClose(actual, expected, tier);
  else expectClose(actual === undefined ? undefined : size + (actual - expected), size, tier);
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

/**
 * Fails when a number anywhere in a result is NaN or infinite, or when JSON would lose more than undefined. Written out
 * rather than left to a general comparison, which takes longer than the pooling it looks at.
 */
export function expectJsonSafe(result: unknown): void {
  const visit = (value: unknown, read: unknown, path: string): void => {
    if (typeof value === 'number') {
      if (!Number.isFinite(value)) expect.fail(`${path} is ${value}`);
      // A negative zero is written as 0, which is the same number.
      if (value !== read) expect.fail(`${path}: ${value} is read back as ${String(read)}`);
    } else if (value === null || typeof value === 'string' || typeof value === 'boolean') {
      if (value !== read) expect.fail(`${path}: ${String(value)} is read back as ${String(read)}`);
    } else if (Array.isArray(value)) {
      if (!Array.isArray(read) || read.length !== value.length) expect.fail(`${path} is read back otherwise`);
      value.forEach((inner, i) => {
        visit(inner, (read as unknown[])[i], `${path}[${i}]`);
      });
    } else if (typeof value === 'object' && Object.getPrototypeOf(value) === Object.prototype) {
      const kept = Object.entries(value).filter(([, inner]) => inner !== undefined);
      if (typeof read !== 'object' || read === null || Object.keys(read).length !== kept.length)
        expect.fail(`${path} is read back otherwise`);
      for (const [key, inner] of kept) visit(inner, (read as Record<string, unknown>)[key], `${path}.${key}`);
    } else expect.fail(`${path} is ${Object.prototype.toString.call(value)}, which JSON does not keep`);
  };
  visit(result, JSON.parse(JSON.stringify(result)), 'result');
}
