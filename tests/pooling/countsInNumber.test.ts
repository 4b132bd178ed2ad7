import { describe, expect, it } from 'vitest';
import { resolveCertaintyRules } from '../../src/certainty/certaintyRules.ts';
import { pairBody } from '../../src/certainty/comparisonBodies.ts';
import { imprecision } from '../../src/certainty/domains/imprecision.ts';
import { rateBody } from '../../src/certainty/rateBody.ts';
import { comparePair } from '../../src/comparison/pairs/comparePairs.ts';
import { forestPlot } from '../../src/figures/forestPlot.ts';
import { poolBySite } from '../../src/pooling/poolBySite.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { poolInWords } from '../../src/tables/plainWords/poolInWords.ts';
import { ratesBySiteTable } from '../../src/tables/ratesBySiteTable.ts';
import { describePooledRate } from '../../src/tables/rateText.ts';
import { rateReading } from '../../src/tables/readings/ratesReading.ts';
import { tableToText } from '../../src/tables/tableToText.ts';
import { outcome } from '../certainty/bodies.ts';
import { parsePicture } from '../figures/readPicture.ts';
import { makeArms } from '../tables/makeArms.ts';

// The rule: studies, shoulders and events beside a number are those of the arms in it; the others are said there too.
const counts = [
  [0, 300],
  [0, 250],
  [0, 200],
  [2, 40],
  [3, 50],
] as const;
const arms = makeArms('subpectoral', counts);
const outside = '3 arms of 750 shoulders without events are not in this number';

describe('a rate that leaves out the arms without events', () => {
  const pool = poolRates(arms);

  it('counts two studies of 90 shoulders in its one line, and names the rest', () => {
    expect(describePooledRate(pool)).toBe(`5.6 % (2.3 to 13), 2 studies, 90 shoulders, 5 events; ${outside}`);
    expect([pool.studies, pool.shoulders, pool.events]).toEqual([2, 90, 5]);
    expect(pool.arms).toHaveLength(5);
  });

  it('says so in its methods sentence, reading, table, picture and words for a room', () => {
    expect(pool.methodsSentence).toMatch(/^The rates of 2 studies were pooled/);
    expect(pool.methodsSentence).toContain('(3 arms of 750 shoulders without events)');
    expect(rateReading(pool)).toContain(`from 2 studies and 90 shoulders with 5 events. ${outside}.`);
    const text = tableToText(ratesBySiteTable(poolBySite(arms)));
    expect(text).toMatch(/Subpectoral +5\.6 +2\.3 to 13 .* 2 +90 +5/);
    expect(text).toContain(`Subpectoral: ${outside}.`);
    expect(parsePicture(forestPlot(poolBySite(arms))).textContent).toContain(outside);
    expect(poolInWords(pool).sentence).toContain(outside);
  });

  it('with all arms in it counts all of them and names none', () => {
    for (const options of [{ zeroEvents: { addToEachCell: 0.5 } }, { scale: 'arcsine' }] as const) {
      const all = poolRates(arms, options);
      expect([all.studies, all.shoulders, all.events]).toEqual([5, 840, 5]);
      expect(describePooledRate(all)).not.toContain('not in this number');
    }
    const none = poolRates(makeArms('subpectoral', counts.slice(0, 3)));
    expect([none.headline?.basis, none.studies, none.shoulders]).toEqual(['exact', 3, 750]);
  });

  it('names one arm, and arms with nothing but events, in the singular and apart', () => {
    const mixed = poolRates(
      makeArms('tenotomy', [
        [0, 12],
        [7, 7],
        [5, 20],
        [4, 30],
      ]),
    );
    expect(describePooledRate(mixed)).toContain(
      '2 studies, 50 shoulders, 9 events; 1 arm of 12 shoulders without events and 1 arm of 7 shoulders with nothing but events are not in this number',
    );
    const one = poolRates(
      makeArms('tenotomy', [
        [0, 1],
        [5, 20],
        [4, 30],
      ]),
    );
    expect(describePooledRate(one)).toMatch(/; 1 arm of 1 shoulder without events is not in this number$/);
  });

  it('is judged for imprecision by what it rests on', () => {
    const body = rateBody(outcome, pool);
    expect([body.studies, body.shoulders, body.events]).toEqual([2, 90, 5]);
    expect(body.notInNumber.map(({ shoulders }) => shoulders)).toEqual([300, 250, 200]);
    const rules = resolveCertaintyRules();
    const { evidence } = imprecision(
      { question: { kind: 'rate', outcome: outcome.id, site: 'subpectoral' }, body },
      rules,
    );
    expect(evidence.join(' ')).toContain('5 events in 90 shoulders');
  });
});

describe('a pair of sites', () => {
  const change = (study: string) => ({ study, label: study, design: 'randomised trial' });
  const both = (study: string, one: readonly [number, number], other: readonly [number, number]) => [
    ...makeArms('subpectoral', [one], change(study)),
    ...makeArms('tenotomy', [other], change(study)),
  ];
  const trials = [
    ...both('A', [4, 50], [11, 52]),
    ...both('B', [3, 60], [9, 58]),
    ...both('C', [0, 400], [0, 410]),
  ];

  it('counts the trials in the odds ratio, and keeps the other with its reason', () => {
    const compared = comparePair(trials, 'subpectoral', 'tenotomy');
    const body = pairBody(outcome, 'randomised trials', compared, trials);
    expect([body.studies, body.shoulders, body.events]).toEqual([2, 220, 27]);
    expect(compared.pair.studies).toHaveLength(3);
    expect(compared.pair.inNumber.map(({ study }) => study)).toEqual(['A', 'B']);
    expect(compared.pair.notInNumber).toMatchObject([
      { study: 'C', reason: 'no events in either arm, which says nothing about a ratio' },
    ]);
    expect(body.notInNumber).toMatchObject([{ label: 'C', events: 0, shoulders: 810 }]);
  });
});
