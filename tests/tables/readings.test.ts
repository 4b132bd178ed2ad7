import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { notReported } from '../../src/extraction/reported.ts';
import { pooledSites } from '../../src/extraction/site.ts';
import { cautionsReading } from '../../src/tables/readings/cautionsReading.ts';
import { limitsReading } from '../../src/tables/readings/limitsReading.ts';
import { methodsCheckReading } from '../../src/tables/readings/methodsCheckReading.ts';
import { outsideReading } from '../../src/tables/readings/outsideReading.ts';
import { predictionReading } from '../../src/tables/readings/predictionReading.ts';
import { ratesReading } from '../../src/tables/readings/ratesReading.ts';
import { sensitivityReading } from '../../src/tables/readings/sensitivityReading.ts';
import { smallStudiesReading } from '../../src/tables/readings/smallStudiesReading.ts';
import { zeroArmsReading, zeroArmsTable } from '../../src/tables/readings/zeroArmsReading.ts';
import { runs } from '../helpers/runs.ts';
import { makeArms, makePools } from './makeArms.ts';

const alike = Array.from({ length: 6 }, () => [10, 100] as const);
const scattered = [
  [1, 100],
  [40, 100],
  [5, 100],
  [30, 100],
  [2, 100],
] as const;

describe('ratesReading', () => {
  it('says a rate, none seen, one study, and no study each in its own words', () => {
    const pools = makePools([
      makeArms('top-of-groove', scattered),
      makeArms('suprapectoral', [[0, 23]]),
      makeArms('tenotomy', [[12, 12]]),
    ]);
    expect(ratesReading(pools)).toEqual([
      expect.stringMatching(
        /^Top of groove: about \S+ in 100 shoulders \(95% interval .+\), from 5 studies and 500 shoulders with 78 events\.$/,
      ),
      // 0 of 23: exact 0 to 14.8 %, computed in the trade as 1 - 0.025^(1/23).
      'Suprapectoral: no event was seen in 1 study and 23 shoulders. That is not a rate of nought: the exact 95% interval is 0 to 15 in 100.',
      expect.stringContaining('Tenotomy: every shoulder had the event, in 1 study and 12 shoulders'),
      'No study reports this outcome at: Subpectoral.',
    ]);
  });
});

describe('predictionReading', () => {
  it('tells wide scatter from chance, and both from too few studies', () => {
    const pools = makePools([
      makeArms('top-of-groove', scattered),
      makeArms('suprapectoral', alike),
      makeArms('tenotomy', [[3, 30]]),
    ]);
    expect(predictionReading(pools)).toEqual([
      expect.stringMatching(/^Studies differ by more than the mean lets on\..*Top of groove .+ to .+\.$/),
      expect.stringMatching(/^The studies scatter no more than chance.*Suprapectoral .+ to .+\.$/),
      'Too few studies to say how much they differ, so no range is given for the next one: Tenotomy.',
    ]);
    expect(predictionReading(makePools([]))).toEqual([
      'No site has a pooled rate, so nothing is expected of the next study.',
    ]);
  });
});

describe('methodsCheckReading', () => {
  it('says which way arms without events moved the two-step pool', () => {
    const arms = [
      makeArms('subpectoral', [
        [0, 20],
        [0, 30],
        [0, 25],
        [1, 25],
        [2, 20],
      ]),
    ];
    const [left] = methodsCheckReading(makePools(arms, { zeroEvents: 'leave-out' }));
    expect(left).toMatch(
      /^Subpectoral: the two ways differ materially, .+had to leave out 3 arms without events, which makes its rate too high\.$/,
    );
    const [corrected] = methodsCheckReading(
      makePools(arms, { zeroEvents: { addToEachCell: 0.5 }, materialDifference: 0.001 }),
    );
    expect(corrected).toMatch(
      /added 0\.5 to the counts of 3 arms without events, which pulls its rate up\.$/,
    );
  });

  it('does not call silence agreement', () => {
    expect(methodsCheckReading(makePools([makeArms('tenotomy', [[0, 9]])]))).toEqual([
      'At no site could both ways be used, so neither checks the other.',
    ]);
  });
});

