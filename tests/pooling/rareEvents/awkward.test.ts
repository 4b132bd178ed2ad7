import { describe, expect, it } from 'vitest';
import { cochranMantelHaenszelTest } from '../../../src/pooling/rareEvents/cochranMantelHaenszelTest.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import type { TwoArmOptions } from '../../../src/pooling/rareEvents/twoArmOptions.ts';
import { codes, everyChoice, everyNumberFinite, named, table, tablesOf } from './rareEventsHelpers.ts';

describe.each(everyChoice.map((options) => [named(options), options] as const))('%s', (_name, options) => {
  const arcsine = options.measure === 'arcsine-difference';

  it('no studies', () => {
    const result = poolTwoArms([], options);
    expect(result).toMatchObject({ status: 'nothing-to-pool', studies: 0, reason: 'there are no studies' });
    expect(codes(result)).toContain('nothing-to-pool');
  });

  it('no events anywhere', () => {
    const result = poolTwoArms([table('One', [0, 30], [0, 40]), table('Two', [0, 20], [0, 25])], options);
    everyNumberFinite(result);
    if (arcsine) expect(result).toMatchObject({ status: 'estimated', value: 0 });
    else
      expect(result).toMatchObject({
        status: 'no-events',
        value: undefined,
        interval: undefined,
        studies: 0,
      });
    expect(result.doubleZero.map(({ cells }) => cells)).toEqual(['no-events', 'no-events']);
  });

  it('events everywhere', () => {
    const result = poolTwoArms([table('One', [30, 30], [40, 40]), table('Two', [20, 20], [25, 25])], options);
    everyNumberFinite(result);
    if (!arcsine) expect(result).toMatchObject({ status: 'all-events', value: undefined });
    expect(result.doubleZero.map(({ cells }) => cells)).toEqual(['all-events', 'all-events']);
  });

  it('one arm all events', () => {
    const result = poolTwoArms([table('One', [12, 12], [3, 14]), table('Two', [9, 9], [5, 11])], options);
    everyNumberFinite(result);
    const finite =
      arcsine ||
      options.method === 'peto' ||
      (options.method === 'mantel-haenszel' && options.measure !== 'odds-ratio');
    expect(result.status).toBe(finite ? 'estimated' : 'no-finite-estimate');
    if (finite) expect(result.value).toBeGreaterThan(0);
    if (options.interval === 'exact' || options.interval === 'profile-likelihood') {
      expect(result.oneSidedLimit).toMatchObject({ side: 'lower', level: 0.975 });
      expect(result.oneSidedLimit!.natural).toBeGreaterThan(1);
    }
  });

  it('identical studies leave no variation to find', () => {
    const result = poolTwoArms(
      ['One', 'Two', 'Three', 'Four', 'Five'].map((label) => table(label, [4, 50], [9, 50])),
      options,
    );
    everyNumberFinite(result);
    if (options.method === 'beta-binomial') expect(result.overdispersion).toBe(0);
    else if (options.model === 'random-effects') expect(result.betweenStudyDeviation).toBe(0);
    if (options.model === 'random-effects' && !arcsine) {
      expect(result.status).toBe('boundary');
      expect(codes(result)).toContain('one-step-at-boundary');
    }
  });

  it('one study a thousand times larger than the others', () => {
    const result = poolTwoArms(
      [
        table('Large', [900, 30000], [1200, 30000]),
        table('Small', [1, 30], [2, 30]),
        table('Tiny', [0, 9], [1, 8]),
      ],
      options,
    );
    everyNumberFinite(result);
    expect(['estimated', 'boundary']).toContain(result.status);
    expect(result.value).toBeLessThan(0);
  });

  it('says what was done in one sentence', () => {
    const { methodsSentence, method, source } = poolTwoArms(tablesOf('sparse'), options);
    expect(methodsSentence).toContain(method);
    expect(methodsSentence).toContain(source);
    expect(methodsSentence).toContain('95 % interval');
    expect(methodsSentence).toMatch(/2 studies without events, or with events only, (counted|added nothing)/);
    expect(methodsSentence).not.toMatch(/undefined|NaN/);
  });
});

