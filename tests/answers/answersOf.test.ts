// Which body answers, what is counted with its number, and how often anything is worked out: cases from the rules'
// words, on small invented reviews.
import { describe, expect, it } from 'vitest';
import { answersOf } from '../../src/answers/answersOf.ts';
import { answerId } from '../../src/answers/question.ts';
import type { Review } from '../../src/extraction/review.ts';
import { expectClose } from '../helpers/close.ts';
import { type JudgedStudy, reviewOf } from './reviewOf.ts';

const trial = 'randomised trial';
const cohort = 'retrospective cohort';
const pair = 'comparison:groove-pain:subpectoral:tenotomy';

/** One study with an arm at each of two sites. */
const both = (study: string, design: string, [one, other]: readonly [number, number], total: number) => [
  { study, design, site: 'subpectoral' as const, events: one, total },
  { study, design, site: 'tenotomy' as const, events: other, total },
];
const judged = (judgements: Readonly<Record<string, JudgedStudy['judgement']>>): readonly JudgedStudy[] =>
  Object.entries(judgements).map(([study, judgement]) => ({
    study,
    tool: study.startsWith('trial') ? 'RoB 2' : 'ROBINS-I',
    judgement,
  }));
const answerOf = (review: Review, id = pair) => answersOf(review).to(id);

const smallTrials = [...both('trial-a', trial, [1, 4], 20), ...both('trial-b', trial, [2, 4], 20)];
const largeTrials = ['trial-a', 'trial-b', 'trial-c', 'trial-d'].flatMap((study) =>
  both(study, trial, [50, 100], 400),
);
const largeCohorts = [
  ...both('cohort-a', cohort, [100, 300], 1000),
  ...both('cohort-b', cohort, [100, 310], 1000),
];
const smallCohorts = [...both('cohort-a', cohort, [2, 3], 20), ...both('cohort-b', cohort, [2, 4], 20)];
const lowConcern = judged({
  'trial-a': 'low',
  'trial-b': 'low',
  'trial-c': 'low',
  'trial-d': 'low',
  'cohort-a': 'low',
  'cohort-b': 'low',
});
const of = (counts: Parameters<typeof reviewOf>[0]) => {
  const studies = new Set(counts.map(({ study }) => study));
  return reviewOf(counts, { judgements: lowConcern.filter(({ study }) => studies.has(study)) });
};

describe('the body that answers a comparison', () => {
  it('is the trials where they are surer, with the other studies beside them', () => {
    const answer = answerOf(of([...largeTrials, ...smallCohorts]));
    expect(answer.body).toBe('randomised trials');
    expect(answer.certainty).toMatchObject({ level: 'high', proposed: 'high', confirmed: false });
    expect(answer.otherBodies.map(({ body }) => body)).toEqual([
      'non-randomised studies',
      'network',
      'series against series',
    ]);
  });

  it('is the other studies where they are surer, and the trials where both are as sure', () => {
    const doubtful = reviewOf([...smallTrials, ...largeCohorts], {
      judgements: judged({ 'trial-a': 'high', 'trial-b': 'high', 'cohort-a': 'low', 'cohort-b': 'low' }),
    });
    const surer = answerOf(doubtful);
    expect([surer.body, surer.certainty.level]).toEqual(['non-randomised studies', 'low']);
    expect(surer.otherBodies[0]).toMatchObject({
      body: 'randomised trials',
      certainty: { level: 'very low' },
    });
    const tie = answerOf(
      reviewOf([...smallTrials, ...smallCohorts], {
        judgements: judged({ 'trial-a': 'high', 'trial-b': 'high', 'cohort-a': 'low', 'cohort-b': 'low' }),
      }),
    );
    expect(tie.body).toBe('randomised trials');
    expect(tie.certainty.level).toBe(tie.otherBodies[0]?.certainty.level);
  });

  it('is series against series only where no study holds both sites, and says so', () => {
    const series = answerOf(
      of([
        { study: 'cohort-a', site: 'subpectoral', events: 3, total: 60 },
        { study: 'cohort-b', site: 'subpectoral', events: 5, total: 70 },
        { study: 'cohort-c', site: 'tenotomy', events: 9, total: 60 },
        { study: 'cohort-d', site: 'tenotomy', events: 4, total: 90 },
      ]),
    );
    expect(series).toMatchObject({
      body: 'series against series',
      otherBodies: [],
      studies: 4,
      shoulders: 280,
    });
    expect(series.bodyRule).toMatch(/^No study holds both sites/);
    expect(answerOf(of(smallTrials)).body).toBe('randomised trials');
  });

  it('is never mixed: its number and its counts are the same with and without the other body', () => {
    const alone = answerOf(of(largeTrials));
    const beside = answerOf(of([...largeTrials, ...smallCohorts]));
    expect(beside.quoted).toEqual(alone.quoted);
    expect(beside).toMatchObject({ studies: 4, shoulders: 3200, events: 600 });
    expect(beside.otherBodies[0]).toMatchObject({ studies: 2, shoulders: 80, events: 11 });
  });

  it('has no number, no counts and no verdict where one site has no arm', () => {
    const none = answerOf(of([{ study: 'cohort-a', site: 'subpectoral', events: 3, total: 60 }]));
    expect(none).toMatchObject({
      quoted: undefined,
      risk: undefined,
      studies: 0,
      shoulders: 0,
      verdict: 'cannot be told',
      certainty: { level: undefined, proposed: undefined },
    });
  });
});

