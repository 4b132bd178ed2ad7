// What the change report says, case by case from its rules: which conclusions and recommendations moved, whose certainty
// did, and the first sentences of the report. Numbers are invented.
import { describe, expect, it } from 'vitest';
import { answerId } from '../../src/answers/question.ts';
import { reachOf, verdictOnDifference, verdictOnRate } from '../../src/answers/verdict.ts';
import type { CertaintyQuestion } from '../../src/certainty/certaintyQuestion.ts';
import {
  type CertaintyDomain,
  type CertaintyLevel,
  type CertaintyRating,
  certaintyDomains,
} from '../../src/certainty/certaintyRating.ts';
import type { AnswerTold } from '../../src/changes/answerTold.ts';
import type {
  AnswerChange,
  ConclusionChange,
  RecommendationChange,
  RecommendationStanding,
} from '../../src/changes/changeReport.ts';
import { certaintyKey, compareCertaintyRatings } from '../../src/changes/compareCertainty.ts';
import { compareConclusions } from '../../src/changes/compareConclusions.ts';
import { compareRecommendations } from '../../src/changes/compareRecommendations.ts';
import { headlineOf } from '../../src/changes/headline.ts';
import type { ChangeCause } from '../../src/changes/mixReviews.ts';
import { sameReach, tellsNothing } from '../../src/changes/reaches.ts';
import { type Standing, standingOf, standings } from '../../src/changes/standing.ts';
import type { ReviewChanges } from '../../src/extraction/changes/reviewChanges.ts';
import type { PooledSite } from '../../src/extraction/site.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';

const review = readSound(smallReview);
const deformity = review.protocol.outcomes.find(({ kind }) => kind === 'events')!;

const rating = (
  question: CertaintyQuestion,
  level: CertaintyLevel | undefined,
  levels: Partial<Record<CertaintyDomain, number>> = {},
  said: { readonly reason?: string; readonly evidence?: readonly string[] } = {},
): CertaintyRating =>
  ({
    question,
    level,
    domains: certaintyDomains.map((domain) => ({
      domain,
      proposed: 0,
      evidence: said.evidence ?? [],
      decided: undefined,
      reason: said.reason,
      row: undefined,
      levels: levels[domain] ?? 0,
    })),
  }) as unknown as CertaintyRating;

const rateQuestion = { kind: 'rate', outcome: deformity.id, site: 'subpectoral' } as const;
const pairQuestion = {
  kind: 'comparison',
  outcome: deformity.id,
  site: 'subpectoral',
  comparator: 'tenotomy',
} as const;

describe('whose certainty moved', () => {
  const moved = (before: readonly CertaintyRating[], after: readonly CertaintyRating[]) =>
    compareCertaintyRatings(before, after, review);

  it('nothing where level and every domain are the same', () => {
    expect(
      moved(
        [rating(rateQuestion, 'low', { imprecision: -1 })],
        [rating(rateQuestion, 'low', { imprecision: -1 })],
      ),
    ).toEqual([]);
  });

  it('a level, with the domains that moved and the later reason', () => {
    const [change, ...more] = moved(
      [rating(rateQuestion, 'moderate', { 'risk of bias': -1 })],
      [
        rating(
          rateQuestion,
          'low',
          { 'risk of bias': -1, imprecision: -1 },
          { reason: 'Few shoulders.', evidence: ['a', 'b'] },
        ),
      ],
    );
    expect(more).toEqual([]);
    expect(change).toEqual({
      question: rateQuestion,
      name: `${deformity.name}, subpectoral`,
      before: 'moderate',
      after: 'low',
      domains: [{ domain: 'imprecision', before: 0, after: -1, why: 'Few shoulders.' }],
    });
  });

  it('domains that moved against each other although the level stayed; two sentences of evidence where nobody gave a reason', () => {
    const [change] = moved(
      [rating(pairQuestion, 'low', { imprecision: -1 })],
      [rating(pairQuestion, 'low', { inconsistency: -2 }, { evidence: ['One.', 'Two.', 'Three.'] })],
    );
    expect(change?.name).toBe(`${deformity.name}, subpectoral against tenotomy`);
    expect(change?.domains).toEqual([
      { domain: 'inconsistency', before: 0, after: -2, why: 'One. Two.' },
      { domain: 'imprecision', before: -1, after: 0, why: 'One. Two.' },
    ]);
  });

  it('a rating that one version has counts as moved, without domains; pairs and rates are kept apart', () => {
    expect(moved([], [rating(rateQuestion, 'low', { imprecision: -1 })])).toMatchObject([
      { before: undefined, after: 'low', domains: [] },
    ]);
    expect(moved([rating(rateQuestion, 'low', { imprecision: -1 })], [])).toMatchObject([
      { before: 'low', after: undefined, domains: [] },
    ]);
    expect(moved([rating(rateQuestion, 'low')], [rating(pairQuestion, 'low')])).toHaveLength(2);
    const keys = [
      rateQuestion,
      pairQuestion,
      { ...rateQuestion, site: 'tenotomy' },
      { ...pairQuestion, comparator: 'suprapectoral' },
      { ...rateQuestion, outcome: 'other' },
      { ...pairQuestion, outcome: 'other' },
    ].map((question) => certaintyKey(question as CertaintyQuestion));
    expect(new Set(keys).size).toBe(keys.length);
    expect(moved([], [rating({ ...rateQuestion, outcome: 'gone' }, 'low')])[0]?.name).toBe(
      'gone, subpectoral',
    );
  });
});

