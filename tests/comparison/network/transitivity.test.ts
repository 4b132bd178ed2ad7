import { describe, expect, it } from 'vitest';
import { effectModifiers, transitivity } from '../../../src/comparison/network/transitivity.ts';
import type { ArmRow, StudyRow } from '../../../src/extraction/review.ts';
import { pooledSites } from '../../../src/extraction/site.ts';
import { expectClose } from '../../helpers/close.ts';
import { armsOf } from './examples.ts';

const events = armsOf([
  ['s', 'tenotomy', 5, 30],
  ['s', 'subpectoral', 2, 60],
  ['t', 'subpectoral', 1, 40],
  ['t', 'tenotomy', 4, 41],
  ['u', 'top-of-groove', 1, 20],
]);
const row = (
  study: string,
  arm: string,
  ageMeanYears: number | 'not reported',
  inlayOrOnlay: string,
): ArmRow =>
  ({
    study,
    arm,
    ageMeanYears,
    inlayOrOnlay,
    cuffRepairPercent: 'not reported',
    womenPercent: 'not reported',
  }) as unknown as ArmRow;
const review = {
  studies: ['s', 't', 'u'].map(
    (study, i) =>
      ({
        study,
        year: 2010 + i,
        design: i === 0 ? 'randomised trial' : 'case series',
      }) as unknown as StudyRow,
  ),
  arms: events.map(({ study, arm }, i) =>
    row(study, arm, i < 2 ? 50 + 9 * i : 'not reported', i % 2 === 1 ? 'inlay' : 'none'),
  ),
};
const result = transitivity(review, events, { order: pooledSites });
const modifier = (id: string) => result.modifiers.find((each) => each.id === id)!.comparisons[0]!;

describe('effect modifiers by comparison', () => {
  it('takes the studies that compare, in the order asked for', () => {
    expect(result.comparisons).toEqual([{ treatment: 'subpectoral', comparator: 'tenotomy', studies: 2 }]);
    expect(result.modifiers.map(({ id }) => id)).toEqual(effectModifiers.map(({ id }) => id));
  });

  it('weights by shoulders and never reads what is not reported as nought', () => {
    // 30 shoulders of mean age 50 and 60 of mean age 59; the other study gives no age.
    const age = modifier('age');
    expectClose(age.mean, (30 * 50 + 60 * 59) / 90, 'identity');
    expect([age.reported, age.points.length]).toEqual([1, 2]);
    expect(modifier('cuff-repair')).toMatchObject({ reported: 0, mean: undefined, range: undefined });
  });

  it('inlay counts fixed arms only, randomisation and year come from the study', () => {
    expectClose(modifier('inlay').mean, 100, 'identity');
    expectClose(modifier('randomised').mean, (90 * 100 + 81 * 0) / 171, 'identity');
    expect(modifier('year').range).toEqual([2010, 2011]);
  });

  it('nothing compared, nothing shown', () => {
    const empty = transitivity(review, armsOf([['u', 'top-of-groove', 1, 20]]));
    expect(empty.comparisons).toEqual([]);
    expect(empty.modifiers.every(({ spreadOfMeans }) => spreadOfMeans === undefined)).toBe(true);
  });
});
