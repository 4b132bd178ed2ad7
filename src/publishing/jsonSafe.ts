/**
 * A plain copy of a result that survives JSON unchanged: undefined members are left out, typed arrays
 * become arrays.
 *
 * @throws for NaN, an infinity, a function, a Map or a Set, naming the path to it: none may be published
 */
export function jsonSafe(value: unknown, path = 'result'): unknown {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return value;
  if (typeof value === 'number') {
    if (Number.isFinite(value)) return value;
    throw new RangeError(`${path} is ${value}; a result must leave out what it cannot say`);
  }
  if (value === undefined) return undefined;
  if (Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView))) {
    return Array.from(value as ArrayLike<unknown>, (item, at) => jsonSafe(item, `${path}[${at}]`) ?? null);
  }
  if (typeof value === 'object' && !(value instanceof Map) && !(value instanceof Set)) {
    return Object.fromEntries(
      Object.entries(value)
        .filter(([, member]) => member !== undefined)
        .map(([key, member]) => [key, jsonSafe(member, `${path}.${key}`)]),
    );
  }
  throw new TypeError(`${path} is not plain data and cannot be written as JSON`);
}