const answerOf = (
  limits: readonly [number, number] | undefined,
  facts: Partial<AnswerTold> = {},
  sites: readonly [PooledSite, PooledSite?] = ['subpectoral', 'tenotomy'],
): AnswerTold => {
  const [site, comparator] = sites;
  const question =
    comparator === undefined
      ? ({ kind: 'rate', outcome: deformity.id, site } as const)
      : ({ kind: 'comparison', outcome: deformity.id, site, comparator } as const);
  const interval = limits && { lower: limits[0], upper: limits[1] };
  const { material = 5, certainty } = { certainty: 'low' as const, ...facts };
  return {
    question,
    key: answerId(question),
    body: comparator === undefined ? 'arms at one site' : 'randomised trials',
    certainty,
    confirmed: false,
    verdict:
      comparator === undefined
        ? verdictOnRate(interval && { ...interval, value: (interval.lower + interval.upper) / 2 }, certainty)
        : verdictOnDifference({ interval, material, certainty }),
    outcomeName: 'Deformity',
    name: 'a pair',
    unit: 'per 100 shoulders',
    value: limits && (limits[0] + limits[1]) / 2,
    lower: limits?.[0],
    upper: limits?.[1],
    studies: limits === undefined ? 0 : 3,
    shoulders: 120,
    material,
    ...facts,
  };
};

describe('standing and reach', () => {
  const cuts = { lower: -5, upper: 5 };
  it('less left open but less sure is weaker; less left open and as sure or unrated is firmer', () => {
    const [wide, narrow] = [reachOf({ lower: -9, upper: -4 }, cuts), reachOf({ lower: -9, upper: -6 }, cuts)];
    const standing = (before?: CertaintyLevel, after?: CertaintyLevel) =>
      standingOf({ reach: wide, certainty: before }, { reach: narrow, certainty: after }, cuts);
    expect(standing('moderate', 'low')).toBe('stands but weaker');
    expect(standing('low', 'low')).toBe('stands more firmly');
    expect(standing('low', 'moderate')).toBe('stands more firmly');
    expect(standing()).toBe('stands more firmly');
  });

  it('no interval on both sides is the same reach, on one side it is not', () => {
    expect(sameReach(undefined, undefined)).toBe(true);
    expect(sameReach(undefined, ['below'])).toBe(false);
    expect(sameReach(['below'], undefined)).toBe(false);
    expect(reachOf(undefined, cuts)).toBeUndefined();
  });

  it('both parts beside one bound leave it open, one does not; three beside two cuts, not two', () => {
    const bound = { lower: 3, upper: 3 };
    expect(tellsNothing(['below', 'above'], bound)).toBe(true);
    expect(tellsNothing(['below'], bound)).toBe(false);
    expect(tellsNothing(['below', 'between', 'above'], cuts)).toBe(true);
    expect(tellsNothing(['below', 'between'], cuts)).toBe(false);
    expect(tellsNothing(undefined, bound)).toBe(true);
  });

  it('lists every standing, what changed first and what stayed last', () => {
    expect(standings).toEqual([
      'changed',
      'can no longer be told',
      'newly answered',
      'stands but weaker',
      'stands more firmly',
      'still stands',
      'still cannot be told',
    ]);
  });
});

