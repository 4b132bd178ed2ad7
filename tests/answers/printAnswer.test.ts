import { describe, expect, it } from 'vitest';
import type { Answer } from '../../src/answers/answer.ts';
import { answersFile } from '../../src/answers/answersFile.ts';
import { answersOf } from '../../src/answers/answersOf.ts';
import { pairToTell } from '../../src/answers/pairToTell.ts';
import { markedSentence, printAnswer, printLimits, printValue } from '../../src/answers/printAnswer.ts';
import type { Question } from '../../src/answers/question.ts';
import type { Review } from '../../src/extraction/review.ts';
import { answersIn, withoutAnswerMarks } from '../../src/wording/answerMark.ts';
import { reviewOf } from './reviewOf.ts';

const questions = {
  rate: { kind: 'rate', outcome: 'revision', site: 'tenotomy' },
  comparison: { kind: 'comparison', outcome: 'revision', site: 'subpectoral', comparator: 'tenotomy' },
  mean: { kind: 'mean', outcome: 'pain', site: 'tenotomy', scale: 'vas' },
  'mean difference': {
    kind: 'mean difference',
    outcome: 'pain',
    site: 'subpectoral',
    comparator: 'tenotomy',
    scale: 'vas',
  },
} as const satisfies Record<string, Question>;
const printed = (kind: keyof typeof questions, value: number, lower: number, upper: number) =>
  ({
    id: 'the:id',
    asPlanned: true,
    question: questions[kind],
    quoted: { value, lower, upper },
  }) as unknown as Answer;

describe('an answer as printed', () => {
  it.each([
    ['rate', 5.64, 2.31, 13.4, '5.6 in 100 (2.3 to 13)'],
    ['rate', 0, 0, 3.71, '0 in 100 (0 to 3.7)'],
    ['rate', 100, 91.24, 100, '100 in 100 (91.2 to 100)'],
    ['comparison', -7.86, -13.2, 2.14, '7.9 fewer in 100 (13 fewer to 2.1 more)'],
    ['comparison', 0, -0.001, 12, 'no difference in 100 (<0.01 fewer to 12 more)'],
    ['mean', 21.04, 18.96, 23.12, '21.0 points (19.0 to 23.1)'],
    ['mean difference', -2.1, -4.04, -0.01, '\u22122.1 points (\u22124.0 to 0.0)'],
  ] as const)('%s %d (%d to %d): %s', (kind, value, lower, upper, text) => {
    const answer = printed(kind, value, lower, upper);
    expect(withoutAnswerMarks(printAnswer(answer)!)).toBe(text);
    expect(answersIn(printAnswer(answer)!)).toEqual(['the:id']);
    expect(printAnswer(answer, false)).toBe(text);
    expect(text.startsWith(printValue(answer)!)).toBe(true);
    expect(text).toContain(`(${printLimits(answer)})`);
  });

  it('a rate a hair outside what a rate can be is printed at its border', () => {
    expect(printValue(printed('rate', -1e-12, -1e-12, 3))).toBe('0');
    expect(printValue(printed('rate', 100 + 1e-12, 3, 100))).toBe('100');
  });

  it('has no text without a number, and no id under departures from the protocol', () => {
    const none = { ...printed('rate', 1, 0, 2), quoted: undefined };
    expect([printAnswer(none), printValue(none), printLimits(none)]).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    const departed = { ...printed('rate', 1, 0.5, 2), asPlanned: false };
    expect(answersIn(printAnswer(departed)!)).toEqual([]);
  });
});

const counts = [
  { study: 'aller', design: 'randomised trial', site: 'subpectoral' as const, events: 12, total: 200 },
  { study: 'aller', design: 'randomised trial', site: 'tenotomy' as const, events: 30, total: 200 },
  { study: 'brock', design: 'randomised trial', site: 'subpectoral' as const, events: 15, total: 200 },
  { study: 'brock', design: 'randomised trial', site: 'tenotomy' as const, events: 36, total: 200 },
  { study: 'corve', site: 'suprapectoral' as const, events: 0, total: 90 },
];
const answers = answersOf(reviewOf(counts));

describe('the sentence of an answer', () => {
  it('marks its number and changes no word, for every answer of a review', () => {
    let marked = 0;
    for (const { id, sentence, quoted } of answers.all()) {
      const text = markedSentence({ sentence, answer: id });
      expect(withoutAnswerMarks(text)).toBe(sentence);
      if (quoted === undefined) continue;
      marked += 1;
      expect(answersIn(text), sentence).toEqual([id]);
    }
    expect(marked).toBeGreaterThan(3);
    const { sentence } = answers.to('rate:groove-pain:subpectoral');
    expect(markedSentence({ sentence })).toBe(sentence);
  });
});