describe('what is counted beside a number', () => {
  it('a study without events in either arm is not in a difference, and is listed with its shoulders and the reason', () => {
    const answer = answerOf(
      of([...both('trial-a', trial, [10, 40], 200), ...both('trial-b', trial, [0, 0], 150)]),
    );
    expect(answer).toMatchObject({ studies: 1, shoulders: 400, events: 50 });
    expect(answer.notInNumber).toEqual([
      expect.objectContaining({
        study: 'trial-b',
        arm: undefined,
        shoulders: 300,
        reason: expect.stringMatching(/No shoulder of either arm had the event/),
      }),
    ]);
  });

  it('a count nobody reports is in no number and in no count', () => {
    const review = of([
      { study: 'cohort-a', site: 'subpectoral', events: 3, total: 60 },
      { study: 'cohort-b', site: 'subpectoral', events: 'NR', total: 900 },
    ]);
    expect(answerOf(review, 'rate:groove-pain:subpectoral')).toMatchObject({
      studies: 1,
      shoulders: 60,
      events: 3,
    });
  });

  it('carries the rows of the sheets that are in it', () => {
    const { rows } = answerOf(of([...largeTrials, ...smallCohorts]));
    expect(rows.filter(({ file }) => file === 'events.csv').map(({ line }) => line)).toEqual([
      2, 3, 4, 5, 6, 7, 8, 9,
    ]);
  });
});

describe('answers under departures from the protocol', () => {
  const review = of([...largeTrials, ...smallCohorts]);
  it('are not the review’s: no id stands on their pools, and the answer says so', () => {
    for (const departures of [
      { switchedOff: ['trial-a'] },
      { notFound: ['trial-a'] },
      { pooling: { level: 0.9 } },
      { selection: { windowMonths: { minimum: 1, maximum: 200 } } },
    ]) {
      const answers = answersOf(review, departures);
      expect(answers.counts('groove-pain').pools.sites.every(({ answer }) => answer === undefined)).toBe(
        true,
      );
      expect(answers.all().some(({ asPlanned }) => asPlanned)).toBe(false);
      expect(answers.to(pair).behind.rating?.answer).toBeUndefined();
    }
    const planned = answersOf(review);
    expect(planned.counts('groove-pain').pools.sites.map(({ answer }) => answer)).toEqual(
      ['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy'].map((site) => `rate:groove-pain:${site}`),
    );
    expect(planned.to(pair).behind.rating?.answer).toBe(pair);
  });

  it('leave out the studies named, and refuse a departure they do not know', () => {
    for (const departures of [{ switchedOff: ['trial-a', 'trial-b'] }, { notFound: ['trial-a', 'trial-b'] }])
      expect(answersOf(review, departures).to(pair)).toMatchObject({ studies: 2, shoulders: 1600 });
    expect(() => answersOf(review, { without: [] } as object)).toThrow(RangeError);
  });
});

