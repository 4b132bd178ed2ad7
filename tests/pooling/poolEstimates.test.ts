// Misuse is refused with name, bound and value; awkward data give typed cautions and a truthful sentence.
import { describe, expect, test } from 'vitest';
import { cautionCodes } from '../../src/pooling/caution.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { expectClose } from '../helpers/close.ts';
import { estimatesOf } from './estimates.ts';

const codes = (result: { cautions: readonly { code: string }[] }) => result.cautions.map(({ code }) => code);
const three = estimatesOf([0.2, 0.9, 0.4], [0.1, 0.2, 0.15]);

describe('misuse', () => {
  test.each([
    [{ model: 'fixed' }, 'model must be one of random-effects, common-effect, received "fixed"'],
    [{ betweenStudyVariance: 'moments' }, 'betweenStudyVariance must be one of dersimonian-laird'],
    [
      { interval: 'normal' },
      'interval must be one of wald, student-t, hartung-knapp, truncated-hartung-knapp',
    ],
    [{ prediction: 'none' }, 'prediction must be one of t-k-minus-2'],
    [{ level: 95 }, 'level must be a number above 0 and below 1, such as 0.95, received 95'],
    [{ level: Number.NaN }, 'received NaN'],
    [{ alpha: 0.05 }, 'unknown option "alpha", the options are model, betweenStudyVariance'],
    [{ scale: 'probit' }, 'scale must be one of raw, logit'],
  ])('%o', (options, message) => {
    expect(() => poolEstimates(three, options as never)).toThrow(RangeError);
    expect(() => poolEstimates(three, options as never)).toThrow(message);
  });

  test.each([
    [
      [Number.NaN, 1],
      [1, 1],
      'value of Place 0 2020 must be a number between -1e+50 and 1e+50, received NaN',
    ],
    [[1, Number.POSITIVE_INFINITY], [1, 1], 'value of Place 1 2020 must be a number'],
    [[1, 2], [1, 0], 'variance of Place 1 2020 must be a number above 0 (1e-50 to 1e+50), received 0'],
    [[1, 2], [-1, 1], 'received -1'],
    [[1, 2], [1, Number.NaN], 'received NaN'],
  ])('values %o, variances %o', (values, variances, message) => {
    expect(() => poolEstimates(estimatesOf(values, variances))).toThrow(message);
  });

  test('estimates on different scales', () => {
    const mixed = [...estimatesOf([1], [1], 'logit'), ...estimatesOf([1], [1], 'raw')];
    expect(() => poolEstimates(mixed)).toThrow('expected logit, received raw for Place 0 2020');
    expect(() => poolEstimates(three, { scale: 'logit' })).toThrow('expected logit, received plain');
  });
});

