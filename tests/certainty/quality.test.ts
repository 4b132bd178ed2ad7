import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { resolveQualityOptions } from '../../src/certainty/quality/concern.ts';
import { judgeInstrument } from '../../src/certainty/quality/judgeInstrument.ts';
import { newcastleOttawaForms, newcastleOttawaQuality } from '../../src/certainty/quality/newcastleOttawa.ts';
import { studyQuality } from '../../src/certainty/quality/studyQuality.ts';
import {
  deriveOverall,
  gravityOf,
  type OverallTool,
  overallTools,
} from '../../src/extraction/deriveOverall.ts';
import { formatProblem } from '../../src/extraction/problem.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import {
  answersTo,
  comparativeMinorsItems,
  type JudgementTool,
  judgementItems,
  judgementTools,
} from '../../src/extraction/sheets/judgementsSheet.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';

const options = resolveQualityOptions();

describe('Newcastle-Ottawa', () => {
  const patterns = [0, 1, 2, 3, 4].flatMap((selection) =>
    [0, 1, 2].flatMap((comparability) =>
      [0, 1, 2, 3].map((outcome) => ({ selection, comparability, outcome })),
    ),
  );

  // The conversion printed with AND leaves most patterns without a word: 16 of 60 have one (counted by hand:
  // good 2 x 2 x 2, fair 1 x 2 x 2, poor 2 x 1 x 2).
  it('has 60 patterns, of which the AND form leaves 44 without a word and the OR form none', () => {
    expect(patterns).toHaveLength(60);
    const without = (form: 'any' | 'all') =>
      patterns.filter((stars) => newcastleOttawaQuality(stars, form) === undefined).length;
    expect(without('all')).toBe(44);
    expect(without('any')).toBe(0);
  });

  it('gives both forms the same good and fair', () => {
    for (const stars of patterns) {
      const [any, all] = newcastleOttawaForms.map((form) => newcastleOttawaQuality(stars, form));
      if (any !== 'poor') expect(all).toBe(any);
      if (all !== undefined) expect(any).toBe(all);
    }
  });

  it('is never better with a star less', () => {
    const order = ['poor', 'fair', 'good'];
    const rank = (stars: (typeof patterns)[number]) => order.indexOf(newcastleOttawaQuality(stars, 'any')!);
    for (const stars of patterns)
      for (const group of ['selection', 'comparability', 'outcome'] as const)
        if (stars[group] > 0)
          expect(rank({ ...stars, [group]: stars[group] - 1 })).toBeLessThanOrEqual(rank(stars));
  });

  it('refuses stars the scale does not have', () => {
    expect(() => newcastleOttawaQuality({ selection: 5, comparability: 0, outcome: 0 })).toThrow(
      'selection must be a whole number from 0 to 4, received 5',
    );
    expect(() => newcastleOttawaQuality({ selection: 0, comparability: 0.5, outcome: 0 })).toThrow('0.5');
  });
});

describe('what instruments can add up to', () => {
  const most = (tool: JudgementTool, items: readonly string[]) =>
    items.reduce((sum, item) => sum + Math.max(...answersTo(tool, item).map(Number)), 0);

  it('MINORS: 16 for one group, 24 for two (Slim 2003)', () => {
    const { items } = judgementItems.MINORS;
    expect(most('MINORS', items)).toBe(24);
    expect(
      most(
        'MINORS',
        items.filter((item) => !comparativeMinorsItems.includes(item)),
      ),
    ).toBe(16);
  });

  it('Newcastle-Ottawa: nine stars, never ten', () => {
    expect(most('Newcastle-Ottawa', judgementItems['Newcastle-Ottawa'].items)).toBe(9);
  });

  it('modified Coleman: part A 60 and part B 40 (Coleman 2000, from memory)', () => {
    const { items } = judgementItems['modified Coleman'];
    expect(most('modified Coleman', items.slice(0, 7))).toBe(60);
    expect(most('modified Coleman', items.slice(7))).toBe(40);
  });
});

const answersOf = (tool: JudgementTool) =>
  fc
    .tuple(
      ...judgementItems[tool].items
        .filter((item) => item !== 'overall')
        .map((item) =>
          fc
            .option(fc.constantFrom(...answersTo(tool, item)), { nil: undefined })
            .map((answer) => [item, answer] as const),
        ),
    )
    .map(
      (pairs) =>
        new Map(pairs.flatMap(([item, answer]) => (answer === undefined ? [] : [[item, answer] as const]))),
    );