describe('choices that are not allowed', () => {
  const tables = tablesOf('sparse');
  it.each<[string, unknown, RegExp]>([
    [
      'an unknown method',
      { method: 'magic' },
      /method must be one of mantel-haenszel, peto.*received "magic"/,
    ],
    [
      'a measure of another method',
      { method: 'peto', measure: 'risk-ratio' },
      /measure of peto must be one of odds-ratio/,
    ],
    [
      'a model of another method',
      { method: 'peto', model: 'random-effects' },
      /model of peto must be one of common-effect/,
    ],
    [
      'an unknown option',
      { method: 'peto', alpha: 0.05 },
      /unknown option "alpha", the options are method, measure/,
    ],
    ['a level in percent', { method: 'peto', level: 95 }, /level must be .*received 95/],
    [
      'an addition where none is made',
      { method: 'peto', zeroCells: { addToEachCell: 0.5 } },
      /zeroCells of peto must be none/,
    ],
    [
      'a negative addition',
      { method: 'mantel-haenszel', zeroCells: { addToEachCell: -1 } },
      /addToEachCell must be .*-1/,
    ],
    [
      'an unknown addition',
      { method: 'mantel-haenszel', zeroCells: 'half' },
      /zeroCells must be 'none'.*half/,
    ],
    [
      'an addition nowhere',
      { method: 'mantel-haenszel', zeroCells: { addToEachCell: 1, to: 'x' } },
      /to must be one of/,
    ],
    [
      'a misspelt addition',
      { method: 'mantel-haenszel', zeroCells: { add: 1 } },
      /knows addToEachCell and to, received add/,
    ],
    [
      'a variance of another measure',
      { method: 'mantel-haenszel', variance: 'sato' },
      /variance .*cannot be chosen for odds-ratio/,
    ],
    ['points where nothing is integrated', { method: 'peto', quadraturePoints: 9 }, /does not integrate/],
    ['too few points', { method: 'hypergeometric-normal', quadraturePoints: 3 }, /from 7 to 100, received 3/],
    ['two-step options elsewhere', { method: 'peto', twoStep: {} }, /belongs to arcsine-difference/],
  ])('%s', (_name, options, message) => {
    expect(() => poolTwoArms(tables, options as TwoArmOptions)).toThrow(RangeError);
    expect(() => poolTwoArms(tables, options as TwoArmOptions)).toThrow(message);
  });

  it('impossible counts name the study, the arm and the value', () => {
    for (const [bad, message] of [
      [table('Cove 2020', [5, 4], [1, 9]), /treated arm of Cove 2020.*0 to 4, received 5/],
      [table('Cove 2020', [1, 4], [1.5, 9]), /comparator arm of Cove 2020.*received 1.5/],
      [table('Cove 2020', [0, 0], [1, 9]), /treated arm of Cove 2020.*above 0, received 0/],
      [table('Cove 2020', [1, 4], [Number.NaN, 9]), /received NaN/],
    ] as const) {
      expect(() => poolTwoArms([bad], { method: 'peto' })).toThrow(message);
      expect(() => cochranMantelHaenszelTest([bad])).toThrow(message);
    }
  });
});

describe('two arms, further', () => {
  it('an addition is made openly and counted', () => {
    const plain = poolTwoArms(tablesOf('sparse'), { method: 'mantel-haenszel' });
    const added = poolTwoArms(tablesOf('sparse'), {
      method: 'mantel-haenszel',
      zeroCells: 'treatment-arm-reciprocal',
    });
    expect(codes(added)).toContain('correction-added');
    expect(codes(plain)).not.toContain('correction-added');
    expect(added.value).not.toBe(plain.value);
    expect(added.doubleZero.every(({ carriesInformation }) => carriesInformation)).toBe(true);
    expect(added.studies).toBe(plain.studies + 2);
  });

  it('studies left out upstream stay visible', () => {
    const leftOut = [{ study: 'x', label: 'Lagoon 2020', reason: 'no comparator', rows: [] }];
    const pool = poolTwoArms(tablesOf('sparse'), { method: 'peto' }, leftOut);
    expect(pool.leftOut).toEqual(leftOut);
    expect(codes(pool)).toContain('arms-left-out');
  });

  it('no test where no study can tell', () => {
    const test = cochranMantelHaenszelTest([table('One', [0, 30], [0, 40])]);
    expect(test).toMatchObject({ chiSquare: undefined, pValue: undefined, variance: 0 });
    expect(test.reason).toBeTypeOf('string');
  });

  it('the arms of studies that are all or nothing send the deviation away without end', () => {
    const pool = poolTwoArms(
      [table('One', [20, 20], [0, 20]), table('Two', [0, 20], [20, 20]), table('Three', [20, 20], [0, 20])],
      { method: 'hypergeometric-normal' },
    );
    expect(pool).toMatchObject({ status: 'not-converged', value: undefined, interval: undefined });
    expect(codes(pool)).toContain('one-step-not-converged');
  });
});
