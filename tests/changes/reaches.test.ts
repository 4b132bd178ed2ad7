import { describe, expect, it } from 'vitest';
import { type Verdict, verdicts } from '../../src/answers/verdict.ts';
import type { AnswerTold } from '../../src/changes/answerTold.ts';
import { differenceCuts, reachOfAnswer, within } from '../../src/changes/reaches.ts';

const cuts = differenceCuts(5);
const told = (verdict: Verdict, lower: number | undefined = -1, upper: number | undefined = 1) =>
  ({
    question: { kind: 'comparison', outcome: 'a', site: 'subpectoral', comparator: 'tenotomy' },
    lower,
    upper,
    certainty: 'low',
    verdict,
  }) as unknown as AnswerTold;

describe('what an answer leaves open', () => {
  it.each<[Verdict, readonly string[]]>([
    ['fewer', ['below']],
    ['not more', ['below', 'between']],
    ['no difference that matters', ['between']],
    ['not fewer', ['between', 'above']],
    ['more', ['above']],
    ['cannot be told', ['below', 'between', 'above']],
    ['not rated', ['below', 'between', 'above']],
  ])('for two sites follows the verdict %s, wherever the interval lies', (verdict, parts) => {
    expect(reachOfAnswer(told(verdict), cuts)).toEqual(parts);
    expect(verdicts).toContain(verdict);
  });

  it('is nothing where there is no number or no answer', () => {
    expect(reachOfAnswer({ ...told('fewer'), lower: undefined }, cuts)).toBeUndefined();
    expect(reachOfAnswer({ ...told('fewer'), upper: undefined }, cuts)).toBeUndefined();
    expect(reachOfAnswer(undefined, cuts)).toBeUndefined();
  });

  const rate = (lower: number, upper: number, certainty: AnswerTold['certainty']) =>
    ({
      ...told('about as many', lower, upper),
      question: { kind: 'rate', outcome: 'a', site: 'tenotomy' },
      certainty,
    }) as AnswerTold;
  it.each<[number, number, AnswerTold['certainty'], readonly string[]]>([
    [1, 3, 'low', ['below']],
    [1, 3.001, 'low', ['below', 'above']],
    [3.001, 4, 'low', ['above']],
    [1, 2, 'very low', ['below', 'above']],
    [4, 5, undefined, ['below', 'above']],
  ])('for one site against a bound of 3: %d to %d at %s certainty', (lower, upper, certainty, parts) => {
    expect(reachOfAnswer(rate(lower, upper, certainty), { lower: 3, upper: 3 })).toEqual(parts);
  });

  it('lies within another where every part of it does', () => {
    expect(within(['below'], ['below', 'between'])).toBe(true);
    expect(within(['below', 'between'], ['below'])).toBe(false);
    expect(within([], ['below'])).toBe(true);
  });
});
