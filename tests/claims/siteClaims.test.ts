import { describe, expect, it } from 'vitest';
import { checkSiteClaim } from '../../src/claims/checkSiteClaim.ts';
import { readSiteClaim } from '../../src/claims/readSiteClaim.ts';
import { type SiteClaim, siteClaimExamples } from '../../src/claims/siteClaim.ts';
import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import type { EventsOutcome } from '../../src/extraction/protocol.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { claimAsRead } from '../../src/tables/plainWords/claimInWords.ts';
import { toldPair } from '../answers/told.ts';
import { expectClose } from '../helpers/close.ts';

const outcome = (id: string, name: string, description?: string): EventsOutcome => ({
  id,
  name,
  ...(description === undefined ? {} : { description }),
  kind: 'events',
  better: 'lower',
  definitions: ['any'],
  assessors: ['any'],
  prefer: 'longest',
  denominator: 'all',
  thresholdsPer100: { materialDifference: 5, source: 'made up' },
});
const outcomes = [
  outcome('cosmetic-deformity', 'Cosmetic deformity', 'A bulge of the biceps above the elbow'),
  outcome('groove-pain', 'Groove pain'),
  outcome('revision', 'Revision for the biceps'),
];

const claimOf = (sentence: string): SiteClaim => {
  const reading = readSiteClaim(sentence, outcomes);
  if (reading.status !== 'read') throw new Error(`${sentence}: ${reading.reason}`);
  return reading.claim;
};

