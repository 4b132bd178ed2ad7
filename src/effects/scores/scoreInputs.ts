import type { MeanSummary } from '../twoMeans.ts';

const say = (value: unknown): string => (typeof value === 'number' ? String(value) : JSON.stringify(value));

/** Throws unless the value is a finite number. */
export function requireFinite(name: string, value: number): void {
  if (typeof value !== 'number' || !Number.isFinite(value)) {
    throw new RangeError(`${name} must be a finite number; received ${say(value)}`);
  }
}

/** Throws unless the value is finite and above zero. */
export function requirePositive(name: string, value: number): void {
  if (typeof value !== 'number' || !(value > 0 && Number.isFinite(value))) {
    throw new RangeError(`${name} must be a finite number above 0; received ${say(value)}`);
  }
}

/** Throws unless the value is finite and not below zero. */
export function requireNotNegative(name: string, value: number): void {
  if (typeof value !== 'number' || !(value >= 0 && Number.isFinite(value))) {
    throw new RangeError(`${name} must be a finite number of at least 0; received ${say(value)}`);
  }
}

/** Throws unless the value is a whole number of people or shoulders, of at least the given minimum. */
export function requireSampleSize(name: string, value: number, minimum = 2): void {
  if (!Number.isSafeInteger(value) || value < minimum) {
    throw new RangeError(`${name} must be a whole number of at least ${minimum}; received ${say(value)}`);
  }
}

/** Throws unless the value is a coverage strictly between 0 and 1. */
export function requireLevel(value: number): void {
  if (typeof value !== 'number' || !(value > 0 && value < 1)) {
    throw new RangeError(`level must lie between 0 and 1, such as 0.95; received ${say(value)}`);
  }
}

/** Throws unless the value is one of the named ones. */
export function requireOneOf<Value extends string>(
  name: string,
  value: string,
  allowed: readonly Value[],
): asserts value is Value {
  if (!(allowed as readonly string[]).includes(value)) {
    throw new RangeError(`${name} must be one of ${allowed.join(', ')}; received ${say(value)}`);
  }
}

/** Throws when the options hold a name that is not known. */
export function requireKnownOptions(options: object, allowed: readonly string[]): void {
  for (const name of Object.keys(options)) {
    if (!allowed.includes(name)) {
      throw new RangeError(`unknown option "${name}". Allowed: ${allowed.join(', ')}`);
    }
  }
}

/** Throws unless the group has a finite mean, a standard deviation not below zero and at least two people. */
export function requireGroup(name: string, group: MeanSummary, minimumSize = 2): void {
  requireFinite(`${name}.mean`, group.mean);
  requireNotNegative(`${name}.standardDeviation`, group.standardDeviation);
  requireSampleSize(`${name}.total`, group.total, minimumSize);
}

/** Throws when arithmetic on finite input ran out of the range of numbers. */
export function requireResult(name: string, value: number): number {
  if (!Number.isFinite(value)) {
    throw new RangeError(`${name} is too large to be a number; check the size of what went in`);
  }
  return value;
}
