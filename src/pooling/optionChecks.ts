/** Throws unless `value` is one of `allowed`, naming them. */
export function checkChoice<T extends string>(name: string, value: unknown, allowed: readonly T[]): T {
  if (!allowed.includes(value as T)) {
    throw new RangeError(`${name} must be one of ${allowed.join(', ')}, received ${show(value)}`);
  }
  return value as T;
}

/** Throws unless `level` is a coverage strictly between 0 and 1. */
export function checkLevel(level: unknown): number {
  if (typeof level !== 'number' || !(level > 0 && level < 1)) {
    throw new RangeError(`level must be a number above 0 and below 1, such as 0.95, received ${show(level)}`);
  }
  return level;
}

/** Throws when `options` has a key that is not among `allowed`, naming them. */
export function checkOptionNames(options: object, allowed: readonly string[]): void {
  for (const key of Object.keys(options)) {
    if (!allowed.includes(key)) {
      throw new RangeError(`unknown option ${show(key)}, the options are ${allowed.join(', ')}`);
    }
  }
}

/** A received value as it should stand in an error message. */
export function show(value: unknown): string {
  return typeof value === 'string' ? `"${value}"` : String(value);
}