describe('cautions', () => {
  test('nothing to pool', () => {
    const result = poolEstimates([], { scale: 'logit' });
    expect(codes(result)).toEqual(['nothing-to-pool']);
    expect(result.scale).toBe('logit');
    expect(result.mean).toBeUndefined();
    expect(result.natural).toBeUndefined();
    expect(result.methodsSentence).toContain('No logit-transformed rates');
  });

  test('by number of studies', () => {
    expect(codes(poolEstimates(estimatesOf([1], [1])))).toContain('one-study');
    expect(codes(poolEstimates(estimatesOf([1, 2], [1, 1])))).toContain('fewer-than-three-studies');
    expect(codes(poolEstimates(three))).toContain('fewer-than-five-studies');
    const five = poolEstimates(estimatesOf([1, 2, 3, 2, 1], [1, 1, 1, 1, 1]));
    expect(codes(five).filter((code) => code.startsWith('fewer'))).toEqual([]);
  });

  test('arms of one study are not several studies', () => {
    const arms = three.map((estimate) => ({ ...estimate, study: 'one' }));
    expect(codes(poolEstimates(arms))).toEqual(
      expect.arrayContaining(['one-study', 'several-arms-of-one-study']),
    );
    expect(poolEstimates(arms).studies).toBe(1);
    const twice = [three[2]!, three[0]!, { ...three[1]!, study: three[2]!.study }];
    const result = poolEstimates(twice);
    expect(result.studies).toBe(2);
    expect(result.cautions.find(({ code }) => code === 'several-arms-of-one-study')?.message).toContain(
      'Place 1 2020',
    );
  });

  test('one study with more than half the weight, its arms taken together', () => {
    const result = poolEstimates(estimatesOf([0.1, 0.9, 0.2, 0.6, 0.5], [0.001, 1, 1, 1, 1]), {
      model: 'common-effect',
    });
    const caution = result.cautions.find(({ code }) => code === 'one-study-dominates');
    expect(caution?.message).toContain('Place 0 2020 carries 100 %');
    const spread = estimatesOf([0.1, 0.9, 0.2, 0.6, 0.5], [1, 1, 1, 1, 1]);
    expect(codes(poolEstimates(spread))).not.toContain('one-study-dominates');
    const arms = spread.map((estimate, i) => ({ ...estimate, study: i < 3 ? 'a' : `b${i}` }));
    expect(codes(poolEstimates(arms))).toContain('one-study-dominates');
  });

  test('a correction and what was left out are named', () => {
    const corrected = three.map((estimate, i) => ({ ...estimate, addedToEachCell: i === 1 ? 0.5 : 0 }));
    const result = poolEstimates(corrected, {
      leftOut: [{ study: 'x', label: 'Elsewhere 2019', reason: 'no events', rows: [] }],
    });
    expect(codes(result)).toEqual(expect.arrayContaining(['correction-added', 'arms-left-out']));
    expect(result.methodsSentence).toContain('after adding 0.5 to each cell of 1 of the 3 estimates');
    expect(result.leftOut).toHaveLength(1);
    expect(result.cautions.find(({ code }) => code === 'arms-left-out')?.message).toContain(
      'Elsewhere 2019 (no events)',
    );
  });

  test('no scatter: the Hartung-Knapp interval is replaced, and the sentence says what was used', () => {
    const result = poolEstimates(estimatesOf([1, 1, 1], [0.1, 0.2, 0.3]), { interval: 'hartung-knapp' });
    expect(codes(result)).toEqual(
      expect.arrayContaining(['interval-method-replaced', 'identical-estimates']),
    );
    expect(result.mean?.intervalMethod).toBe('wald');
    expect(result.options.interval).toBe('hartung-knapp');
    expect(result.methodsSentence).toContain('Wald interval');
    expect(result.methodsSentence).not.toContain('Hartung');
  });

  test('little scatter: Hartung-Knapp shorter than Wald', () => {
    const result = poolEstimates(estimatesOf([1, 1.001, 0.999], [0.1, 0.2, 0.3]), {
      interval: 'hartung-knapp',
    });
    expect(codes(result)).toEqual(
      expect.arrayContaining(['hartung-knapp-narrower-than-wald', 'limit-not-reached']),
    );
    expect(result.heterogeneity?.betweenStudyVarianceInterval).toBeUndefined();
  });

  test('a ratio too large to be written is no number', () => {
    const result = poolEstimates(estimatesOf([0.1, 80, -80], [1, 1, 1], 'log-odds-ratio'));
    expect(result.natural?.prediction).toBeUndefined();
    expect(codes(result)).toContain('limit-not-reached');
    expect(result.prediction?.upper).toBeGreaterThan(709);
  });

  test('the double arcsine names the total it was turned back with', () => {
    const estimates = [10, 40].map((total, i) => ({
      ...estimatesOf([0.8], [1 / (total + 0.5)], 'double-arcsine')[0]!,
      study: `s${i}`,
      count: { events: 2, total },
    }));
    const result = poolEstimates(estimates);
    // Harmonic mean of 10 and 40 is 16.
    expect(result.cautions.find(({ code }) => code.startsWith('double'))?.message).toContain('(16)');
    expect(result.methodsSentence).toContain('harmonic mean of the totals (16)');
    const withoutCounts = poolEstimates(estimates.map(({ count: _count, ...rest }) => rest));
    expect(withoutCounts.natural).toBeUndefined();
  });

  test('every code a pool gives is a listed one', () => {
    for (const values of [[], [1], [1, 1], [1, 2, 3]]) {
      for (const code of codes(
        poolEstimates(
          estimatesOf(
            values,
            values.map(() => 1),
          ),
        ),
      )) {
        expect(cautionCodes).toContain(code);
      }
    }
  });
});

test('the result carries its inputs, its options with defaults, and nothing the caller can lose', () => {
  const result = poolEstimates(three);
  expect(result.options).toEqual({
    model: 'random-effects',
    betweenStudyVariance: 'dersimonian-laird',
    interval: 'wald',
    prediction: 't-k-minus-2',
    varianceInterval: 'q-profile',
    level: 0.95,
  });
  result.estimates.forEach(({ weight, interval, ...rest }, i) => {
    expect(rest).toEqual(three[i]);
    expect(weight).toBeGreaterThan(0);
    expectClose(interval.upper - rest.value, 1.959963984540054 * Math.sqrt(rest.variance), 'specialFunction');
  });
});

test('the methods sentence names every choice', () => {
  const { methodsSentence } = poolEstimates(three, { interval: 'hartung-knapp', level: 0.9 });
  for (const words of [
    'from 3 studies',
    'tenosite',
    'inverse-variance',
    'random-effects',
    'DerSimonian-Laird',
    '90 % Hartung-Knapp interval',
    'prediction interval',
    'k - 2',
    "Cochran's Q",
    'Q-profile',
    'I² and H²',
  ]) {
    expect(methodsSentence).toContain(words);
  }
  expect(methodsSentence.match(/\./g)).toHaveLength(1);
});
