import { describe, expect, it } from 'vitest';
import { jsonSafe } from '../../src/publishing/jsonSafe.ts';

describe('jsonSafe', () => {
  it('gives plain data that JSON returns unchanged', () => {
    const safe = jsonSafe({
      a: undefined,
      b: [1, undefined],
      c: Float64Array.of(0.5, 2),
      d: { e: null, f: 'x' },
    });
    expect(safe).toEqual({ b: [1, null], c: [0.5, 2], d: { e: null, f: 'x' } });
    expect(JSON.parse(JSON.stringify(safe))).toEqual(safe);
  });

  it.each([
    [{ a: { b: [Number.NaN] } }, 'result.a.b[0] is NaN'],
    [{ a: Number.NEGATIVE_INFINITY }, 'result.a is -Infinity'],
    [{ a: new Map() }, 'result.a is not plain data'],
    [{ a: () => 1 }, 'result.a is not plain data'],
  ])('refuses %j, naming the path', (value, message) => {
    expect(() => jsonSafe(value)).toThrow(message);
  });
});