describe('zeroArmsReading', () => {
  it('names the smallest and the largest arm and what each cannot rule out', () => {
    const pools = makePools([
      makeArms('subpectoral', [
        [0, 9],
        [0, 31],
        [2, 40],
      ]),
    ]);
    // Exact upper limits 1 - 0.025^(1/n): 33.6 % of 9 and 11.2 % of 31.
    expect(zeroArmsReading(pools)).toContain('2 arms had no event.');
    expect(zeroArmsReading(pools)).toMatch(
      /with 9 shoulders, is compatible with a true rate of up to 34 in 100.+31 shoulders, with up to 11\.$/,
    );
    expect(zeroArmsTable(pools).rows.map(({ total, upper }) => [total, upper])).toEqual([
      [9, '34'],
      [31, '11'],
    ]);
    expect(zeroArmsReading(makePools([makeArms('tenotomy', alike)]))).toBe(
      'Every arm in the pools had at least one event.',
    );
  });
});

describe('sensitivityReading', () => {
  const base = {
    name: 'a',
    pools: makePools([makeArms('top-of-groove', [[10, 100]]), makeArms('tenotomy', [[20, 100]])]),
  };
  const moved = {
    name: 'b',
    pools: makePools([makeArms('top-of-groove', [[18, 100]]), makeArms('tenotomy', [[20, 100]])]),
  };
  it('names the sites that move by a difference that matters, and those that do not', () => {
    expect(sensitivityReading([base, moved], 0.05)).toEqual([
      'Top of groove: the rate moves from 10 to 18 in 100 with the rule alone.',
      'Moving by less than 5.0 in 100: Tenotomy.',
    ]);
    expect(sensitivityReading([base, moved], 0.1)).toEqual([
      'No site moves by 10 or more in 100, the difference set as mattering.',
    ]);
  });
});

describe('smallStudiesReading', () => {
  it('claims nothing below ten studies (Sterne et al., BMJ 2011;343:d4002)', () => {
    const text = smallStudiesReading(
      makePools([makeArms('top-of-groove', alike), makeArms('tenotomy', [...alike, ...alike])]),
    );
    expect(text).toContain('nothing is claimed about missing small studies: Top of groove (6).');
    expect(text).toContain('Enough studies to look at: Tenotomy (12).');
  });
});

describe('limitsReading', () => {
  it('counts designs, assessors and follow-up, and keeps "not reported" apart from nought', () => {
    const pools = makePools([
      makeArms('top-of-groove', [[3, 30]], { design: 'randomised trial' }),
      makeArms(
        'tenotomy',
        [
          [4, 30],
          [5, 40],
        ],
        { assessor: 'patient', followUpMonths: notReported },
      ),
    ]);
    const text = limitsReading(pools).join('\n');
    expect(text).toContain('1 arm of 3 comes from randomised trials');
    expect(text).toContain('patient (2), examiner (1)');
    expect(text).toContain('Follow-up is 24 months throughout. 2 arms do not report it.');
    expect(text).toContain('Fewer than five studies stand behind: Top of groove (1), Tenotomy (2).');
  });
});

describe('readings of any data', () => {
  const count = fc
    .nat({ max: 60 })
    .chain((total) => fc.tuple(fc.nat({ max: total + 1 }), fc.constant(total + 1)));
  const site = fc.constantFrom(...pooledSites, 'soft-tissue' as const);
  it('are finished sentences without undefined, NaN or Infinity, whatever the counts', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(site, fc.array(count, { maxLength: 5 })), { maxLength: 5 }), (groups) => {
        const sites = new Map(groups);
        const pools = makePools([...sites].map(([name, counts]) => makeArms(name, counts)));
        const lines = [
          ...ratesReading(pools),
          ...predictionReading(pools),
          ...methodsCheckReading(pools),
          zeroArmsReading(pools),
          smallStudiesReading(pools),
          outsideReading(pools),
          ...limitsReading(pools),
          ...cautionsReading(pools),
          ...sensitivityReading(
            [
              { name: 'a', pools },
              { name: 'b', pools },
            ],
            0.05,
          ),
        ];
        for (const line of lines) {
          expect(line).not.toMatch(/undefined|NaN|Infinity|\[object|null/);
          expect(line).toMatch(/^[A-Z0-9].*\.$/s);
        }
      }),
      { numRuns: runs(60) },
    );
  });
});