describe('overall judgements', () => {
  it('RoB 2 takes the least favourable domain (Handbook, section 8.2.3)', () => {
    const all = judgementItems['RoB 2'].items.slice(0, -1);
    const low = new Map(all.map((item) => [item, 'low']));
    expect(deriveOverall('RoB 2', low)).toBe('low');
    expect(deriveOverall('RoB 2', new Map([...low, [all[2]!, 'some concerns']]))).toBe('some concerns');
    expect(deriveOverall('RoB 2', new Map([[all[4]!, 'high']]))).toBe('high');
    expect(deriveOverall('RoB 2', new Map([[all[4]!, 'some concerns']]))).toBeUndefined();
  });

  it.each(overallTools)('%s is never better than a domain', (tool: OverallTool) => {
    fc.assert(
      fc.property(answersOf(tool), (answers) => {
        const overall = deriveOverall(tool, answers);
        if (overall === undefined || overall === 'no information') return;
        for (const answer of answers.values())
          expect(gravityOf(tool, overall)).toBeGreaterThanOrEqual(gravityOf(tool, answer));
      }),
    );
  });

  it('ROBINS-I says no information unless something is serious', () => {
    const all = judgementItems['ROBINS-I'].items.slice(0, -1);
    const answers = new Map(all.map((item) => [item, 'low']));
    answers.set('missing data', 'no information');
    expect(deriveOverall('ROBINS-I', answers)).toBe('no information');
    answers.set('confounding', 'serious');
    expect(deriveOverall('ROBINS-I', answers)).toBe('serious');
  });
});

describe('items nobody judged', () => {
  it.each(judgementTools)('%s: an answer more never contradicts the reading without it', (tool) => {
    fc.assert(
      fc.property(answersOf(tool), fc.boolean(), fc.nat(), (answers, comparative, pick) => {
        const reading = judgeInstrument(tool, answers, comparative, options);
        const open = reading.asked.filter((item) => !answers.has(item));
        if (reading.concern === 'not judged' || open.length === 0) return;
        const item = open[pick % open.length]!;
        for (const answer of answersTo(tool, item).filter((each) => each !== 'no information'))
          expect(
            judgeInstrument(tool, new Map([...answers, [item, answer]]), comparative, options).concern,
          ).toBe(reading.concern);
      }),
    );
  });

  it.each(judgementTools)('%s without any answer is not judged', (tool) => {
    expect(judgeInstrument(tool, new Map(), true, options).concern).toBe('not judged');
  });

  it('a sum is a range while items are open', () => {
    const some = new Map(judgementItems.MINORS.items.slice(0, 7).map((item) => [item, '2']));
    const reading = judgeInstrument('MINORS', some, false, options);
    expect(reading.why).toContain('14 to 16 of 16 points, 1 of 8 items not judged');
    expect(reading.concern).toBe('low concern');
    expect(reading.derived).toBeUndefined();
  });
});

const withJudgements = (...rows: readonly string[]) => ({
  ...smallReview,
  'judgements.csv': `study,tool,item,outcome,judgement,reason\n${rows.join('\n')}\n`,
});
const minors = (study: string, items: readonly string[], answer = '2') =>
  items.map((item) => `${study},MINORS,${item},,${answer},`);
const robins = (overall: string, reason = '') => [
  ...judgementItems['ROBINS-I'].items
    .slice(0, -1)
    .map((item) => `abel-2010,ROBINS-I,${item},,${item === 'confounding' ? 'serious' : 'low'},`),
  `abel-2010,ROBINS-I,overall,,${overall},${reason}`,
];
const rob2 = (overall: string, reason = '') => [
  ...judgementItems['RoB 2'].items.slice(0, -1).map((item) => `brun-2015,RoB 2,${item},,some concerns,`),
  `brun-2015,RoB 2,overall,,${overall},${reason}`,
];
const messages = (files: Readonly<Record<string, string>>) => readReview(files).problems.map(formatProblem);