describe('readSiteClaim', () => {
  it.each([
    [
      'Tenotomy deforms twice as often as subpectoral tenodesis',
      { kind: 'ratio', site: 'tenotomy', comparator: 'subpectoral', factor: 2, bound: 'about' },
    ],
    [
      'Compared with tenotomy, subpectoral fixation halves deformity',
      { kind: 'ratio', site: 'subpectoral', comparator: 'tenotomy', factor: 0.5, bound: 'about' },
    ],
    [
      'Tenotomy deforms at least three times as often as suprapectoral tenodesis',
      { kind: 'ratio', site: 'tenotomy', comparator: 'suprapectoral', factor: 3, bound: 'at least' },
    ],
    [
      'Subpectoral tenodesis has 60 % fewer deformities than tenotomy',
      { kind: 'ratio', site: 'subpectoral', comparator: 'tenotomy', factor: 0.4, bound: 'about' },
    ],
    [
      'Three times less groove pain after subpectoral than after top of the groove fixation',
      { kind: 'ratio', site: 'subpectoral', comparator: 'top-of-groove', factor: 1 / 3, bound: 'about' },
    ],
    [
      'Subpectoral fixation leaves 10 fewer deformities in 100 than tenotomy',
      { kind: 'difference', site: 'subpectoral', comparator: 'tenotomy', difference: -0.1, bound: 'about' },
    ],
    [
      'Subpectoral fixation leaves at least 10 fewer in 100 than tenotomy',
      { kind: 'difference', site: 'subpectoral', comparator: 'tenotomy', difference: -0.1, bound: 'at most' },
    ],
    [
      'Groove pain is rarer after subpectoral than after suprapectoral fixation',
      { kind: 'direction', site: 'subpectoral', comparator: 'suprapectoral', direction: 'fewer' },
    ],
    [
      'Tenotomy is worse than subpectoral tenodesis for deformity',
      { kind: 'direction', site: 'tenotomy', comparator: 'subpectoral', direction: 'more' },
    ],
    [
      'There is no difference in revision between suprapectoral and subpectoral fixation',
      { kind: 'alike', site: 'suprapectoral', comparator: 'subpectoral' },
    ],
    [
      'Subpectoral is as good as supra-pectoral for pain',
      { kind: 'alike', site: 'subpectoral', comparator: 'suprapectoral' },
    ],
    [
      'Fewer than 5 in 100 are deformed after subpectoral tenodesis',
      { kind: 'rate', site: 'subpectoral', rate: 0.05, bound: 'at most' },
    ],
    ['After tenotomy 18 % show a bulge', { kind: 'rate', site: 'tenotomy', rate: 0.18, bound: 'about' }],
    ['No bulge in my series: 0 of 40', { kind: 'count', count: { events: 0, total: 40 } }],
  ] as readonly (readonly [string, SiteClaim])[])('%s', (sentence, expected) => {
    const claim = claimOf(sentence);
    if (expected.kind === 'ratio' && claim.kind === 'ratio') {
      expectClose(claim.factor, expected.factor, 'identity');
      expect({ ...claim, factor: 0 }).toEqual({ ...expected, factor: 0 });
    } else expect(claim).toEqual(expected);
  });

  it('finds the outcome by its words', () => {
    const named = (sentence: string) => {
      const reading = readSiteClaim(sentence, outcomes);
      return reading.status === 'read' ? reading.outcome : reading.status;
    };
    expect(named('Tenotomy deforms twice as often as subpectoral')).toBe('cosmetic-deformity');
    expect(named('Pain is rarer after subpectoral than after tenotomy')).toBe('groove-pain');
    expect(named('A bulge is rarer after subpectoral than after tenotomy')).toBe('cosmetic-deformity');
    expect(named('Subpectoral is better than tenotomy')).toBeUndefined();
  });

  it.each([
    ['Tenodesis is best', 'none of the sites'],
    ['Tenotomy is bad', 'one site (tenotomy)'],
    ['Subpectoral and tenotomy are operations', 'does not say more, fewer'],
    ['Subpectoral is not better than tenotomy', 'it denies something'],
    ['Subpectoral is not twice as good as tenotomy', 'it denies a number'],
    ['Subpectoral has more pain and less deformity than tenotomy', 'both more and fewer'],
    ['Tenotomy, subpectoral and suprapectoral are alike', 'more than two sites'],
    ['', 'none of the sites'],
  ])('does not guess at "%s"', (sentence, reason) => {
    const reading = readSiteClaim(sentence, outcomes);
    expect(reading).toMatchObject({ status: 'not understood' });
    expect(reading.status === 'not understood' && reading.reason).toContain(reason);
  });

  it('says how it understood a sentence', () => {
    expect(siteClaimExamples.map((example) => claimAsRead(claimOf(example)))).toEqual([
      'about 2 times as many after tenotomy as after subpectoral fixation',
      'about 10 fewer in 100 after subpectoral fixation than after tenotomy',
      'fewer after subpectoral fixation than after suprapectoral fixation',
      'no difference that matters between suprapectoral and subpectoral',
      'at most 5 in 100 after subpectoral fixation',
      '0 of 40',
    ]);
    expect(claimAsRead(claimOf('Subpectoral fixation leaves at least 10 fewer in 100 than tenotomy'))).toBe(
      'at least 10 fewer in 100 after subpectoral fixation than after tenotomy',
    );
  });

  it('reads every example it offers', () => {
    for (const example of siteClaimExamples) expect(() => claimOf(example)).not.toThrow();
  });
});

const arm = (
  study: string,
  site: ArmEvents['site'],
  events: number,
  total: number,
  design = 'prospective cohort',
): ArmEvents => ({
  study,
  label: study,
  year: 2014,
  arm: site,
  site,
  events,
  total,
  followUpMonths: 24,
  definition: 'any',
  assessor: 'any',
  design,
  row: { file: 'events.csv', line: 2, locator: 'table 2' },
});

