// Scores: the protocol's first scale is told first, an arm on another scale is a second answer and listed with the reason,
// and no arm vanishes. Invented counts and scores.
import { describe, expect, it } from 'vitest';
import type { Answer } from '../../src/answers/answer.ts';
import { answerRecord } from '../../src/answers/answersFile.ts';
import { answersOf } from '../../src/answers/answersOf.ts';
import { readSound } from '../extraction/smallReview.ts';
import { type CountedArm, sheetsOf } from './reviewOf.ts';

interface ScoredArm {
  readonly study: string;
  readonly site: 'suprapectoral' | 'subpectoral';
  readonly design?: string;
  readonly scale: 'first' | 'second';
  readonly mean: number;
  readonly arm?: string;
}

const columns = [
  'study',
  'arm',
  'scale',
  'value_type',
  'follow_up_months',
  'scale_minimum',
  'scale_maximum',
  'shoulders',
  'mean',
  'sd',
];

/** Every arm holds 50 shoulders and has a standard deviation of 2 (first scale) or 15 (second). */
function scored(arms: readonly ScoredArm[], analysis: Readonly<Record<string, unknown>> = {}) {
  const counts: CountedArm[] = arms.map(({ study, site, arm, design }) => ({
    study,
    site,
    ...(arm === undefined ? {} : { arm }),
    ...(design === undefined ? {} : { design }),
    events: 1,
    total: 50,
  }));
  const rows = arms.map(({ study, site, arm, scale, mean }) =>
    [
      study,
      arm ?? site,
      scale,
      'final',
      24,
      0,
      scale === 'first' ? 10 : 100,
      50,
      mean,
      scale === 'first' ? 2 : 15,
    ].join(','),
  );
  return answersOf(
    readSound(
      sheetsOf(counts, {
        protocol: (protocol) => ({
          ...protocol,
          outcomes: [
            ...(protocol.outcomes as object[]),
            {
              id: 'function',
              name: 'Function',
              kind: 'score',
              better: 'higher',
              scales: ['first', 'second'],
              valueTypes: ['final'],
              prefer: 'longest',
              thresholdsPoints: { materialDifference: 1, source: 'made up' },
            },
          ],
          scales: [
            { id: 'first', name: 'First scale', better: 'higher', ranges: [{ minimum: 0, maximum: 10 }] },
            { id: 'second', name: 'Second scale', better: 'higher', ranges: [{ minimum: 0, maximum: 100 }] },
          ],
          analysis: { ...(protocol.analysis as object), ...analysis },
        }),
        files: { 'scores.csv': `${[columns.join(','), ...rows].join('\n')}\n` },
      }),
    ),
  );
}

const both = (
  study: string,
  scale: ScoredArm['scale'],
  means: readonly [number, number],
  design = 'randomised trial',
): ScoredArm[] => [
  { study, design, scale, site: 'suprapectoral', mean: means[0] },
  { study, design, scale, site: 'subpectoral', mean: means[1] },
];
const difference = 'mean-difference:function:suprapectoral:subpectoral';

describe('the order of the protocol', () => {
  // Two studies on the second scale, one on the first: the commonest is not the one told first.
  const answers = scored([
    ...both('ash', 'second', [70, 60]),
    ...both('birch', 'second', [72, 66]),
    ...both('cedar', 'first', [7, 6]),
  ]);
  it('tells its first scale first, and every further scale after it', () => {
    expect(
      answers.questions.flatMap((question) =>
        'scale' in question && question.kind === 'mean' ? question.scale : [],
      ),
    ).toEqual([...Array(4).fill('first'), ...Array(4).fill('second')]);
    expect(answers.to('mean:function:suprapectoral:first').quoted!.value).toBe(7);
    // Equal spread and size: the plain mean of the two.
    expect(answers.to('mean:function:suprapectoral:second').quoted!.value).toBeCloseTo(71, 10);
  });

  it('lists arms on the other scale with the reason, in means and in differences', () => {
    for (const [id, scale, outside] of [
      ['mean:function:suprapectoral:first', 'First', ['ash', 'birch']],
      ['mean:function:suprapectoral:second', 'Second', ['cedar']],
      [`${difference}:first`, 'First', ['ash', 'ash', 'birch', 'birch']],
      [`${difference}:second`, 'Second', ['cedar', 'cedar']],
    ] as const) {
      const { notInNumber, shoulders, studies } = answers.to(id);
      expect(
        notInNumber.map(({ study }) => study),
        id,
      ).toEqual(outside);
      for (const { reason } of notInNumber)
        expect(reason, id).toContain(`${scale === 'First' ? 'Second' : 'First'} scale is another scale`);
      const arms = id.startsWith('mean:') ? 1 : 2;
      expect([studies, shoulders], id).toEqual(scale === 'First' ? [1, 50 * arms] : [2, 100 * arms]);
    }
  });

  it('knows the difference that matters on its first scale only', () => {
    expect(answers.to('mean:function:suprapectoral:first').material).toBe(1);
    expect(answers.to('mean:function:suprapectoral:second').material).toBeUndefined();
    expect(
      answerRecord(answers.to('mean:function:suprapectoral:second')).smallestDifferenceThatMatters,
    ).toBeNull();
  });
});

