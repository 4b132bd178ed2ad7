// Bands and conversions of the quality instruments on both sides of each border, from the published conversion of stars and
// from our own cuts as docs/methods-certainty.md names them.
import { describe, expect, it } from 'vitest';
import {
  type Concern,
  concernOfShare,
  concernOfWord,
  resolveQualityOptions,
} from '../../src/certainty/quality/concern.ts';
import { judgeInstrument } from '../../src/certainty/quality/judgeInstrument.ts';
import { newcastleOttawaQuality } from '../../src/certainty/quality/newcastleOttawa.ts';
import { judgementItems } from '../../src/extraction/sheets/judgementsSheet.ts';

describe('stars as good, fair or poor', () => {
  it.each<[number, number, number, string, string | undefined]>([
    // Good: selection 3 or 4, comparability 1 or 2, outcome 2 or 3.
    [3, 1, 2, 'good', 'good'],
    [4, 2, 3, 'good', 'good'],
    // Fair: selection 2, the others as for good.
    [2, 1, 2, 'fair', 'fair'],
    [2, 2, 3, 'fair', 'fair'],
    // Poor: any group short, or all of them, as the conversion is printed.
    [1, 1, 2, 'poor', undefined],
    [3, 0, 2, 'poor', undefined],
    [3, 1, 1, 'poor', undefined],
    [1, 0, 2, 'poor', undefined],
    [1, 1, 1, 'poor', undefined],
    [2, 0, 1, 'poor', undefined],
    [1, 0, 1, 'poor', 'poor'],
    [0, 0, 0, 'poor', 'poor'],
  ])(
    'selection %d, comparability %d, outcome %d: %s, or %s',
    (selection, comparability, outcome, any, all) => {
      const stars = { selection, comparability, outcome };
      expect(newcastleOttawaQuality(stars)).toBe(any);
      expect(newcastleOttawaQuality(stars, 'any')).toBe(any);
      expect(newcastleOttawaQuality(stars, 'all')).toBe(all);
    },
  );

  it.each([
    [
      { selection: -1, comparability: 0, outcome: 0 },
      'selection must be a whole number from 0 to 4, received -1',
    ],
    [
      { selection: 0, comparability: 3, outcome: 0 },
      'comparability must be a whole number from 0 to 2, received 3',
    ],
    [
      { selection: 0, comparability: 0, outcome: 4 },
      'outcome must be a whole number from 0 to 3, received 4',
    ],
  ])('%j is refused', (stars, message) => {
    expect(() => newcastleOttawaQuality(stars)).toThrow(message);
  });
});

describe('a share of the maximum on the three steps', () => {
  const { minorsCuts, colemanCuts } = resolveQualityOptions();
  it.each<['MINORS' | 'modified Coleman', number, Concern]>([
    ['MINORS', 1, 'low concern'],
    ['MINORS', 0.75, 'low concern'],
    ['MINORS', 0.7499, 'some concern'],
    ['MINORS', 0.5, 'some concern'],
    ['MINORS', 0.4999, 'high concern'],
    ['MINORS', 0, 'high concern'],
    ['modified Coleman', 0.85, 'low concern'],
    ['modified Coleman', 0.8499, 'some concern'],
    ['modified Coleman', 0.55, 'some concern'],
    ['modified Coleman', 0.5499, 'high concern'],
  ])('%s, %d of the most: %s', (tool, share, concern) => {
    expect(concernOfShare(share, tool === 'MINORS' ? minorsCuts : colemanCuts)).toBe(concern);
  });

  it.each<[number, number, boolean]>([
    [1, 0, true],
    [0.5, 0.5, true],
    [0.5, 0.5001, false],
    [1.0001, 0.5, false],
    [0.5, -0.0001, false],
    [Number.NaN, 0.5, false],
  ])('cuts of %d and %d: allowed %s', (lowFrom, someFrom, allowed) => {
    for (const name of ['minorsCuts', 'colemanCuts'] as const) {
      const resolve = () => resolveQualityOptions({ [name]: { lowFrom, someFrom } })[name];
      if (allowed) expect(resolve()).toEqual({ lowFrom, someFrom });
      else expect(resolve).toThrow(new RegExp(`^${name} must have 0 <= someFrom <= lowFrom <= 1`));
    }
  });
});

