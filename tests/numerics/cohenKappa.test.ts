import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cohenKappa, type KappaWeights } from '../../src/numerics/cohenKappa.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
import reference from '../reference/kappa.json' with { type: 'json' };

describe('published tables', () => {
  // Cohen J, Psychol Bull 1968;70:213, table 1: proportions times 200, disagreement weights 0, 1, 3 and 6 (from memory;
  // both printed figures come out). Fleiss, Cohen and Everitt 1969 take up the same table.
  const diagnoses = [
    [88, 14, 18],
    [10, 40, 10],
    [2, 6, 12],
  ];
  it('Cohen 1968: kappa .492, weighted .348', () => {
    expectPrinted(cohenKappa(diagnoses).kappa, '.492');
    const disagreement = [
      [0, 1, 3],
      [1, 0, 6],
      [3, 6, 0],
    ];
    const weights = disagreement.map((row) => row.map((each) => 1 - each / 6));
    expectPrinted(cohenKappa(diagnoses, { weights }).kappa, '.348');
  });

  it('Fleiss, Statistical Methods for Rates and Proportions: .68, null standard error .076 (from memory)', () => {
    const result = cohenKappa([
      [75, 1, 4],
      [5, 4, 1],
      [0, 0, 10],
    ]);
    expectPrinted(result.kappa, '.68');
    expectPrinted(result.nullStandardError, '.076');
  });

  it('Feinstein and Cicchetti 1990: one raw agreement, .85, and kappas .70 and .32 (from memory)', () => {
    const even = cohenKappa([
      [40, 9],
      [6, 45],
    ]);
    const lopsided = cohenKappa([
      [80, 10],
      [5, 5],
    ]);
    for (const { observedAgreement } of [even, lopsided]) expectPrinted(observedAgreement, '.85');
    expectPrinted(even.kappa, '.70');
    expectPrinted(lopsided.kappa, '.32');
    expect(even.cautions).toEqual([]);
    expect(lopsided.cautions.map(({ code }) => code)).toEqual(['skewed']);
    // Byrt, Bishop and Carlin 1993: 2 pₒ − 1, whatever the prevalence.
    expectClose(even.prevalenceAdjusted, 0.7, 'identity');
    expectClose(lopsided.prevalenceAdjusted, 0.7, 'identity');
    expectClose(lopsided.prevalence, 0.75, 'identity');
    expectClose(lopsided.bias, 0.05, 'identity');
  });
});

describe('base R, from the formula', () => {
  it.each(reference.rows.map((row) => [`${row.name}, ${row.weights}`, row] as const))('%s', (_, row) => {
    const result = cohenKappa(row.counts, { weights: row.weights as KappaWeights });
    expectClose(result.kappa, row.kappa, 'specialFunction');
    expectClose(result.standardError, row.standardError, 'specialFunction');
    expectClose(result.nullStandardError, row.nullStandardError, 'specialFunction');
    // 5,000 resamples know a standard error to about 1 per cent; the large-sample formula is off by a few more.
    const ratio = (result.standardError ?? 0) / row.bootstrap;
    expect(ratio).toBeGreaterThan(0.9);
    expect(ratio).toBeLessThan(1.1);
  });
});

describe('invariants', () => {
  const table = fc
    .integer({ min: 2, max: 4 })
    .chain((k) =>
      fc.array(fc.array(fc.integer({ min: 0, max: 40 }), { minLength: k, maxLength: k }), {
        minLength: k,
        maxLength: k,
      }),
    )
    .filter((counts) => counts.flat().reduce((a, b) => a + b, 0) > 0);
  const weights = fc.constantFrom<KappaWeights>('none', 'linear', 'quadratic');
  const transpose = (counts: readonly (readonly number[])[]): number[][] =>
    counts.map((_, i) => counts.map((row) => row[i]!));

  it('does not mind who is first, and lies between −1 and 1 with a finite spread', () => {
    fc.assert(
      fc.property(table, weights, (counts, each) => {
        const one = cohenKappa(counts, { weights: each });
        const other = cohenKappa(transpose(counts), { weights: each });
        if (one.kappa === undefined) {
          expect(other.kappa).toBeUndefined();
          expect(one.cautions.map(({ code }) => code)).toEqual(['one-category']);
          return;
        }
        expectClose(other.kappa, one.kappa, 'identity', { ofSize: 1 });
        expectClose(other.standardError, one.standardError ?? 0, 'iterative', { ofSize: 0.1 });
        expect(Math.abs(one.kappa)).toBeLessThanOrEqual(1 + 1e-12);
        expect(Number.isFinite(one.nullStandardError)).toBe(true);
        expect(one.interval!.lower).toBeLessThanOrEqual(one.kappa + 1e-12);
        expect(one.interval!.upper).toBeGreaterThanOrEqual(one.kappa - 1e-12);
      }),
    );
  });

  it('without weights the order of categories is nothing; two categories have one kappa for all weights', () => {
    fc.assert(
      fc.property(table, (counts) => {
        const turned = counts.toReversed().map((row) => row.toReversed());
        const [one, other] = [cohenKappa(counts).kappa, cohenKappa(turned).kappa];
        if (one === undefined) expect(other).toBeUndefined();
        else expectClose(other, one, 'identity', { ofSize: 1 });
        if (counts.length !== 2 || one === undefined) return;
        for (const each of ['linear', 'quadratic'] as const)
          expectClose(cohenKappa(counts, { weights: each }).kappa, one, 'identity', { ofSize: 1 });
      }),
    );
  });

  it('is 1 when two or more categories agree throughout, and has no value in one category', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 50 }), { minLength: 2, maxLength: 5 }), (diagonal) => {
        const counts = diagonal.map((n, i) => diagonal.map((_, j) => (i === j ? n : 0)));
        const result = cohenKappa(counts);
        expect(result.kappa).toBe(1);
        expect(result.interval).toEqual({ lower: 1, upper: 1, level: 0.95 });
        expect(result.cautions.map(({ code }) => code)).toContain('no-width');
      }),
    );
    expect(cohenKappa([[12]]).kappa).toBeUndefined();
    expect(
      cohenKappa([
        [12, 0],
        [0, 0],
      ]).kappa,
    ).toBeUndefined();
  });

  it('refuses what is no table of pairs', () => {
    expect(() => cohenKappa([])).toThrow('at least one category');
    expect(() => cohenKappa([[0]])).toThrow('at least one pair');
    expect(() => cohenKappa([[1, 2]])).toThrow('square');
    expect(() => cohenKappa([[1.5]])).toThrow('whole');
    expect(() => cohenKappa([[1]], { level: 95 })).toThrow('received 95');
    expect(() => cohenKappa([[1]], { weights: 'cubic' as KappaWeights })).toThrow('none, linear, quadratic');
    expect(() => cohenKappa([[1]], { weights: [[0.5]] })).toThrow('1 for agreement');
  });
});
