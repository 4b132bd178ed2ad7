import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readReview } from '../../../src/extraction/readReview.ts';
import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';
import type { Review } from '../../../src/extraction/review.ts';
import { missingBounds } from '../../../src/robustness/missing/missingBounds.ts';
import { availabilities, missingEvidence } from '../../../src/robustness/missing/missingEvidence.ts';
import { judgeMissingEvidence } from '../../../src/robustness/missing/missingJudgement.ts';
import { smallReview } from '../../extraction/smallReview.ts';
import { expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';

const { review: demo } = await readReviewFolder('data-extraction/demo');
const review: Review = demo!;

/** The small review with these rows of events in place of its own. Invented. */
function withEvents(...rows: readonly string[]): Review {
  const head =
    'study,arm,outcome,definition,assessor,follow_up_months,follow_up_kind,events,eligible_shoulders,percent';
  const reading = readReview({ ...smallReview, 'events.csv': `${[head, ...rows].join('\n')}\n` });
  if (reading.review === undefined) throw new Error(JSON.stringify(reading.problems));
  return reading.review;
}

describe('which study reports what', () => {
  const small = withEvents(
    'abel-2010,high,groove-pain,groove tenderness,examiner,24,mean,2,38,',
    'abel-2010,low,groove-pain,groove tenderness,examiner,24,mean,,40,',
    'brun-2015,low,groove-pain,something else,examiner,24,mean,3,30,',
    'cilla-2020,only,revision,reoperation,chart,24,mean,NR,210,',
  );
  const evidence = missingEvidence(small);
  const cell = (study: string, outcome: string) =>
    evidence.studies.find((each) => each.study === study)!.cells.find((each) => each.outcome === outcome)!;

  it('tells used, otherwise, without a number and silent apart', () => {
    expect(cell('abel-2010', 'groove-pain')).toMatchObject({
      availability: 'used',
      armsUsed: 1,
      armsWithout: 1,
      reason: undefined,
    });
    expect(cell('brun-2015', 'groove-pain').availability).toBe('reported otherwise');
    expect(cell('brun-2015', 'groove-pain').reason).toContain('something else');
    expect(cell('cilla-2020', 'revision').availability).toBe('without a number');
    expect(cell('cilla-2020', 'groove-pain')).toMatchObject({
      availability: 'not reported',
      reason: undefined,
    });
  });

  it('counts every eligible study once for each outcome, in the small review and in the demo', () => {
    for (const each of [evidence, missingEvidence(review)]) {
      for (const { studies } of each.outcomes) {
        const sum = availabilities.reduce((total, name) => total + studies[name], 0);
        expect(sum).toBe(each.studies.length);
      }
    }
  });

  it('patients of another report are not missing', () => {
    const cells = missingEvidence(review).studies.find(({ study }) => study === 'pontavel-2018')!.cells;
    expect(cells[0]!.availability).toBe('in another report');
    const bounds = missingBounds(review, 'cosmetic-deformity', 'subpectoral');
    expect(bounds.missing.some(({ study }) => study === 'pontavel-2018')).toBe(false);
  });

  it('a baseline score is no result', () => {
    const onlyBaseline = missingEvidence({
      ...review,
      scores: review.scores.filter(({ valueType }) => valueType === 'baseline'),
    });
    const pain = onlyBaseline.outcomes.find(({ outcome }) => outcome === 'pain')!;
    expect(pain.studies['not reported']).toBe(onlyBaseline.studies.length);
    expect(pain.share).toBe(0);
  });

  it('an empty review has no share and no fault', () => {
    const none = missingEvidence({ ...review, studies: [], arms: [], events: [], scores: [] });
    expect(none.studies).toEqual([]);
    for (const { share } of none.outcomes) expect(share).toBe(0);
  });
});

describe('bounds', () => {
  const sites = ['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy'] as const;
  const outcomes = review.protocol.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id);

  it('the ends are counts anyone can redo, and scenarios rise between them', () => {
    let compared = 0;
    fc.assert(
      fc.property(fc.constantFrom(...sites), fc.constantFrom(...outcomes), (site, outcome) => {
        const { reported, missingShoulders, scenarios, missing, unknownSize } = missingBounds(
          review,
          outcome,
          site,
        );
        expect(missing.filter(({ shoulders }) => shoulders === undefined)).toHaveLength(unknownSize);
        if (reported.shoulders === 0) {
          expect(scenarios).toEqual([]);
          return;
        }
        compared += 1;
        const all = reported.shoulders + missingShoulders;
        expectClose(scenarios[0]!.rate, reported.events / all, 'identity');
        expectClose(scenarios.at(-1)!.rate, (reported.events + missingShoulders) / all, 'identity');
        const same = scenarios.find(({ oddsRatio }) => oddsRatio === 1)!;
        expectClose(same.rate, reported.events / reported.shoulders, 'identity');
        for (const [index, { rate }] of scenarios.entries())
          if (index > 0) expect(rate).toBeGreaterThanOrEqual(scenarios[index - 1]!.rate - 1e-15);
      }),
      { numRuns: runs(60) },
    );
    expect(compared).toBeGreaterThan(10);
  });

  it('odds twice those reported, by hand', () => {
    const { reported, missingShoulders, scenarios } = missingBounds(review, 'groove-pain', 'tenotomy');
    const odds = (2 * reported.events) / (reported.shoulders - reported.events);
    const expected =
      (reported.events + missingShoulders * (odds / (1 + odds))) / (reported.shoulders + missingShoulders);
    expectClose(scenarios.find(({ oddsRatio }) => oddsRatio === 2)!.rate, expected, 'identity');
  });

  it('pools every missing arm as without and as with the event', () => {
    const { pooled, missing } = missingBounds(review, 'groove-pain', 'tenotomy', {
      zeroEvents: { addToEachCell: 0.5 },
    });
    expect(missing.length).toBeGreaterThan(0);
    expect(pooled.best.arms.length).toBe(pooled.reported.arms.length + missing.length);
    expect(pooled.best.headline!.rate).toBeLessThan(pooled.reported.headline!.rate);
    expect(pooled.worst.headline!.rate).toBeGreaterThan(pooled.reported.headline!.rate);
  });

  it('nothing missing: best, reported and worst are one', () => {
    const everything = withEvents('abel-2010,low,groove-pain,groove tenderness,examiner,24,mean,2,40,');
    const onlyAbel = {
      ...everything,
      studies: everything.studies.filter(({ study }) => study === 'abel-2010'),
    };
    const { missing, pooled, scenarios } = missingBounds(onlyAbel, 'groove-pain', 'subpectoral');
    expect(missing).toEqual([]);
    expect(pooled.best.headline).toEqual(pooled.worst.headline);
    for (const { rate } of scenarios) expectClose(rate, 2 / 40, 'identity');
  });
});

