import { describe, expect, test } from 'vitest';
import { percentDigits, percentLimits, percentText } from '../../src/tables/rateText.ts';

describe('rates in print', () => {
  test.each([
    [0, '0'],
    [0.00001, '<0.01'],
    [0.0013, '0.13'],
    [0.00194, '0.19'],
    [0.00196, '0.2'],
    [0.0041, '0.4'],
    [0.0409, '4.1'],
    [0.0996, '10'],
    [0.2134, '21'],
    [0.899, '90'],
    [0.974, '97.4'],
    [0.9987, '99.87'],
    [0.99999, '>99.99'],
    [1, '100'],
  ])('%d is %s', (rate, text) => {
    expect(percentDigits(rate)).toBe(text);
  });

  test('a rate outside 0 to 1 is refused', () => {
    expect(() => percentDigits(12)).toThrow('received 12');
  });

  test('with sign and limits', () => {
    expect(percentText(0.041)).toBe('4.1 %');
    expect(percentLimits({ lower: 0.081, upper: 0.18, level: 0.95 })).toBe('8.1 to 18');
  });
});