describe('what became of a conclusion', () => {
  const conclude = (
    before: AnswerTold | undefined,
    after: AnswerTold | undefined,
    causes: readonly ChangeCause[] = ['studies added', 'rules'],
    under: (applied: ReadonlySet<ChangeCause>) => AnswerTold | undefined = () => before,
  ): readonly ConclusionChange[] =>
    compareConclusions(
      [
        {
          key: (after ?? before)!.key,
          before,
          after,
          saved: undefined,
          split: undefined,
        } satisfies AnswerChange,
      ],
      causes,
      (_, applied) => under(applied),
    );

  it('of differences that a study gives, and of nothing else', () => {
    expect(
      conclude(answerOf([-9, -6], {}, ['subpectoral']), answerOf([-9, -6], {}, ['subpectoral'])),
    ).toEqual([]);
    expect(conclude(answerOf(undefined), answerOf(undefined))).toEqual([]);
    expect(conclude(answerOf(undefined), answerOf(undefined, { studies: 1 }))).toHaveLength(1);
    expect(conclude(answerOf([-9, -6], { studies: 1 }), undefined)).toHaveLength(1);
  });

  it.each<[Standing, readonly [number, number], readonly [number, number], string]>([
    [
      'still stands',
      [-9, -6],
      [-8, -7],
      'Deformity: as before, subpectoral has fewer than tenotomy, by 5 or more in 100.',
    ],
    [
      'changed',
      [-9, -6],
      [6, 9],
      'Deformity: before, subpectoral has fewer than tenotomy, by 5 or more in 100; now, subpectoral has more than tenotomy, by 5 or more in 100. No cause alone leads there; it takes several of these together: the added studies and the changed rules.',
    ],
    [
      'can no longer be told',
      [-4, 4],
      [-9, 9],
      'Deformity: before, subpectoral and tenotomy do not differ by 5 or more in 100; now that cannot be told. No cause alone leads there; it takes several of these together: the added studies and the changed rules.',
    ],
    [
      'newly answered',
      [-9, 9],
      [-9, 4],
      'Deformity: now, subpectoral does not have more than tenotomy by 5 or more in 100, but may have as many or fewer; before, that could not be told. No cause alone leads there; it takes several of these together: the added studies and the changed rules.',
    ],
    [
      'stands but weaker',
      [-4, 4],
      [-4, 9],
      'Deformity: subpectoral does not have fewer than tenotomy by 5 or more in 100, but may have as many or more, which leaves more open than before (subpectoral and tenotomy do not differ by 5 or more in 100). No cause alone leads there; it takes several of these together: the added studies and the changed rules.',
    ],
    [
      'stands more firmly',
      [-9, 4],
      [-9, -6],
      'Deformity: subpectoral has fewer than tenotomy, by 5 or more in 100, which leaves less open than before (subpectoral does not have more than tenotomy by 5 or more in 100, but may have as many or fewer). No cause alone leads there; it takes several of these together: the added studies and the changed rules.',
    ],
    [
      'still cannot be told',
      [-9, 9],
      [-6, 6],
      'Deformity: as before, whether subpectoral and tenotomy differ by 5 or more in 100 cannot be told.',
    ],
  ])('%s: %j, then %j', (standing, before, after, sentence) => {
    const [found] = conclude(answerOf(before), answerOf(after));
    expect(found).toMatchObject({ standing, sentence, cuts: { lower: -5, upper: 5 } });
  });

  it('names the causes that alone lead there, never the software, and says nothing where only one was at work', () => {
    const [before, after] = [answerOf([-9, -6]), answerOf([6, 9])];
    const from = (...enough: readonly ChangeCause[]) =>
      conclude(before, after, ['studies added', 'cells corrected', 'rules', 'software'], (applied) =>
        enough.some((cause) => applied.has(cause)) ? after : before,
      )[0]!;
    expect(from('studies added')).toMatchObject({ sufficient: ['studies added'] });
    expect(from('studies added').sentence).toMatch(/in 100\. The added studies alone lead there\.$/);
    expect(from('cells corrected', 'rules').sentence).toMatch(
      /Each of these alone leads there: the corrected cells and the changed rules\.$/,
    );
    expect(from('software').sufficient).toEqual([]);
    expect(from().sentence).toMatch(
      /together: the added studies, the corrected cells, the changed rules and the changed software\.$/,
    );
    expect(conclude(before, after, ['rules'])[0]!.sentence).toMatch(/by 5 or more in 100\.$/);
    // A conclusion that stayed has no cause.
    expect(conclude(before, answerOf([-8, -7]), ['rules'], () => before)[0]!.sufficient).toEqual([]);
  });

  it('reads each version against its own difference that matters, and so the states between', () => {
    const before = answerOf([-4, 4]);
    const after = answerOf([-4, 4], { material: 2 });
    const [found] = conclude(before, after, ['studies added', 'rules'], (applied) =>
      applied.has('rules') ? after : before,
    );
    expect(found).toMatchObject({ standing: 'can no longer be told', sufficient: ['rules'] });
    expect(found?.before).toMatchObject({ short: 'no difference that matters', reach: ['between'] });
    expect(found?.after).toMatchObject({ short: 'cannot be told', reach: ['below', 'between', 'above'] });
  });

  it('says which level the certainty came from and went to, and nothing where it stayed or was not rated', () => {
    const at = (certainty: CertaintyLevel | undefined) => answerOf([-9, -6], { certainty });
    const sure = (before?: CertaintyLevel, after?: CertaintyLevel) =>
      conclude(at(before), at(after), [], () => at(before))[0]!;
    expect(sure('moderate', 'low')).toMatchObject({
      standing: 'stands but weaker',
      sentence:
        'Deformity: subpectoral has fewer than tenotomy, by 5 or more in 100. Certainty went from moderate to low.',
      before: { certainty: 'moderate' },
      after: { certainty: 'low' },
    });
    expect(sure('low', 'moderate').standing).toBe('stands more firmly');
    expect(sure('low', 'low').sentence).not.toContain('Certainty');
    expect(sure(undefined, 'low').sentence).not.toContain('Certainty');
    // Without a rating nothing is concluded, so that nothing stands.
    expect(sure('low', undefined).standing).toBe('can no longer be told');
    expect(sure(undefined, 'low').standing).toBe('newly answered');
  });

  it('concludes nothing at very low certainty, wherever the interval lies', () => {
    const at = (certainty: CertaintyLevel) => answerOf([-9, -6], { certainty });
    const [lost] = conclude(at('low'), at('very low'));
    expect(lost).toMatchObject({
      standing: 'can no longer be told',
      after: { short: 'cannot be told', reach: ['below', 'between', 'above'] },
    });
    expect(lost?.sentence).toMatch(/ Certainty went from low to very low\.$/);
    expect(conclude(at('very low'), at('low'))[0]?.standing).toBe('newly answered');
    const [never] = conclude(at('very low'), answerOf([6, 9], { certainty: 'very low' }));
    expect(never?.standing).toBe('still cannot be told');
  });

  it('names no cause where nothing could be told before or now, even if a first number came', () => {
    const [come] = conclude(answerOf(undefined), answerOf([-9, 9]), ['studies added', 'rules'], (applied) =>
      answerOf(applied.has('studies added') ? [-9, 9] : undefined),
    );
    expect(come).toMatchObject({
      standing: 'still cannot be told',
      sufficient: [],
      sentence:
        'Deformity: as before, whether subpectoral and tenotomy differ by 5 or more in 100 cannot be told.',
    });
  });

  it('says when another body answers, and nothing where the same does or only one version asks', () => {
    const by = (body: AnswerTold['body']) => answerOf([-9, -6], { body });
    expect(conclude(by('non-randomised studies'), by('randomised trials'))[0]?.sentence).toMatch(
      / Another body answers now: randomised trials, before non-randomised studies\.$/,
    );
    const silent = [
      [by('randomised trials'), by('randomised trials')],
      [undefined, by('randomised trials')],
      [by('randomised trials'), undefined],
    ] as const;
    for (const [before, after] of silent)
      expect(conclude(before, after)[0]?.sentence).not.toContain('Another body');
  });

  it('an answer of one version only', () => {
    const [gone] = conclude(answerOf([-9, -6]), undefined);
    expect(gone).toMatchObject({ standing: 'can no longer be told', after: { short: 'no answer' } });
    expect(gone?.after.clause).toBe('no study gives a difference between subpectoral and tenotomy');
    const [come] = conclude(undefined, answerOf([-9, -6]));
    expect(come).toMatchObject({ standing: 'newly answered', before: { short: 'no answer' } });
  });

  it('what changed comes first, then in the order of the questions', () => {
    const change = (
      sites: readonly [PooledSite, PooledSite],
      before: readonly [number, number],
      after: readonly [number, number],
    ) => ({
      key: `comparison:${deformity.id}:${sites.join(':')}`,
      before: answerOf(before, {}, sites),
      after: answerOf(after, {}, sites),
      saved: undefined,
      split: undefined,
    });
    const found = compareConclusions(
      [
        change(['top-of-groove', 'tenotomy'], [-9, -6], [-9, -6]),
        change(['suprapectoral', 'tenotomy'], [-9, -6], [-9, 9]),
        change(['suprapectoral', 'subpectoral'], [-9, -6], [-9, -6]),
        change(['subpectoral', 'tenotomy'], [-9, -6], [6, 9]),
      ],
      [],
      () => undefined,
    );
    expect(found.map(({ standing, answer }) => `${answer.question.site}: ${standing}`)).toEqual([
      'subpectoral: changed',
      'suprapectoral: can no longer be told',
      'top-of-groove: still stands',
      'suprapectoral: still stands',
    ]);
  });
});