describe('judgements that break their instrument', () => {
  it.each<readonly [string, readonly string[], readonly string[]]>([
    [
      'a comparative item of a study with one arm',
      [...minors('cilla-2020', judgementItems.MINORS.items.slice(0, 9))],
      [
        'judgements.csv:10:19 warning: item is "adequate control group"; expected an item for one group. cilla-2020 has one arm in arms.csv; this item is for studies that compare groups, and the sum would be held against 24 instead of 16.',
      ],
    ],
    [
      'a sum that is not that of the items',
      [...minors('cilla-2020', judgementItems.MINORS.items.slice(0, 8), '1'), 'cilla-2020,MINORS,total,,9,'],
      [
        'judgements.csv:10:26 error: judgement is "9"; expected 8, the sum of the items. Correct the total, or the items, or leave the total out.',
      ],
    ],
    [
      'a sum above what one group can reach',
      ['cilla-2020,MINORS,total,,17,'],
      [
        'judgements.csv:2:26 error: judgement is "17"; expected 0 to 16: the items add up to 0 and 8 are not judged. Correct the total, or the items, or leave the total out.',
      ],
    ],
    [
      'two stars where there is one',
      ['abel-2010,Newcastle-Ottawa,follow-up long enough,,2,'],
      [
        'judgements.csv:2:51 error: judgement is "2"; expected an answer of Newcastle-Ottawa. Newcastle-Ottawa is answered with "0" or "1".',
      ],
    ],
    [
      'ten stars',
      ['abel-2010,Newcastle-Ottawa,total,,10,'],
      [
        'judgements.csv:2:35 error: judgement is "10"; expected an answer of Newcastle-Ottawa. The total is a whole number from 0 to 9.',
      ],
    ],
    [
      'points the table of Coleman does not give',
      ['cilla-2020,modified Coleman,study size,,5,'],
      [
        'judgements.csv:2:41 error: judgement is "5"; expected an answer of modified Coleman. modified Coleman is answered with "0", "4", "7" or "10".',
      ],
    ],
    [
      'ROBINS-I better than its worst domain, even with a reason',
      robins('moderate', 'we think so'),
      [
        'judgements.csv:9:29 error: judgement is "moderate"; expected "serious" or worse. In ROBINS-I the overall judgement is at least as bad as the worst domain: correct it, or the domain.',
      ],
    ],
    [
      'RoB 2 overridden without a reason',
      rob2('high'),
      [
        'judgements.csv:7:26 error: judgement is "high"; expected "some concerns", the least favourable domain, or a reason beside it. Write in the column reason why the overall judgement differs, or correct it.',
      ],
    ],
    ['RoB 2 overridden with a reason', rob2('high', 'five domains of some concern'), []],
    ['ROBINS-I worse than its worst domain with a reason', robins('critical', 'all of it together'), []],
    [
      'RoB 2 of a cohort, and ROBINS-I of a trial',
      ['abel-2010,RoB 2,overall,,low,', 'brun-2015,ROBINS-I,overall,,low,'],
      [
        'judgements.csv:2:11 warning: tool is "RoB 2"; expected an instrument for this design. RoB 2 judges randomised trials, and the design of abel-2010 is "retrospective cohort".',
        'judgements.csv:3:11 warning: tool is "ROBINS-I"; expected an instrument for this design. ROBINS-I judges studies without randomisation, and the design of brun-2015 is "randomised trial".',
      ],
    ],
  ])('%s', (_, rows, expected) => {
    const others = messages(smallReview);
    expect(messages(withJudgements(...rows)).filter((message) => !others.includes(message))).toEqual(
      expected,
    );
  });
});

describe('study quality', () => {
  it('takes judgements of the outcome before those of all', () => {
    const review = readSound(
      withJudgements(...rob2('some concerns'), 'brun-2015,RoB 2,overall,revision,high,charts are missing'),
    );
    const at = (outcome?: string) =>
      studyQuality(review, outcome).find(({ study }) => study === 'brun-2015')!;
    expect(at().concern).toBe('some concern');
    expect(at('revision').concern).toBe('high concern');
    expect(at('revision').judgement).toMatchObject({
      overridden: true,
      overrideReason: 'charts are missing',
    });
    expect(at('groove-pain').concern).toBe('some concern');
  });

  it('keeps a study that nobody judged, as not judged', () => {
    const [, , cilla] = studyQuality(readSound(smallReview));
    expect(cilla).toMatchObject({ study: 'cilla-2020', judgement: undefined, concern: 'not judged' });
  });

  it('counts the first instrument of the preference that gives a reading', () => {
    const review = readSound(
      withJudgements(...minors('abel-2010', judgementItems.MINORS.items), ...robins('serious')),
    );
    expect(studyQuality(review)[0]).toMatchObject({
      concern: 'low concern',
      judgement: { instrument: 'MINORS' },
    });
    expect(studyQuality(review, undefined, { preference: ['ROBINS-I', 'MINORS'] })[0]).toMatchObject({
      concern: 'high concern',
      others: [{ instrument: 'MINORS' }],
    });
  });

  it('refuses cuts out of order, unknown options and unknown outcomes', () => {
    const review = readSound(smallReview);
    expect(() => studyQuality(review, undefined, { minorsCuts: { lowFrom: 0.4, someFrom: 0.6 } })).toThrow(
      'minorsCuts',
    );
    expect(() => studyQuality(review, undefined, { cuts: 1 } as never)).toThrow('unknown option');
    expect(() => studyQuality(review, 'pain')).toThrow('outcome must be one of groove-pain, revision');
  });

  it('moves with the cuts, which are ours', () => {
    const rows = minors('cilla-2020', judgementItems.MINORS.items.slice(0, 8), '1');
    const review = readSound(withJudgements(...rows));
    const at = (minorsCuts?: { lowFrom: number; someFrom: number }) =>
      studyQuality(review, undefined, minorsCuts && { minorsCuts })[2]!.concern;
    expect(at()).toBe('some concern');
    expect(at({ lowFrom: 0.5, someFrom: 0.25 })).toBe('low concern');
    expect(at({ lowFrom: 0.9, someFrom: 0.6 })).toBe('high concern');
  });
});