describe('checkSiteClaim', () => {
  const [deformity] = outcomes;
  /** An answer with these limits, told of tenotomy against subpectoral. */
  const evidence = (difference: readonly [number, number], ratio: readonly [number, number]) => ({
    outcome: deformity!,
    pair: toldPair({ treatment: 'tenotomy', comparator: 'subpectoral', difference, ratio }),
  });
  const sides = { site: 'tenotomy', comparator: 'subpectoral' } as const;
  const twice: SiteClaim = { kind: 'ratio', ...sides, factor: 2, bound: 'about' };

  it.each([
    [twice, [0.05, 0.2], [1.2, 5], 'direction only'],
    [twice, [-0.02, 0.2], [0.8, 5], 'cannot tell'],
    [twice, [0.1, 0.3], [2.6, 6], 'contradicted'],
    [twice, [0.05, 0.1], [1.6, 2.4], 'borne out'],
    [twice, [-0.2, -0.05], [0.2, 0.8], 'contradicted'],
    [{ ...twice, bound: 'at least' }, [0.1, 0.3], [2.1, 6], 'borne out'],
    [{ ...twice, bound: 'at least' }, [0.05, 0.2], [1.2, 1.9], 'contradicted'],
    [{ ...twice, bound: 'at most' }, [-0.05, 0.02], [0.5, 1.5], 'borne out'],
    [{ kind: 'direction', ...sides, direction: 'more' }, [0.01, 0.2], [1.1, 4], 'borne out'],
    [{ kind: 'direction', ...sides, direction: 'fewer' }, [0.01, 0.2], [1.1, 4], 'contradicted'],
    [{ kind: 'direction', ...sides, direction: 'more' }, [-0.01, 0.2], [0.9, 4], 'cannot tell'],
    [{ kind: 'alike', ...sides }, [-0.03, 0.04], [0.8, 1.3], 'borne out'],
    [{ kind: 'alike', ...sides }, [-0.03, 0.06], [0.8, 1.3], 'cannot tell'],
    [{ kind: 'alike', ...sides }, [0.01, 0.2], [1.1, 4], 'contradicted'],
    [
      { kind: 'difference', ...sides, difference: 0.1, bound: 'about' },
      [0.02, 0.2],
      [1.1, 4],
      'direction only',
    ],
    [
      { kind: 'difference', ...sides, difference: 0.1, bound: 'at least' },
      [0.11, 0.2],
      [1.1, 4],
      'borne out',
    ],
  ] as const)('%o within %o and %o: %s', (claim, difference, ratio, verdict) => {
    expect(checkSiteClaim(claim as SiteClaim, evidence(difference, ratio)).verdict).toBe(verdict);
  });

  it('takes back what very uncertain evidence bears out, and nothing else', () => {
    const strong = evidence([0.1, 0.3], [2.1, 6]);
    const claim: SiteClaim = { ...twice, bound: 'at least' };
    expect(checkSiteClaim(claim, { ...strong, certainty: 'very low' }).verdict).toBe('cannot tell');
    expect(checkSiteClaim(claim, { ...strong, certainty: 'low' }).verdict).toBe('borne out');
    const opposed = evidence([-0.2, -0.05], [0.2, 0.8]);
    expect(checkSiteClaim(claim, { ...opposed, certainty: 'very low' }).verdict).toBe('contradicted');
  });

  it('cannot tell where no study did both, however far apart the series are', () => {
    const pair = toldPair({ treatment: 'tenotomy', comparator: 'subpectoral', studies: 0 });
    const checked = checkSiteClaim(twice, { outcome: deformity!, pair });
    expect(checked).toMatchObject({
      verdict: 'cannot tell',
      reason: 'No study treated patients at both sites.',
    });
  });

  it('sets a rate against the interval of the mean', () => {
    const pool = poolRates([
      arm('a', 'subpectoral', 4, 100),
      arm('b', 'subpectoral', 5, 120),
      arm('c', 'subpectoral', 3, 90),
    ]);
    const check = (rate: number, bound: 'about' | 'at most' | 'at least') =>
      checkSiteClaim({ kind: 'rate', site: 'subpectoral', rate, bound }, { outcome: deformity!, pool })
        .verdict;
    expect([check(0.1, 'at most'), check(0.01, 'at most'), check(0.04, 'at most')]).toEqual([
      'borne out',
      'contradicted',
      'cannot tell',
    ]);
    expect([check(0.04, 'about'), check(0.3, 'about'), check(0.01, 'at least')]).toEqual([
      'direction only',
      'contradicted',
      'borne out',
    ]);
  });

  it('checks a count by itself and refuses a claim without its evidence', () => {
    const series = checkSiteClaim(
      { kind: 'count', count: { events: 0, total: 40 } },
      { outcome: deformity! },
    );
    expect(series.count?.sentence).toBe('No event in 40 is compatible with up to 9 in 100.');
    expect(() => checkSiteClaim(twice, { outcome: deformity! })).toThrow('needs the evidence of their pair');
    expect(() =>
      checkSiteClaim({ kind: 'rate', site: 'tenotomy', rate: 0.1, bound: 'about' }, { outcome: deformity! }),
    ).toThrow('needs its pool');
  });
});
