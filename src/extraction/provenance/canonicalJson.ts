/**
 * A JSON value as one text that depends on its meaning only: keys in code-point order, no blanks, numbers as the
 * language prints them. Lists keep their order, because in a protocol "best first" is an order.
 *
 * @example
 * canonicalJson({ b: 1, a: [2.50] }) // '{"a":[2.5],"b":1}'
 */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map((item) => canonicalJson(item ?? null)).join(',')}]`;
  if (typeof value === 'object' && value !== null) {
    const entries = Object.entries(value)
      .filter(([, member]) => member !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, member]) => `${JSON.stringify(key.normalize('NFC'))}:${canonicalJson(member)}`);
    return `{${entries.join(',')}}`;
  }
  return JSON.stringify(typeof value === 'string' ? value.normalize('NFC') : value);
}
