import { describe, expect, it } from 'vitest';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { traceOf } from '../../src/extraction/trace/traceOf.ts';
import { poolBySite } from '../../src/pooling/poolBySite.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { whatWouldChange } from '../../src/robustness/influence/whatWouldChange.ts';
import { describePooledRate, percentDigits } from '../../src/tables/rateText.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';
import { expectClose } from '../helpers/close.ts';
import { makeArms } from '../tables/makeArms.ts';

// The rule: arms of one study at one site are one arm: Cochrane Handbook, section 23.3.4 (combine groups of one study).
const [anchor] = makeArms('subpectoral', [[2, 5]], { study: 'd', label: 'Dorn 2018', arm: 'anchor' });
const [screw] = makeArms('subpectoral', [[0, 12]], {
  study: 'd',
  label: 'Dorn 2018',
  arm: 'screw',
  followUpMonths: 48,
  assessor: 'patient',
  row: { file: 'events.csv', line: 9, locator: 'table 2' },
});
const two = [anchor!, screw!];

describe('arms of one study at one site', () => {
  it('give the rate of their sum, counted as one study', () => {
    const { pool } = poolBySite(two, { zeroEvents: { addToEachCell: 0.5 } }).sites[2]!;
    // 2 of 17 as one series: nothing is added to a count that has events.
    expectClose(pool.headline!.rate, 2 / 17, 'identity');
    expect(percentDigits(pool.headline!.rate)).toBe('12');
    expect(describePooledRate(pool)).toMatch(/, 1 study, 17 shoulders, 2 events$/);
    expect(pool.cautions.map(({ code }) => code)).toContain('one-study');
  });

  it('weigh as one study beside others', () => {
    const others = makeArms('subpectoral', [
      [5, 60],
      [9, 80],
    ]);
    const pool = poolRates([...two, ...others]);
    expect(pool.twoStep.estimates).toHaveLength(3);
    const summed = poolRates([{ ...anchor!, events: 2, total: 17 }, ...others]);
    expectClose(pool.headline!.rate, summed.headline!.rate, 'identity');
    expectClose(pool.oneStep.rate, summed.oneStep.rate!, 'iterative');
    expect(whatWouldChange(pool)?.omitted.without).toHaveLength(3);
  });

  it('keep the rows of both', () => {
    expect(traceOf(poolRates(two)).rows.map(({ line }) => line)).toEqual([2, 9]);
  });
});

describe('the rule for mid-groove', () => {
  // One study with an arm at the margin and one in the middle of the groove: two sites by one rule, one by the other.
  const review = readSound({
    ...smallReview,
    'arms.csv': smallReview['arms.csv']!.replace(
      'abel-2010,low,subpectoral,subpectoral,',
      'abel-2010,low,middle of the groove,mid-groove,',
    ),
  });

  it('is applied before arms are counted together', () => {
    const at = (midGroove: 'with-top-of-groove' | 'with-suprapectoral') => {
      const { arms } = selectEvents(review, 'groove-pain', { siteRule: { midGroove } });
      return poolBySite(arms).sites.map(({ pool }) =>
        pool.arms.filter(({ study }) => study === 'abel-2010').map(({ total }) => total),
      );
    };
    const apart = at('with-suprapectoral');
    const [high, low] = [apart[0]![0]!, apart[1]![0]!];
    expect(at('with-top-of-groove')[0]).toEqual([high + low]);
    expect(at('with-top-of-groove')[1]).toEqual([]);
  });
});