describe('words of the instruments on the three steps', () => {
  it.each([
    ['RoB 2', 'low', 'low concern'],
    ['RoB 2', 'some concerns', 'some concern'],
    ['RoB 2', 'high', 'high concern'],
    ['ROBINS-I', 'low', 'low concern'],
    ['ROBINS-I', 'moderate', 'some concern'],
    ['ROBINS-I', 'serious', 'high concern'],
    ['ROBINS-I', 'critical', 'high concern'],
    ['ROBINS-I', 'no information', 'not judged'],
    ['Newcastle-Ottawa', 'good', 'low concern'],
    ['Newcastle-Ottawa', 'fair', 'some concern'],
    ['Newcastle-Ottawa', 'poor', 'high concern'],
  ])('%s %s: %s', (tool, word, concern) => {
    expect(concernOfWord[tool]?.[word]).toBe(concern);
    if (tool !== 'Newcastle-Ottawa') {
      const domains = judgementItems[tool as 'RoB 2'].items.filter((item) => item !== 'overall');
      const answers = new Map(domains.map((item) => [item, 'low']));
      answers.set(domains[0]!, word);
      const reading = judgeInstrument(tool as 'RoB 2', answers, true, resolveQualityOptions());
      expect(reading).toMatchObject({ derived: word, concern, sum: undefined });
      expect(reading.why).toBe(`Overall ${word}, the least favourable domain.`);
    }
  });

  it('an overall judgement as typed counts in place of the derived one and says so', () => {
    const domains = judgementItems['RoB 2'].items.filter((item) => item !== 'overall');
    const answers = new Map([...domains.map((item) => [item, 'low'] as const), ['overall', 'high']]);
    expect(judgeInstrument('RoB 2', answers, true, resolveQualityOptions())).toMatchObject({
      derived: 'low',
      concern: 'high concern',
      why: 'Overall high as typed.',
    });
    answers.delete('overall');
    answers.delete(domains[0]!);
    expect(judgeInstrument('RoB 2', answers, true, resolveQualityOptions())).toMatchObject({
      derived: undefined,
      concern: 'not judged',
      why: '1 of 5 domains are not judged.',
    });
  });
});

describe('sums of the judged items', () => {
  const minors = (each: string, count: number, comparative = false) =>
    judgeInstrument(
      'MINORS',
      new Map(judgementItems.MINORS.items.slice(0, count).map((item) => [item, each])),
      comparative,
      resolveQualityOptions(),
    );

  it.each<[string, number, boolean, string | undefined, string, number, number]>([
    // Eight items of 2 for one group, twelve for two (Slim 2003, ANZ J Surg 73:712).
    ['2', 8, false, '16 of 16', 'low concern', 16, 16],
    ['1', 8, false, '8 of 16', 'some concern', 8, 16],
    ['0', 8, false, '0 of 16', 'high concern', 0, 16],
    ['2', 12, true, '24 of 24', 'low concern', 24, 24],
    // Of two groups, four items open: 16 to 24 of 24 is some or low, so nothing is said.
    ['2', 8, true, undefined, 'not judged', 16, 24],
    // 0 of the first ten leaves 0 to 4 of 24: high either way.
    ['0', 10, true, undefined, 'high concern', 0, 24],
  ])(
    'items of %s for %d, comparative %s: %s',
    (each, count, comparative, derived, concern, points, maximum) => {
      expect(minors(each, count, comparative)).toMatchObject({ derived, concern, sum: { points, maximum } });
    },
  );

  it('says the points or their range, what nobody judged, and our cuts', () => {
    expect(minors('2', 8).why).toBe('16 of 16 points; our cuts are 75 % and 50 % of the maximum.');
    expect(minors('2', 7).why).toBe(
      '14 to 16 of 16 points, 1 of 8 items not judged; our cuts are 75 % and 50 % of the maximum.',
    );
  });
});