describe('judgements', () => {
  const evidence = missingEvidence(review);
  const answer = (of: 'low' | 'some concerns' | 'high') => ({ answer: of, reason: 'for a test' });

  it('takes the least favourable answer, once all three are given', () => {
    const [first, second, third] = judgeMissingEvidence(evidence, [
      {
        outcome: 'cosmetic-deformity',
        knownMissingResults: answer('low'),
        likelyMissingStudies: answer('some concerns'),
        patternOfResults: answer('low'),
      },
      { outcome: 'groove-pain', knownMissingResults: answer('low') },
      {
        outcome: 'revision',
        knownMissingResults: answer('high'),
        likelyMissingStudies: answer('low'),
        patternOfResults: answer('low'),
        overall: answer('some concerns'),
      },
    ]);
    expect(first).toMatchObject({ overall: 'some concerns', overridden: false });
    expect(second).toMatchObject({ overall: 'not judged', overridden: false });
    expect(third).toMatchObject({ overall: 'some concerns', overridden: true });
  });

  it('nothing recorded is not judged, never low', () => {
    for (const { overall } of judgeMissingEvidence(evidence, [])) expect(overall).toBe('not judged');
  });

  it('refuses what it does not know', () => {
    expect(() => judgeMissingEvidence(evidence, [{ outcome: 'grove-pain' }])).toThrow(
      'outcome must be one of',
    );
    expect(() => judgeMissingEvidence(evidence, [{ outcome: 'revision' }, { outcome: 'revision' }])).toThrow(
      'twice',
    );
    expect(() =>
      judgeMissingEvidence(evidence, [
        { outcome: 'revision', overall: { answer: 'fine' as never, reason: 'x' } },
      ]),
    ).toThrow('overall must be one of low, some concerns, high, received "fine"');
    expect(() =>
      judgeMissingEvidence(evidence, [
        { outcome: 'revision', patternOfResults: { answer: 'low', reason: ' ' } },
      ]),
    ).toThrow('needs a reason');
    expect(() =>
      judgeMissingEvidence(evidence, [{ outcome: 'revision', pattern: answer('low') } as never]),
    ).toThrow('unknown question "pattern"');
  });
});
