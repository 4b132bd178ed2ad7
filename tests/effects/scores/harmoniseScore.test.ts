import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convertSummary } from '../../../src/effects/scores/convertSummary.ts';
import { findScale } from '../../../src/effects/scores/findScale.ts';
import { harmoniseScore, type PrintedScore } from '../../../src/effects/scores/harmoniseScore.ts';
import { scaleFromProtocol } from '../../../src/effects/scores/scaleFromProtocol.ts';
import { scaleRegistry } from '../../../src/effects/scores/scaleRegistry.ts';
import { expectClose } from '../../helpers/close.ts';

const on = (
  scale: string,
  minimum: number,
  maximum: number,
  mean: number,
  standardDeviation = 3,
): PrintedScore => ({
  scale,
  mean,
  standardDeviation,
  minimum,
  maximum,
});
const harmonised = (score: PrintedScore, scale = findScale(score.scale)) => {
  const result = harmoniseScore(score, scale);
  if (result.status === 'refused') throw new Error(result.reason);
  return result;
};
const refusal = (score: PrintedScore, scale: string): string => {
  const result = harmoniseScore(score, findScale(scale));
  if (result.status === 'harmonised') throw new Error('not refused');
  return result.reason;
};

describe('harmonising scores', () => {
  it('pools pain on 0 to 10 with pain on 0 to 100', () => {
    const result = harmonised(on('pain-vas', 0, 10, 3.1, 1.9));
    expectClose(result.mean, 31, 'identity');
    expectClose(result.standardDeviation, 19, 'identity');
    expect(result.line).toEqual({ multiply: 10, add: 0 });
    expect(result.cautions.map((each) => each.code)).toEqual(['rescaled', 'near-the-end-of-the-scale']);
    expect(result.cautions[0]!.message).toBe(
      'Rescaled from 0 to 10 cm (lower better) to 0 to 100 mm (lower better).',
    );
    const same = harmonised(on('VAS', 0, 100, 60, 12));
    expect([same.mean, same.standardDeviation, same.cautions]).toEqual([60, 12, []]);
  });

  it('tells the range from the unit, and refuses when neither is stated or they contradict each other', () => {
    const base = { scale: 'pain-vas', mean: 4, standardDeviation: 1 };
    const cm = harmonised({ ...base, unit: 'cm' });
    expectClose(cm.mean, 40, 'identity');
    expect(cm.cautions.map((each) => each.code)).toContain('range-taken-from-unit');
    expect(refusal(base, 'pain-vas')).toContain('the paper does not say which, so the score cannot be used');
    expect(refusal({ ...base, unit: 'mm', maximum: 10 }, 'pain-vas')).toContain(
      'the paper’s range of ? to 10, unit mm is none of them',
    );
  });

  it('turns scales round: WORC in two directions, the older Oxford score', () => {
    // A WORC of 420 of 2100 points is 80 % of the best score; an Oxford score of 20 (older) is 40 (newer), since old + new = 60.
    const worc = harmonised(on('worc', 0, 2100, 420, 210));
    expectClose(worc.mean, 80, 'identity');
    expectClose(worc.standardDeviation, 10, 'identity');
    expect(worc.cautions.map((each) => each.code)).toContain('reversed');
    const oxford = harmonised(on('oss', 12, 60, 20, 6));
    expectClose(oxford.mean, 40, 'identity');
    expectClose(oxford.standardDeviation, 6, 'identity');
    const change = harmonised({ ...on('oss', 12, 60, -15, 6), kind: 'change' });
    expectClose(change.mean, 15, 'identity');
  });

  it('rescales the Simple Shoulder Test and keeps each end where it belongs', () => {
    expectClose(harmonised(on('sst', 0, 100, 75, 20)).mean, 9, 'identity');
    for (const scale of scaleRegistry) {
      for (const { range, better, units } of scale.versions) {
        if (range === undefined) continue;
        for (const end of ['minimum', 'maximum'] as const) {
          const isBest = (end === 'maximum') === (better === 'higher');
          const { range: to, better: toBetter } = scale.reference;
          const expected = isBest === (toBetter === 'higher') ? to!.maximum : to!.minimum;
          const score = {
            ...on(scale.id, range.minimum, range.maximum, range[end], 0),
            better,
            unit: units[0]!,
          };
          expectClose(harmonised(score).mean - expected, 0, 'identity', { ofSize: 2100 });
        }
      }
    }
  });

  it('refuses look-alikes: modified ASES, the subjective part of Constant, adjusted Constant, QuickDASH', () => {
    expect(refusal(on('ases-modified', 0, 100, 80), 'ases')).toBe(
      'Modified American Shoulder and Elbow Surgeons score (without the pain half) is not pooled with American Shoulder and Elbow Surgeons score: it leaves out the pain half of the original.',
    );
    expect(refusal(on('ases', 0, 100, 80), 'ases-modified')).toContain('half of its points are pain');
    expect(refusal(on('constant-subjective', 0, 35, 24), 'constant')).toContain('35 of the 100 points');
    expect(refusal({ scale: 'constant-age-adjusted', mean: 90, standardDeviation: 9 }, 'constant')).toContain(
      'normal for age and sex',
    );
    expect(refusal(on('quickdash', 0, 100, 20), 'dash')).toContain('not the same number');
    expect(refusal(on('constant', 0, 100, 80), 'ases')).toBe(
      'Constant-Murley score is another scale than American Shoulder and Elbow Surgeons score.',
    );
    expect(refusal(on('penn', 0, 100, 80), 'ases')).toContain('The scale "penn" is not known');
    expect(
      refusal({ scale: 'operative-time-biceps', mean: 12, standardDeviation: 6 }, 'operative-time'),
    ).toContain('the biceps step alone');
  });

  it('refuses a UCLA score unless its minimum is stated, and says that it is often misquoted', () => {
    expect(refusal({ scale: 'ucla', mean: 30, standardDeviation: 4, maximum: 35 }, 'ucla')).toContain(
      'the paper does not say which',
    );
    const stated = harmonised(on('ucla', 3, 35, 30, 4));
    expectClose(stated.mean, 2 + (27 * 33) / 32, 'identity');
    expect(stated.cautions.map((each) => each.code)).toEqual([
      'rescaled',
      'minimum-often-misquoted',
      'near-the-end-of-the-scale',
    ]);
  });

  it('knows units of force, and that a share of the other side is none', () => {
    const kilograms = { scale: 'strength-force', mean: 10, standardDeviation: 2, unit: 'kg' };
    expectClose(harmonised(kilograms).mean, 98.0665, 'identity');
    expect(refusal(kilograms, 'strength-torque')).toContain('is not pooled with');
    expect(refusal({ ...kilograms, unit: 'lb' }, 'strength-force')).toContain('unit lb is none of them');
    expect(
      refusal({ scale: 'strength-percent', mean: 92, standardDeviation: 9 }, 'strength-force'),
    ).toContain('without the other arm’s value');
  });

  it('refuses values that the scale cannot give, and other versions', () => {
    expect(refusal(on('pain-vas', 0, 10, 31), 'pain-vas')).toBe(
      'A mean of 31 cannot be on a scale of 0 to 10 cm (lower better).',
    );
    expect(refusal(on('ases', 0, 50, 31), 'ases')).toContain('the paper’s range of 0 to 50 is none of them');
    expect(refusal({ ...on('ases', 0, 100, 31), better: 'lower' }, 'ases')).toContain(
      'direction "lower better" is none of them',
    );
    expect(() => harmoniseScore(on('ases', 0, 100, Number.NaN), findScale('ases'))).toThrow(
      'mean must be a finite number; received NaN',
    );
    expect(() => findScale('asse')).toThrow('unknown scale "asse". Did you mean "ases"?');
  });

  it('rescaling commutes with the conversion of medians and quartiles', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 5, maxLength: 5 }),
        fc.integer({ min: 5, max: 200 }),
        (tenths, total) => {
          const [minimum, quartileLower, median, quartileUpper, maximum] = tenths
            .sort((a, b) => a - b)
            .map((each) => each / 10) as [number, number, number, number, number];
          const small = convertSummary({ minimum, quartileLower, median, quartileUpper, maximum, total });
          const large = convertSummary({
            minimum: 10 * minimum,
            quartileLower: 10 * quartileLower,
            median: 10 * median,
            quartileUpper: 10 * quartileUpper,
            maximum: 10 * maximum,
            total,
          });
          const after = harmonised(on('pain-vas', 0, 10, Math.min(10, small.mean), small.standardDeviation));
          expectClose(after.mean - large.mean, 0, 'identity', { ofSize: 100 });
          expectClose(after.standardDeviation - large.standardDeviation, 0, 'identity', { ofSize: 100 });
        },
      ),
    );
  });

  it('takes scales from a protocol: its first range is the reference, the registry knows the rest', () => {
    const pain = scaleFromProtocol({
      id: 'pain-vas',
      name: 'Pain',
      better: 'lower',
      ranges: [
        { minimum: 0, maximum: 10 },
        { minimum: 0, maximum: 100 },
      ],
    });
    expectClose(harmonised(on('pain-vas', 0, 100, 31, 19), pain).mean, 3.1, 'identity');
    const oxford = scaleFromProtocol({
      id: 'oss',
      name: 'Oxford',
      better: 'higher',
      ranges: [
        { minimum: 0, maximum: 48 },
        { minimum: 12, maximum: 60 },
      ],
    });
    expectClose(harmonised(on('oss', 12, 60, 20), oxford).mean, 40, 'identity');
    const own = scaleFromProtocol({
      id: 'sleep',
      name: 'Sleep',
      better: 'higher',
      unit: 'nights',
      ranges: [{ minimum: 0, maximum: 7 }],
    });
    expect(harmonised({ scale: 'sleep', mean: 3, standardDeviation: 0.5 }, own)).toMatchObject({
      mean: 3,
      unit: 'nights',
    });
    expect(() =>
      scaleFromProtocol({
        id: 'ases',
        name: 'ASES',
        better: 'lower',
        ranges: [{ minimum: 0, maximum: 100 }],
      }),
    ).toThrow('better of scale "ases" must be "higher" on 0 to 100; received "lower"');
  });

  it('has no id or alias twice, and a reason wherever a family has several members', () => {
    const names = scaleRegistry.flatMap((scale) => [scale.id, ...scale.aliases]);
    expect(new Set(names).size).toBe(names.length);
    for (const scale of scaleRegistry) {
      expect(scale.versions).toContain(scale.reference);
      const family = scaleRegistry.filter((each) => each.family === scale.family);
      if (family.length > 1) expect(scale.apartBecause, scale.id).toBeTruthy();
    }
  });
});
