import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pointsDigits, rateDigits, ratioDigits, sizeDigits } from '../../src/wording/numbers.ts';

// Both sides of each border of the rule: whole from 10 to 90, one decimal outside, two within 0.2 of none or all.
describe('rateDigits', () => {
  it.each([
    [0, '0'],
    [0.0049, '<0.01'],
    [0.005, '0.01'],
    [0.1949, '0.19'],
    [0.195, '0.2'],
    [9.9499, '9.9'],
    [9.95, '10'],
    [10.49, '10'],
    [89.6, '90'],
    [90.04, '90'],
    [90.0501, '90.1'],
    [99.804, '99.8'],
    [99.806, '99.81'],
    [99.9949, '99.99'],
    [99.9951, '>99.99'],
    [100, '100'],
  ])('%d: %s', (value, digits) => {
    expect(rateDigits(value)).toBe(digits);
  });

  it.each([-0.001, 100.001, Number.NaN, Number.POSITIVE_INFINITY])('refuses %d, naming it', (value) => {
    expect(() => rateDigits(value)).toThrow(`received ${value}`);
  });

  it('prints none and all for these alone, and rises with the rate', () => {
    const shown = (value: number): number =>
      Number(rateDigits(value).replace('<0.01', '0.005').replace('>99.99', '99.995'));
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (a, b) => {
          expect(['0', '100'].includes(rateDigits(a))).toBe(a === 0 || a === 100);
          if (a <= b) expect(shown(a)).toBeLessThanOrEqual(shown(b));
          expect(Math.abs(shown(a) - a)).toBeLessThanOrEqual(0.5);
        },
      ),
    );
  });
});

describe('sizeDigits', () => {
  it.each([
    [0, '0'],
    [-0, '0'],
    [0.0049, '<0.01'],
    [-0.0049, '<0.01'],
    [0.005, '0.01'],
    [0.1949, '0.19'],
    [0.195, '0.2'],
    [-7.86, '7.9'],
    [9.9499, '9.9'],
    [9.95, '10'],
    [-99.6, '100'],
  ])('%d: %s', (value, digits) => {
    expect(sizeDigits(value)).toBe(digits);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY])('refuses %d', (value) => {
    expect(() => sizeDigits(value)).toThrow(RangeError);
    expect(() => pointsDigits(value)).toThrow(RangeError);
  });
});

describe('pointsDigits', () => {
  it.each([
    [2.14, '2.1'],
    [-2.14, '\u22122.1'],
    [-0.04, '0.0'],
    [0.04, '0.0'],
    [-0.06, '\u22120.1'],
    [120, '120.0'],
  ])('%d: %s', (value, digits) => {
    expect(pointsDigits(value)).toBe(digits);
  });
});

describe('ratioDigits', () => {
  it.each([
    [0, '0.00'],
    [0.00049, '<0.001'],
    [0.0005, '0.001'],
    [0.00949, '0.009'],
    [0.0095, '0.01'],
    [9.9949, '9.99'],
    [9.995, '10.0'],
    [99.949, '99.9'],
    [99.95, '100'],
    [9999.4, '9999'],
    [9999.5, '>9999'],
    [Number.POSITIVE_INFINITY, '>9999'],
  ])('%d: %s', (value, digits) => {
    expect(ratioDigits(value)).toBe(digits);
  });

  it.each([-0.1, Number.NaN])('refuses %d', (value) => {
    expect(() => ratioDigits(value)).toThrow(RangeError);
  });
});
