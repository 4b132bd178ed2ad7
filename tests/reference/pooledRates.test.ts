// From counts to the pooled rate, both ways, against base R and lme4 (pooledRates.R).
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { estimateRates } from '../../src/effects/estimateRates.ts';
import { fitBinomialNormal } from '../../src/pooling/fitBinomialNormal.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { expectAllClose, expectClose } from '../helpers/close.ts';

interface Row {
  readonly name: string;
  readonly events: readonly number[];
  readonly totals: readonly number[];
  readonly twoStep: null | {
    readonly estimates: number;
    readonly commonEffect: number;
    readonly q: number;
    readonly pValue: number;
    readonly betweenStudyVariance: number;
    readonly mean: number;
    readonly standardError: number;
    readonly hartungKnappStandardError: number;
    readonly hartungKnapp: readonly [number, number];
    readonly prediction: readonly [number, number] | readonly [null, null];
  };
  readonly oneStep: null | {
    readonly mean: number;
    readonly standardError: number;
    readonly betweenStudyDeviation: number;
  };
}

const { rows } = JSON.parse(readFileSync(new URL('./pooledRates-r.json', import.meta.url), 'utf8')) as {
  readonly rows: readonly Row[];
};
const armsOf = (row: Row) =>
  row.events.map((events, i) => ({ study: `${i}`, label: `study ${i}`, events, total: row.totals[i]! }));

describe('two-step: DerSimonian-Laird on the logit, written out in base R', () => {
  test.each(rows.map((row) => [row.name, row] as const))('%s', (_name, row) => {
    const { estimates, leftOut } = estimateRates(armsOf(row), { scale: 'logit' });
    if (row.twoStep === null) return expect(estimates.length).toBeLessThan(2);
    const expected = row.twoStep;
    expect(estimates).toHaveLength(expected.estimates);
    expect(leftOut).toHaveLength(row.events.length - expected.estimates);

    const wald = poolEstimates(estimates, { betweenStudyVariance: 'dersimonian-laird', interval: 'wald' });
    const common = poolEstimates(estimates, { model: 'common-effect', interval: 'wald' });
    const tier = 'specialFunctionTail';
    expectClose(common.mean?.value, expected.commonEffect, tier);
    expectClose(wald.mean?.value, expected.mean, tier);
    expectClose(wald.mean?.standardError, expected.standardError, tier);
    const { heterogeneity } = wald;
    // Identical studies: R's Q is exactly zero, ours may be rounding.
    expectClose(heterogeneity?.q, expected.q, tier, expected.q === 0 ? { ofSize: 1 } : {});
    expectClose(heterogeneity?.pValue, expected.pValue, tier);
    expectClose(heterogeneity?.betweenStudyVariance, expected.betweenStudyVariance, tier);
    if (expected.prediction[0] !== null) {
      const { prediction } = wald;
      expectAllClose([prediction?.lower, prediction?.upper], expected.prediction, tier);
    } else expect(wald.prediction).toBeUndefined();

    if (expected.hartungKnappStandardError === 0) return;
    const knapp = poolEstimates(estimates, {
      betweenStudyVariance: 'dersimonian-laird',
      interval: 'hartung-knapp',
    });
    const { mean } = knapp;
    expectAllClose([mean?.interval.lower, mean?.interval.upper], expected.hartungKnapp, tier);
  });
});

describe('one-step: the binomial-normal model, lme4 with 25 quadrature points', () => {
  test.each(rows.filter((row) => row.oneStep !== null).map((row) => [row.name, row] as const))(
    '%s',
    (_name, row) => {
      const expected = row.oneStep!;
      const fit = fitBinomialNormal(armsOf(row));
      expect(['converged', 'boundary']).toContain(fit.status);
      // lme4 stops where its own gradient is small: measured in standard errors, not in digits.
      const off = Math.abs(fit.mean! - expected.mean) / expected.standardError;
      expect(off, `mean ${fit.mean} against ${expected.mean}`).toBeLessThan(1e-4);
      expect(Math.abs(fit.betweenStudyDeviation! - expected.betweenStudyDeviation)).toBeLessThan(1e-4);
    },
  );
});