describe('answers.json', () => {
  const text = answersFile(answers);
  const records = JSON.parse(text) as Record<string, unknown>[];

  it('holds every answer in the order of the questions, and nothing that JSON would lose', () => {
    expect(records.map(({ id }) => id)).toEqual(answers.all().map(({ id }) => id));
    expect(`${JSON.stringify(records, undefined, 1)}\n`).toBe(text);
    const walk = (value: unknown): void => {
      expect(value).not.toBeUndefined();
      if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
      else if (typeof value === 'object' && value !== null)
        for (const each of Object.values(value)) walk(each);
    };
    walk(records);
  });

  it('marks every answer with the clinical caution, and with the notice where data are invented', () => {
    const of = (protocol: Partial<Review['protocol']>) =>
      JSON.parse(
        answersFile(answersOf({ ...answers.review, protocol: { ...answers.review.protocol, ...protocol } })),
      ) as Record<string, unknown>[];
    for (const { caution } of records)
      expect(caution).toBe('Supports and does not replace licensed judgement and local guidance.');
    for (const { notice } of of({ inventedData: true, notice: 'Invented: no study exists.' }))
      expect(notice).toBe('Invented: no study exists.');
    for (const { notice } of of({ inventedData: false })) expect(notice).toBeNull();
  });

  it('has null, never 0, where nothing is known', () => {
    const none = records.find(({ id }) => id === 'rate:groove-pain:top-of-groove')!;
    expect(none).toMatchObject({ quoted: null, certainty: { level: null, proposed: null }, studies: 0 });
    const rate = records.find(({ id }) => id === 'rate:groove-pain:suprapectoral')!;
    expect(rate).toMatchObject({ risk: null, events: 0, quoted: { value: 0, relative: null } });
  });

  it('holds the stored value unrounded, with what it rests on', () => {
    const answer = answers.to('comparison:groove-pain:subpectoral:tenotomy');
    expect(records.find(({ id }) => id === answer.id)).toMatchObject({
      question: { kind: 'comparison', outcome: 'groove-pain', site: 'subpectoral', comparator: 'tenotomy' },
      body: 'randomised trials',
      studies: 2,
      shoulders: 800,
      events: 93,
      quoted: { value: answer.quoted!.value, lower: answer.quoted!.lower, upper: answer.quoted!.upper },
      certainty: { level: answer.certainty.level, confirmed: false },
      verdict: answer.verdict,
      sentence: answer.sentence,
    });
  });
});

describe('a pair told either way round', () => {
  const straight = pairToTell(answers, 'groove-pain', 'subpectoral', 'tenotomy');
  const turned = pairToTell(answers, 'groove-pain', 'tenotomy', 'subpectoral');

  it('is one answer: difference, ratio and verdict turned, the risk it is said at that of the same site', () => {
    expect([straight.turned, turned.turned]).toEqual([false, true]);
    expect(turned.answer).toBe(straight.answer);
    expect(turned.risks!.difference).toEqual({
      value: -straight.risks!.difference.value,
      lower: -straight.risks!.difference.upper,
      upper: -straight.risks!.difference.lower,
    });
    expect([straight.risks!.held, turned.risks!.held]).toEqual(['comparator', 'treatment']);
    expect([straight.risks!.riskOf, turned.risks!.riskOf]).toEqual(['tenotomy', 'tenotomy']);
    expect(turned.risks!.treatment).toBe(straight.risks!.comparator);
    expect(turned.risks!.comparator).toBe(straight.risks!.treatment);
    expect(turned.risks!.limits.treatment).toEqual(straight.risks!.limits.comparator);
    expect([straight.name, turned.name]).toEqual([
      'Subpectoral against tenotomy',
      'Tenotomy against subpectoral',
    ]);
  });

  it('has a ratio of risks whose mirror is one over it, limits changed about', () => {
    const [one, other] = [straight.ratio!, turned.ratio!];
    for (const [a, b] of [
      [one.value, other.value],
      [one.lower, other.upper],
      [one.upper, other.lower],
    ] as const)
      expect(Math.abs(a * b - 1)).toBeLessThan(1e-12);
    expect(one.lower).toBeLessThan(one.value);
    expect(one.value).toBeLessThan(one.upper);
    // The ratio of the two risks shown.
    expect(Math.abs(one.value - straight.risks!.treatment / straight.risks!.comparator)).toBeLessThan(1e-12);
  });

  it('has neither risks nor a ratio where nothing was estimated, and refuses a site against itself', () => {
    const none = pairToTell(answers, 'groove-pain', 'top-of-groove', 'tenotomy');
    expect([none.risks, none.ratio, none.studies]).toEqual([undefined, undefined, 0]);
    expect(() => pairToTell(answers, 'groove-pain', 'tenotomy', 'tenotomy')).toThrow(RangeError);
  });
});