describe('whether a recommendation still stands', () => {
  type Row = (typeof review.recommendations)[number];
  const row = (facts: Partial<Row>): Row =>
    ({
      recommendation: 'bulge',
      statement: 'Fix it.',
      outcome: deformity.id,
      site: 'subpectoral',
      comparator: 'tenotomy',
      claim: 'fewer',
      per100: 'not reported',
      ...facts,
    }) as unknown as Row;
  const material = deformity.kind === 'events' ? deformity.thresholdsPer100.materialDifference : 0;
  const at = (
    lower: number,
    upper: number,
    sites: readonly [PooledSite, PooledSite?] = ['subpectoral', 'tenotomy'],
  ) => answerOf([lower, upper], { material }, sites);
  const version = (answer: AnswerTold | undefined, level: CertaintyLevel = 'low') => ({
    answers: new Map(
      answer === undefined
        ? []
        : [
            [
              answer.key,
              answerOf(
                answer.lower === undefined ? undefined : [answer.lower, answer.upper!],
                { material, certainty: level },
                'comparator' in answer.question
                  ? [answer.question.site, answer.question.comparator]
                  : [answer.question.site],
              ),
            ],
          ],
    ),
  });
  const compare = (
    rows: readonly Row[],
    before: ReturnType<typeof version>,
    after: ReturnType<typeof version>,
  ): readonly RecommendationChange[] =>
    compareRecommendations({ ...review, recommendations: rows }, before, after);

  const [fewer, between, more, open] = [
    at(-4 * material, -2 * material),
    at(-material / 2, material / 2),
    at(2 * material, 4 * material),
    at(-4 * material, 4 * material),
  ];

  it.each<[RecommendationStanding, AnswerTold | undefined, AnswerTold | undefined, RegExp]>([
    [
      'still stands',
      fewer,
      fewer,
      /^Still stands\. The evidence still shows what it rests on: .* fewer after subpectoral than after tenotomy, by/,
    ],
    ['newly borne out', open, fewer, /^Now borne out: .*In the earlier version that was not to be told\.$/],
    ['newly borne out', more, fewer, /^Now borne out: .*In the earlier version that was contradicted\.$/],
    ['no longer stands', fewer, more, /^No longer stands\. The evidence contradicts what it rests on: /],
    ['no longer stands', fewer, between, /^No longer stands\. /],
    ['newly contradicted', open, more, /^Now contradicted\. The evidence contradicts/],
    ['still contradicted', more, between, /^Still contradicted\. /],
    [
      'can no longer be told',
      fewer,
      open,
      /^Can no longer be told\. The evidence leaves open what it rests on: /,
    ],
    ['can no longer be told', more, open, /^Can no longer be told\. /],
    ['can no longer be told', fewer, undefined, /^Can no longer be told\. /],
    ['still cannot be told', open, open, /^Still cannot be told\. The evidence leaves open/],
    ['still cannot be told', undefined, undefined, /^Still cannot be told\. /],
  ])('%s', (standing, before, after, sentence) => {
    const [found] = compare([row({})], version(before), version(after));
    expect(found?.standing).toBe(standing);
    expect(found?.sentence).toMatch(sentence);
  });

  // Borne out: wholly where the recommendation needs it; contradicted: wholly elsewhere; else it cannot be told.
  it.each<[Row['claim'], readonly [string, string, string, string]]>([
    ['fewer', ['borne out', 'contradicted', 'contradicted', 'cannot be told']],
    ['not more', ['borne out', 'borne out', 'contradicted', 'cannot be told']],
    ['no difference that matters', ['contradicted', 'borne out', 'contradicted', 'cannot be told']],
    ['not fewer', ['contradicted', 'borne out', 'borne out', 'cannot be told']],
    ['more', ['contradicted', 'contradicted', 'borne out', 'cannot be told']],
  ])('the claim %s: %j of fewer, no matter, more and all', (claim, states) => {
    expect(
      [fewer, between, more, open].map(
        (answer) => compare([row({ claim })], version(answer), version(answer))[0]?.premises[0]?.after.state,
      ),
    ).toEqual(states);
  });

  it.each<[Row['claim'], number, number, string, string]>([
    ['at most', 1, 3, 'borne out', 'at most 3 in 100 after subpectoral'],
    ['at most', 1, 3.1, 'cannot be told', 'at most 3 in 100 after subpectoral'],
    ['at most', 3.1, 4, 'contradicted', 'at most 3 in 100 after subpectoral'],
    ['at least', 3.1, 4, 'borne out', 'more than 3 in 100 after subpectoral'],
    ['at least', 1, 3, 'contradicted', 'more than 3 in 100 after subpectoral'],
  ])('%s 3 in 100 with %d to %d: %s', (claim, lower, upper, state, said) => {
    const answer = at(lower, upper, ['subpectoral']);
    const [found] = compare(
      [row({ claim, comparator: 'not reported', per100: 3 } as unknown as Partial<Row>)],
      version(answer),
      version(answer),
    );
    expect(found?.premises[0]).toMatchObject({ claim: said, after: { state }, cuts: { lower: 3, upper: 3 } });
  });

  it.each<[Row['claim'], string]>([
    ['fewer', `fewer after subpectoral than after tenotomy, by ${material} or more in 100`],
    ['not more', `not more after subpectoral than after tenotomy, by ${material} or more in 100`],
    [
      'no difference that matters',
      `no difference of ${material} or more in 100 between subpectoral and tenotomy`,
    ],
    ['not fewer', `not fewer after subpectoral than after tenotomy, by ${material} or more in 100`],
    ['more', `more after subpectoral than after tenotomy, by ${material} or more in 100`],
  ])('says the claim %s', (claim, said) => {
    const [found] = compare([row({ claim })], version(fewer), version(fewer));
    expect(found?.premises[0]).toMatchObject({
      name: deformity.name,
      claim: said,
      cuts: { lower: -material, upper: material },
    });
  });

  it('stands but weaker: less sure, or more left open where the claim allows it', () => {
    const standing = (
      claim: Row['claim'],
      before: ReturnType<typeof version>,
      after: ReturnType<typeof version>,
    ) => compare([row({ claim })], before, after)[0]!;
    expect(standing('fewer', version(fewer, 'moderate'), version(fewer, 'low'))).toMatchObject({
      standing: 'stands but weaker',
    });
    expect(standing('fewer', version(fewer, 'moderate'), version(fewer, 'low')).sentence).toMatch(
      /^Stands, but on weaker evidence than before: /,
    );
    expect(standing('fewer', version(fewer, 'low'), version(fewer, 'moderate')).standing).toBe(
      'still stands',
    );
    expect(standing('fewer', version(fewer, 'low'), version(fewer, 'low')).standing).toBe('still stands');
    // One premise that is weaker among several makes the whole weaker.
    const supra = at(-4 * material, -2 * material, ['suprapectoral', 'tenotomy']);
    const two = (level: CertaintyLevel) => ({
      answers: new Map([{ ...fewer, certainty: level }, supra].map((answer) => [answer.key, answer])),
    });
    expect(compare([row({}), row({ site: 'suprapectoral' })], two('moderate'), two('low'))[0]?.standing).toBe(
      'stands but weaker',
    );
    const both = at(-4 * material, material / 2);
    expect(standing('not more', version(fewer), version(both)).standing).toBe('stands but weaker');
    expect(standing('not more', version(both), version(fewer)).standing).toBe('still stands');
  });

  it('needs all its premises: one contradicted contradicts it, one that cannot be told leaves it open', () => {
    const other = at(2 * material, 4 * material, ['suprapectoral', 'tenotomy']);
    const unclear = at(-4 * material, 4 * material, ['top-of-groove', 'tenotomy']);
    const state = { answers: new Map([fewer, other, unclear].map((answer) => [answer.key, answer])) };
    const standing = (...rows: readonly Row[]) => compare(rows, version(undefined), state)[0]!;
    const [sub, supra, top] = [row({}), row({ site: 'suprapectoral' }), row({ site: 'top-of-groove' })];
    expect(standing(sub).standing).toBe('newly borne out');
    expect(standing(sub, top).standing).toBe('still cannot be told');
    expect(standing(sub, top, supra).standing).toBe('newly contradicted');
    // Only the premises the sentence is about are named.
    expect(standing(sub, top, supra).sentence).toContain('after suprapectoral');
    expect(standing(sub, top, supra).sentence).not.toContain('after subpectoral');
    expect(standing(sub, top).sentence).toContain('after top of groove');
  });

  it('turns the answer of the other order round, limits and all, with its certainty', () => {
    const turned = row({ site: 'tenotomy', comparator: 'subpectoral', claim: 'more' });
    const [found] = compare([turned], version(fewer, 'low'), version(fewer, 'low'));
    expect(found?.standing).toBe('still stands');
    expect(found?.premises[0]?.after).toMatchObject({
      state: 'borne out',
      certainty: 'low',
      answer: {
        name: 'Tenotomy against subpectoral',
        lower: 2 * material,
        upper: 4 * material,
        value: 3 * material,
      },
    });
    const [none] = compare([turned], version(answerOf(undefined)), version(answerOf(undefined)));
    expect(none?.premises[0]?.after).toMatchObject({ state: 'cannot be told', answer: { value: undefined } });
  });

  it('names an outcome the protocol no longer has by its id, and takes no threshold from a score', () => {
    const [gone] = compare([row({ outcome: 'gone' })], version(undefined), version(undefined));
    expect(gone?.premises[0]).toMatchObject({ name: 'gone', cuts: { lower: -0, upper: 0 } });
    expect(gone?.sentence).toContain('rests on: gone fewer after');
    const [named] = compare([row({})], version(fewer), version(fewer));
    const { name } = deformity;
    expect(named?.sentence).toContain(`rests on: ${name.charAt(0).toLowerCase()}${name.slice(1)} fewer`);
  });

  it('keeps recommendations apart and says the first statement that is given', () => {
    const found = compare(
      [
        row({ statement: 'not reported' } as unknown as Partial<Row>),
        row({ statement: 'Fix it there.' }),
        row({ recommendation: 'other', statement: 'not reported' } as unknown as Partial<Row>),
      ],
      version(fewer),
      version(fewer),
    );
    expect(
      found.map(({ recommendation, statement, premises }) => [recommendation, statement, premises.length]),
    ).toEqual([
      ['bulge', 'Fix it there.', 2],
      ['other', 'other', 1],
    ]);
  });
});