describe('when anything is worked out', () => {
  const counts = [
    ...smallTrials,
    { study: 'cohort-a', site: 'subpectoral' as const, events: 1, total: 50, outcome: 'revision' },
  ];
  /** The same review, counting how often its counts are read. */
  const watched = (review: Review) => {
    let times = 0;
    const counting: Review = {
      ...review,
      get events() {
        times += 1;
        return review.events;
      },
    };
    return { review: counting, times: () => times };
  };
  const revisionIds = (review: Review) =>
    answersOf(review)
      .questions.filter(({ outcome }) => outcome === 'revision')
      .map(answerId);

  it('reads no count again for answers that were asked for before, by whatever name', () => {
    const { review, times } = watched(of(counts));
    answersOf(review).all();
    const read = times();
    expect(read).toBeGreaterThan(0);
    answersOf(review).all();
    answersOf(review).to(pair);
    answersOf(review).counts('revision');
    expect(times()).toBe(read);
  });

  it('works out nothing before it is asked', () => {
    const { review, times } = watched(of(counts));
    expect(revisionIds(review)).toHaveLength(10);
    expect(times()).toBe(0);
  });

  it('keeps one set of answers for a review and its departures, and another for another', () => {
    const review = of(counts);
    expect(answersOf(review)).toBe(answersOf(review));
    expect(answersOf(review).to(pair)).toBe(answersOf(review).to(pair));
    const off = { switchedOff: ['trial-a'] };
    expect(answersOf(review, off)).toBe(answersOf(review, { ...off }));
    expect(answersOf(review, off)).not.toBe(answersOf(review));
    expect(answersOf(of(counts))).not.toBe(answersOf(review));
  });
});

describe('the questions of a review', () => {
  it('are every rate and every pair of its sites, proximal first, and no others', () => {
    const answers = answersOf(of(smallTrials));
    const ids = answers.questions.map(answerId);
    expect(ids).toHaveLength(2 * (4 + 6));
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids).toContain(pair);
    expect(() => answers.to('comparison:groove-pain:tenotomy:subpectoral')).toThrow(
      /must be one the review asks/,
    );
    expect(answers.all().map(({ id }) => id)).toEqual(ids);
  });

  const scales = ['first-scale', 'second-scale'];
  const columns =
    'study,arm,scale,value_type,follow_up_months,scale_minimum,scale_maximum,shoulders,mean,sd,se,interval_lower,interval_upper,interval_percent,median,quartile_lower,quartile_upper,minimum,maximum';
  const measured = (rows: readonly string[]) =>
    reviewOf([...smallTrials, ...smallCohorts], {
      protocol: (protocol) => ({
        ...protocol,
        outcomes: [
          ...(protocol.outcomes as object[]),
          {
            id: 'function',
            name: 'Function',
            kind: 'score',
            better: 'higher',
            scales,
            valueTypes: ['final'],
            prefer: 'longest',
            thresholdsPoints: { materialDifference: 10, source: 'made up' },
          },
        ],
        scales: scales.map((id) => ({
          id,
          name: `The ${id}`,
          better: 'higher',
          ranges: [{ minimum: 0, maximum: 100 }],
        })),
      }),
      files: { 'scores.csv': `${[columns, ...rows].join('\n')}\n` },
    });
  const row = (study: string, arm: string, scale: string, mean: number) =>
    `${study},${arm},${scale},final,24,0,100,20,${mean},10,,,,,,,,,`;

  it('ask each scale that arms were measured on by itself, the protocol’s first scale first', () => {
    const review = measured([
      row('cohort-a', 'subpectoral', 'second-scale', 70),
      row('cohort-a', 'tenotomy', 'second-scale', 60),
      row('trial-a', 'subpectoral', 'first-scale', 80),
      row('trial-a', 'tenotomy', 'first-scale', 75),
      row('trial-b', 'subpectoral', 'first-scale', 82),
      row('trial-b', 'tenotomy', 'first-scale', 77),
    ]);
    const answers = answersOf(review);
    const about = answers.questions.filter(({ outcome }) => outcome === 'function').map(answerId);
    expect(about).toHaveLength(2 * (4 + 6));
    expect(about.slice(0, 10).every((id) => id.endsWith(':first-scale'))).toBe(true);
    expect(about.slice(10).every((id) => id.endsWith(':second-scale'))).toBe(true);
    const mean = answers.to('mean:function:subpectoral:first-scale');
    expect(mean).toMatchObject({ studies: 2, shoulders: 40, events: undefined, verdict: 'not rated' });
    expectClose(mean.quoted?.value, 81, 'specialFunction');
    // Arms on the other scale are not gone.
    expect(mean.notInNumber.map(({ study, shoulders }) => [study, shoulders])).toEqual([['cohort-a', 20]]);
    const difference = answers.to('mean-difference:function:subpectoral:tenotomy:first-scale');
    expect(difference).toMatchObject({
      body: 'randomised trials',
      studies: 2,
      shoulders: 80,
      verdict: 'not rated',
    });
    expectClose(difference.quoted?.value, 5, 'specialFunction');
    const second = answers.to('mean-difference:function:subpectoral:tenotomy:second-scale');
    expect(second).toMatchObject({ body: 'non-randomised studies', studies: 1, shoulders: 40 });
    expectClose(second.quoted?.value, 10, 'specialFunction');
  });
});
