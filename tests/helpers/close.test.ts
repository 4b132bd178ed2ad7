import { describe, expect, it } from 'vitest';
import {
  expectAllClose,
  expectAllPrinted,
  expectClose,
  expectPrinted,
  halfUnitInLastPlace,
  type Tier,
  tiers,
} from './close.ts';

describe('expectClose', () => {
  for (const tier of Object.keys(tiers) as Tier[]) {
    it(`${tier} passes inside its tolerance and fails outside, at every size`, () => {
      for (const size of [1e-26, 1, 1e12]) {
        expectClose(size * (1 + 0.5 * tiers[tier]), size, tier);
        expect(() => expectClose(size * (1 + 3 * tiers[tier] + 1e-15), size, tier)).toThrow('expected');
      }
    });
  }

  it('is relative: 0.0049 is not 0.0001', () => {
    expect(() => expectClose(0.0049, 0.0001, 'otherLibrary')).toThrow('off by');
  });

  it('never takes NaN, undefined or infinity', () => {
    for (const value of [Number.NaN, undefined, Number.POSITIVE_INFINITY])
      expect(() => expectClose(value, 1, 'otherLibrary')).toThrow(`got ${value}`);
    expect(() => expectClose(Number.NaN, Number.NaN, 'exact')).toThrow('not finite');
  });

  it('holds an expected zero exactly unless the cancelling terms are named', () => {
    expect(() => expectClose(1e-16, 0, 'identity')).toThrow('expected zero');
    expectClose(1e-14, 0, 'identity', { ofSize: 1 });
    expect(() => expectClose(1e-12, 0, 'identity', { ofSize: 1 })).toThrow('off by');
  });

  it('refuses a tolerance of a tenth of the expected value', () => {
    expect(() => expectClose(1e-7, 1e-7, 'otherLibrary', { ofSize: 1 })).toThrow('would let a wrong');
    expect(() => expectClose(0, 0, 'otherLibrary', { ofSize: 100 })).toThrow('around zero');
  });

  it('says which value failed, by how much and what was allowed', () => {
    expect(() => expectClose(1.1, 1, 'iterative', { label: 'trial 4' })).toThrow(
      /^trial 4: got 1\.1, expected 1: off by 0\.1\d* \(0\.100 relative\), allowed 1e-8 \(iterative/,
    );
  });

  it('compares lists of one length', () => {
    expectAllClose([1, 2], [1, 2], 'exact');
    expect(() => expectAllClose([1], [1, 2], 'exact')).toThrow('got 1 values, expected 2');
    expect(() => expectAllClose([1, 3], [1, 2], 'exact', { label: 'x' })).toThrow('x[1]: got 3');
  });
});

describe('expectPrinted', () => {
  it('takes the tolerance from the string itself', () => {
    expect(halfUnitInLastPlace('0.50')).toBe(0.005);
    expect(halfUnitInLastPlace('0.5')).toBe(0.05);
    expect(halfUnitInLastPlace('-174')).toBe(0.5);
    expect(halfUnitInLastPlace('1.2e-26')).toBe(5e-28);
    expect(() => halfUnitInLastPlace('1,5')).toThrow('not a plain decimal');
    expectPrinted(0.504, '0.50');
    expect(() => expectPrinted(0.506, '0.50')).toThrow('off by');
    expectPrinted(0.545, '0.5', { because: 'one digit is all there is' });
  });

  it('passes exactly on the rounding boundary', () => {
    expectPrinted(0.675, '0.68');
    expectPrinted(-0.675, '-0.68');
  });

  it('refuses a string too short to tell right from wrong, and a silent tolerance', () => {
    expect(() => expectPrinted(0.002, '0.002')).toThrow('would let a wrong answer pass');
    expect(() => expectPrinted(0.0001, '0.000')).toThrow('around zero');
    expect(() => expectPrinted(1.25, '1.23', { within: 0.03 })).toThrow('needs a reason');
    expect(() => expectPrinted(1, 'NR')).toThrow('not a printed number');
    expect(() => expectPrinted(0, '')).toThrow('not a printed number');
  });

  it('never takes NaN or undefined', () => {
    for (const value of [Number.NaN, undefined])
      expect(() => expectPrinted(value, '1.23', { within: 1, because: 'x' })).toThrow(`got ${value}`);
  });

  it('compares lists of one length', () => {
    expectAllPrinted([0.39, 0.19], ['0.39', '0.19']);
    expect(() => expectAllPrinted([0.39], ['0.39', '0.19'])).toThrow('got 1 values, printed 2');
    expect(() => expectAllPrinted([0.39, 0.2], ['0.39', '0.19'])).toThrow('list[1]: got 0.2');
  });
});