describe('the first sentences of the report', () => {
  const changes = (facts: Partial<ReviewChanges> = {}): ReviewChanges =>
    ({
      nothingChanged: false,
      studiesAdded: [],
      studiesRemoved: [],
      cells: [],
      rules: [],
      ...facts,
    }) as unknown as ReviewChanges;
  const recommendations = (...standings: readonly RecommendationStanding[]) =>
    standings.map((standing) => ({ standing })) as unknown as readonly RecommendationChange[];
  const conclusions = (...standings: readonly Standing[]) =>
    standings.map((standing) => ({ standing })) as unknown as readonly ConclusionChange[];

  it.each<[readonly RecommendationStanding[], string]>([
    [['still stands'], 'Yes: 1 of 1 recommendation still stands.'],
    [['still stands', 'still stands'], 'Yes: 2 of 2 recommendations still stand.'],
    [['stands but weaker'], 'Yes: 1 of 1 recommendation stands on weaker evidence.'],
    [['stands but weaker', 'stands but weaker'], 'Yes: 2 of 2 recommendations stand on weaker evidence.'],
    [['newly borne out'], 'Yes: 1 of 1 recommendation is now borne out.'],
    [['newly borne out', 'newly borne out'], 'Yes: 2 of 2 recommendations are now borne out.'],
    [['no longer stands'], 'No: 1 of 1 recommendation no longer stands.'],
    [['no longer stands', 'no longer stands'], 'No: 2 of 2 recommendations no longer stand.'],
    [['can no longer be told'], 'No: for 1 of 1 recommendation the evidence can no longer tell.'],
    [['newly contradicted'], 'No: 1 of 1 recommendation is now contradicted.'],
    [['newly contradicted', 'newly contradicted'], 'No: 2 of 2 recommendations are now contradicted.'],
    [['still contradicted'], 'No: 1 of 1 recommendation is contradicted as before.'],
    [['still contradicted', 'still contradicted'], 'No: 2 of 2 recommendations are contradicted as before.'],
    [['still cannot be told'], 'No: for 1 of 1 recommendation the evidence cannot tell, as before.'],
    [
      ['no longer stands', 'still stands', 'still cannot be told', 'still stands'],
      'Not all: 2 of 4 recommendations still stand, 1 no longer stands and for 1 the evidence cannot tell, as before.',
    ],
  ])('%j', (standings, sentence) => {
    expect(headlineOf(changes(), recommendations(...standings), [])[0]).toBe(sentence);
  });

  it('how many conclusions of each kind, in one order, or that there are none', () => {
    expect(
      headlineOf(
        changes(),
        [],
        conclusions(
          'still cannot be told',
          'changed',
          'newly answered',
          'still stands',
          'stands but weaker',
          'stands more firmly',
          'can no longer be told',
          'still stands',
        ),
      ),
    ).toEqual([
      'The review states no recommendations, so this report answers for its conclusions.',
      'Of 8 conclusions about one site against another: 1 changed, 1 can no longer be told, 1 newly answered, 1 weaker, 1 firmer, 2 as before and 1 still not to be told.',
    ]);
    expect(headlineOf(changes(), [], conclusions('changed'))[1]).toBe(
      'Of 1 conclusion about one site against another: 1 changed.',
    );
    expect(headlineOf(changes(), [], [])).toEqual([
      'The review states no recommendations, so this report answers for its conclusions.',
      'No study compares two sites, so there is no conclusion about a difference.',
    ]);
  });

  it.each<
    [
      string,
      Partial<Record<'studiesAdded' | 'studiesRemoved' | 'cells' | 'rules', readonly unknown[]>>,
      string | undefined,
    ]
  >([
    ['one report', { studiesAdded: [{}] }, 'Since the earlier version: 1 report added.'],
    [
      'two and one',
      { studiesAdded: [{}, {}], studiesRemoved: [{}] },
      'Since the earlier version: 2 reports added and 1 report removed.',
    ],
    ['a cell of a study', { cells: [{ study: 'a' }] }, 'Since the earlier version: 1 cell changed.'],
    ['cells without a study do not count', { cells: [{ study: undefined }] }, undefined],
    [
      'rules, not wordings',
      { rules: [{ kind: 'rule' }, { kind: 'wording' }, { kind: 'rule' }] },
      'Since the earlier version: 2 rules changed.',
    ],
    ['wordings alone', { rules: [{ kind: 'wording' }] }, undefined],
    [
      'all of it',
      {
        studiesAdded: [{}],
        studiesRemoved: [{}, {}],
        cells: [{ study: 'a' }, { study: 'b' }],
        rules: [{ kind: 'rule' }],
      },
      'Since the earlier version: 1 report added, 2 reports removed, 2 cells changed and 1 rule changed.',
    ],
  ])('what was done: %s', (_, done, sentence) => {
    expect(headlineOf(changes(done as Partial<ReviewChanges>), [], [])[2]).toBe(sentence);
  });

  it('nothing changed is said alone', () => {
    expect(
      headlineOf(changes({ nothingChanged: true }), recommendations('still stands'), conclusions('changed')),
    ).toHaveLength(1);
  });
});
