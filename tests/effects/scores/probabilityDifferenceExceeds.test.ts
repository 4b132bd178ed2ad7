import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clinicalThresholds, findThresholds } from '../../../src/effects/scores/clinicalThresholds.ts';
import { findScale } from '../../../src/effects/scores/findScale.ts';
import { probabilityDifferenceExceeds } from '../../../src/effects/scores/probabilityDifferenceExceeds.ts';
import { expectClose } from '../../helpers/close.ts';
import reference from '../../reference/scoresOrderStatistics.json' with { type: 'json' };

const change = (scale: string, value: number) =>
  findThresholds({ scale }).find((each) => each.kind !== 'acceptable-state' && each.value === value)!;

describe('thresholds', () => {
  it('carries the values seen in print (Lu 2021, Cvetanovich 2019, Kim 2020, PMC6994807, Tashjian 2009, FIMPACT 2021)', () => {
    const values = clinicalThresholds.map((each) => [
      each.source.split(' ')[0],
      each.scale,
      each.kind.slice(0, 3),
      each.value,
    ]);
    expect(values).toEqual([
      ['Lu', 'pain-vas', 'min', 12.9],
      ['Lu', 'pain-vas', 'sub', 25.1],
      ['Lu', 'pain-vas', 'acc', 27.4],
      ['Cvetanovich', 'ases', 'min', 11.1],
      ['Cvetanovich', 'ases', 'sub', 17.5],
      ['Cvetanovich', 'ases', 'acc', 86.7],
      ['Cvetanovich', 'constant-subjective', 'min', 4.6],
      ['Cvetanovich', 'constant-subjective', 'sub', 5.5],
      ['Cvetanovich', 'constant-subjective', 'acc', 23.3],
      ['Cvetanovich', 'sane', 'min', 16.9],
      ['Cvetanovich', 'sane', 'sub', 29.8],
      ['Cvetanovich', 'sane', 'acc', 82.5],
      ['Kim', 'pain-vas', 'min', 1.5],
      ['Kim', 'pain-vas', 'sub', 2.5],
      ['Kim', 'pain-vas', 'acc', 1.7],
      ['Kim', 'ases', 'min', 21],
      ['Kim', 'ases', 'sub', 26],
      ['Kim', 'ases', 'acc', 78],
      ['Kim', 'sane', 'min', 13],
      ['Kim', 'sane', 'sub', 20],
      ['Kim', 'sane', 'acc', 71],
      ['Kim', 'ucla', 'min', 6],
      ['Kim', 'ucla', 'sub', 8],
      ['Kim', 'ucla', 'acc', 23],
      ['PubMed', 'constant', 'min', 6.3],
      ['PubMed', 'ucla', 'min', 2.9],
      ['Tashjian', 'pain-vas', 'min', 1.4],
      ['Tashjian', 'pain-vas', 'acc', 3],
      ['FIMPACT', 'pain-vas', 'min', 20],
      ['FIMPACT', 'pain-vas', 'acc', 9],
      ['FIMPACT', 'constant', 'min', 10],
      ['FIMPACT', 'constant', 'acc', 80],
      ['FIMPACT', 'sst', 'min', 1.5],
      ['FIMPACT', 'sst', 'acc', 11],
    ]);
  });

  it('names a scale, range and direction the registry knows, each once', () => {
    for (const threshold of clinicalThresholds) {
      const versions = findScale(threshold.scale).versions;
      expect(
        versions.some(
          (each) =>
            each.range?.minimum === threshold.range.minimum &&
            each.range.maximum === threshold.range.maximum &&
            each.better === threshold.better,
        ),
        threshold.id,
      ).toBe(true);
      expect(threshold.population.length * threshold.source.length).toBeGreaterThan(0);
    }
    expect(new Set(clinicalThresholds.map((each) => each.id)).size).toBe(clinicalThresholds.length);
  });
});