it('counts an arm on another scale out of a difference its study is in', () => {
  const answers = scored([
    ...both('ash', 'first', [7, 6]),
    {
      study: 'ash',
      design: 'randomised trial',
      site: 'suprapectoral',
      arm: 'other',
      scale: 'second',
      mean: 70,
    },
  ]);
  const told = answers.to(`${difference}:first`);
  expect(told).toMatchObject({ studies: 1, shoulders: 100 });
  expect(told.notInNumber).toMatchObject([{ study: 'ash', arm: 'other', shoulders: 50 }]);
  expect(told.notInNumber[0]!.reason).toContain('Second scale');
});

/** Every arm of a study with both sites is in the number, out of it with a reason, or in another body or out of that. */
const accounted = ({ shoulders, notInNumber, otherBodies }: Answer): number =>
  [{ shoulders, notInNumber }, ...otherBodies].reduce(
    (sum, each) => sum + each.shoulders + each.notInNumber.reduce((out, arm) => out + arm.shoulders, 0),
    0,
  );

it('loses no arm of a body that gives no difference', () => {
  const answers = scored([
    ...both('ash', 'second', [70, 60]),
    ...both('birch', 'first', [7, 6], 'prospective cohort'),
  ]);
  const told = answers.to(`${difference}:first`);
  expect(told.body).toBe('non-randomised studies');
  expect(told.otherBodies).toMatchObject([
    {
      body: 'randomised trials',
      studies: 0,
      quoted: undefined,
      notInNumber: [{ study: 'ash' }, { study: 'ash' }],
    },
  ]);
  expect(accounted(told)).toBe(200);
});

describe('trials and other studies', () => {
  const arms = [...both('ash', 'first', [8, 6]), ...both('birch', 'first', [7, 6], 'prospective cohort')];
  it('are apart unless the protocol asks', () => {
    const told = scored(arms).to(`${difference}:first`);
    expect([told.body, told.quoted!.value]).toEqual(['randomised trials', 2]);
    expect(told.otherBodies.map(({ body, quoted }) => [body, quoted!.value])).toEqual([
      ['non-randomised studies', 1],
    ]);
  });

  it('are pooled where it asks, and named in the sentence', () => {
    const told = scored(arms, { comparisonBody: 'together' }).to(`${difference}:first`);
    expect([told.body, told.studies, told.trials, told.shoulders]).toEqual([
      'all comparative studies',
      2,
      1,
      200,
    ]);
    // Equal variances: the plain mean.
    expect(told.quoted!.value).toBeCloseTo(1.5, 10);
    expect(told.sentence).toContain(
      'in 1 randomised trial and 1 other study, pooled together as the protocol asks, ',
    );
    expect(told.otherBodies.map(({ body, quoted }) => [body, quoted!.value])).toEqual([
      ['randomised trials', 2],
      ['non-randomised studies', 1],
    ]);
  });

  it('stand under both models where the protocol asks', () => {
    const told = scored([...both('ash', 'first', [8, 6]), ...both('cedar', 'first', [6, 6])], {
      modelsBeside: true,
    }).to(`${difference}:first`);
    expect(told.otherMethods).toMatchObject([
      {
        method: expect.stringContaining('common effect'),
        value: expect.closeTo(1, 10),
        toldDifferently: false,
      },
    ]);
  });
});