describe('the chance that a difference exceeds a threshold', () => {
  it('agrees with scipy (normal and t)', () => {
    for (const row of reference.probabilities) {
      const threshold = { ...change('ases', 11.1), value: row.threshold };
      const options = row.degreesOfFreedom === null ? {} : { degreesOfFreedom: row.degreesOfFreedom };
      const result = probabilityDifferenceExceeds(
        { value: row.value, standardError: row.standardError },
        threshold,
        options,
      );
      expectClose(result.treatedBetter, row.above, 'specialFunctionTail');
      expectClose(result.comparatorBetter, row.below, 'specialFunctionTail');
      expect(result.distribution).toBe(row.degreesOfFreedom === null ? 'normal' : 't');
    }
  });

  it('says what it answers and what it does not, also for a score where low is better', () => {
    const result = probabilityDifferenceExceeds({ value: -2, standardError: 0.5 }, change('pain-vas', 1.5), {
      treated: 'subpectoral',
      comparator: 'tenotomy',
    });
    expectClose(result.treatedBetter, 0.8413447460685429, 'specialFunction');
    expect(result.sentence).toBe(
      'The chance that subpectoral is better than tenotomy by more than 1.5 points on average is 84.1 %, and that tenotomy is better by as much below 0.1 % (threshold: rotator cuff repair, Kim et al. Am J Sports Med 2020;48:2650 (abstract)).',
    );
    expect(result.convention).toContain('change within a person');
    expect(result.convention).toContain('is a convention');
    expect(result.convention).toContain('not the share of patients');
  });

  it('rescales the threshold with the scale, so that unit and direction of the pool do not matter', () => {
    const threshold = change('pain-vas', 1.5);
    const small = probabilityDifferenceExceeds({ value: -1.2, standardError: 0.4 }, threshold);
    const large = probabilityDifferenceExceeds({ value: -12, standardError: 4 }, threshold, {
      range: { minimum: 0, maximum: 100 },
    });
    expectClose(large.treatedBetter, small.treatedBetter!, 'specialFunction');
    expect(large.points).toBe(15);
    const turned = probabilityDifferenceExceeds({ value: 1.2, standardError: 0.4 }, threshold, {
      better: 'higher',
    });
    expectClose(turned.treatedBetter, small.treatedBetter!, 'identity');
  });

  it('adds up to one, mirrors, and grows with the difference', () => {
    const threshold = change('ases', 11.1);
    fc.assert(
      fc.property(
        fc.integer({ min: -400, max: 400 }),
        fc.integer({ min: 1, max: 100 }),
        fc.constantFrom(undefined, 1, 3, 12.5),
        (tenths, error, degreesOfFreedom) => {
          const options = degreesOfFreedom === undefined ? {} : { degreesOfFreedom };
          const at = (value: number) =>
            probabilityDifferenceExceeds({ value, standardError: error / 10 }, threshold, options);
          const here = at(tenths / 10);
          expectClose(here.treatedBetter! + here.comparatorBetter! + here.neither!, 1, 'identity');
          expect(at(-tenths / 10).comparatorBetter).toBe(here.treatedBetter);
          expect(at(tenths / 10 + 1).treatedBetter!).toBeGreaterThanOrEqual(here.treatedBetter!);
        },
      ),
    );
  });

  it('gives no number where there is none, and refuses a state as a line', () => {
    const threshold = change('ases', 11.1);
    for (const pooled of [
      { mean: undefined },
      { value: 3, standardError: 0 },
      { value: Number.NaN, standardError: 1 },
      { value: 3, standardError: Number.POSITIVE_INFINITY },
    ]) {
      const result = probabilityDifferenceExceeds(pooled, threshold);
      expect(result).toMatchObject({
        status: 'no-answer',
        treatedBetter: undefined,
        comparatorBetter: undefined,
        neither: undefined,
      });
      expect(result.sentence).toContain('We cannot tell');
    }
    expect(probabilityDifferenceExceeds({ mean: { value: 12, standardError: 1 } }, threshold).status).toBe(
      'answered',
    );
    const state = findThresholds({ scale: 'ases', kind: 'acceptable-state' })[0]!;
    expect(() => probabilityDifferenceExceeds({ value: 3, standardError: 1 }, state)).toThrow(
      'an acceptable state is a place on the scale',
    );
    expect(() => probabilityDifferenceExceeds({ value: 3, standardError: -1 }, threshold)).toThrow(
      'standardError must not be below 0; received -1',
    );
    expect(() =>
      probabilityDifferenceExceeds({ value: 3, standardError: 1 }, threshold, { degreesOfFreedom: 0 }),
    ).toThrow('degreesOfFreedom must be a finite number above 0; received 0');
  });
});
