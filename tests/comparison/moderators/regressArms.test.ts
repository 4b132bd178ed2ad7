// Arm-level regression: its special cases, invariants, awkward data, and the truth the demo was drawn from.
import { describe, expect, it } from 'vitest';
import { demoFiles, demoTruth } from '../../../data-extraction/makeDemo.ts';
import { demoGroovePain } from '../../../notebooks/data/demoGroovePain.ts';
import {
  armModerators,
  moderatorRows,
  moderatorsReported,
} from '../../../src/comparison/moderators/armModerators.ts';
import type { RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import { regressArms } from '../../../src/comparison/moderators/regressArms.ts';
import { estimateRates } from '../../../src/effects/estimateRates.ts';
import { readReview } from '../../../src/extraction/readReview.ts';
import { notReported } from '../../../src/extraction/reported.ts';
import { selectEvents } from '../../../src/extraction/selectEvents.ts';
import { pooledSites } from '../../../src/extraction/site.ts';
import { clusterRobustMean } from '../../../src/pooling/dependence/clusterRobust.ts';
import { fitThreeLevel } from '../../../src/pooling/dependence/threeLevel.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { estimate, numpyReference } from './referenceRows.ts';

const set = numpyReference.arms;
const site = { id: 'site', name: 'Site', kind: 'categorical', reference: 'supra' } as const;
const share = { id: 'share', name: 'Cuff repair', kind: 'continuous' } as const;
const rows: RegressionRow[] = set.value.map((value: number, index: number) => ({
  estimate: estimate(index, value, set.variance[index], set.study[index]),
  covariates: { site: set.site[index], share: set.share[index] },
}));
const estimates = rows.map((row) => row.estimate);

describe('special cases', () => {
  it('without covariates is the three-level pool', () => {
    const { fit } = regressArms(rows, [], { dependence: 'three-level' });
    const pool = fitThreeLevel(estimates);
    const [mean] = fit!.coefficients;
    expectClose(mean!.value, pool.mean.value, 'iterative');
    expectClose(mean!.standardError, pool.mean.standardError, 'iterative');
    expectClose(mean!.interval.upper, pool.mean.interval.upper, 'iterative');
    expectClose(fit!.components.betweenStudies, pool.components.betweenStudies, 'otherLibrary');
    expectClose(fit!.components.withinStudies, pool.components.withinStudies, 'otherLibrary');
  });

  it('without covariates, robust, is the cluster-robust mean', () => {
    const { fit } = regressArms(rows, []);
    const robust = clusterRobustMean(estimates, { working: fit!.components });
    const [mean] = fit!.coefficients;
    expectClose(mean!.value, robust.mean.value, 'iterative');
    expectClose(mean!.standardError, robust.mean.standardError, 'iterative');
    expectClose(mean!.degreesOfFreedom, robust.degreesOfFreedom, 'iterative');
    expectClose(mean!.pValue, robust.pValue, 'iterative');
  });

  it('with one arm a study and the model trusted is the meta-regression by restricted likelihood', () => {
    const alone = rows.map((row, index) => ({ ...row, estimate: { ...row.estimate, study: `s${index}` } }));
    const arms = regressArms(alone, [site, share], { dependence: 'three-level' }).fit!;
    const plain = fitMetaRegression(alone, [site, share], { test: 'wald' }).fit!;
    expectAllClose(
      arms.coefficients.map(({ standardError }) => standardError),
      plain.coefficients.map(({ standardError }) => standardError),
      'otherLibrary',
    );
  });
});

describe('invariants', () => {
  const base = regressArms(rows, [site, share]).fit!;

  it('order of arms, names of studies', () => {
    const turned = [...rows]
      .reverse()
      .map((row) => ({ ...row, estimate: { ...row.estimate, study: `x-${row.estimate.study}` } }));
    const { fit } = regressArms(turned, [site, share]);
    expectAllClose(
      fit!.coefficients.map(({ standardError }) => standardError),
      base.coefficients.map(({ standardError }) => standardError),
      'otherLibrary',
    );
  });

  it('reference level, unit and zero point of a covariate', () => {
    const moved = rows.map((row) => ({
      ...row,
      covariates: { ...row.covariates, share: Number(row.covariates.share) / 100 - 0.3 },
    }));
    const { fit } = regressArms(moved, [{ ...site, reference: 'top' }, share]);
    const pick = (from: typeof base, one: string, two: string) => {
      const found = from.contrasts.find(
        ({ level, against }) => (level === one && against === two) || (level === two && against === one),
      )!;
      return [found.level === one ? found.value : -found.value, found.standardError, found.degreesOfFreedom];
    };
    for (const [one, two] of [
      ['top', 'supra'],
      ['top', 'sub'],
      ['sub', 'supra'],
    ] as const)
      expectAllClose(pick(fit!, one, two), pick(base, one, two) as number[], 'otherLibrary');
    expectClose(fit!.coefficients.at(-1)!.value, 100 * base.coefficients.at(-1)!.value, 'otherLibrary');
  });

  it('the predicted difference of two sites is their contrast', () => {
    const at = (place: string) => ({ name: place, values: { site: place, share: 40 } });
    const { fit } = regressArms(rows, [site, share], { at: [at('top'), at('sub')] });
    const [top, sub] = fit!.predictions;
    const contrast = fit!.contrasts.find(({ level, against }) => level === 'top' && against === 'sub')!;
    expectClose(top!.value - sub!.value, contrast.value, 'iterative');
    expect(top!.prediction.upper).toBeGreaterThan(top!.interval.upper);
  });
});

describe('awkward data', () => {
  it('covariates missing in some arms: those arms are named, their studies stay with the others', () => {
    const holed = rows.map((row, index) =>
      index === 1 ? { ...row, covariates: { ...row.covariates, share: notReported } } : row,
    );
    const { leftOut, cautions, fit } = regressArms(holed, [site, share]);
    expect(leftOut).toHaveLength(1);
    expect(leftOut[0]!.reason).toBe('not reported: cuff repair');
    expect(cautions[0]!.code).toBe('covariate-missing');
    expect(fit!.rows).toHaveLength(rows.length - 1);
  });

  it('a covariate that is the site by another name is dropped in words', () => {
    const twins = rows.map((row) => ({
      ...row,
      covariates: { ...row.covariates, approach: row.covariates.site === 'top' ? 'inside' : 'outside' },
    }));
    const { dropped, fit } = regressArms(twins, [
      site,
      { id: 'approach', name: 'Approach', kind: 'categorical' },
    ]);
    expect(dropped.map(({ covariate }) => covariate)).toEqual(['approach']);
    expect(fit).toBeDefined();
  });

  it('too few studies, one study, no arms: nothing fitted, and said', () => {
    const two = rows.filter((row) => ['s0', 's1'].includes(row.estimate.study));
    for (const few of [two, two.slice(0, 1), []]) {
      const result = regressArms(few, [site, share]);
      expect(result.fit).toBeUndefined();
      expect(result.cautions.map(({ code }) => code)).toContain('too-few-rows');
    }
  });

  it('refuses misuse in words', () => {
    expect(() => regressArms(rows, [site], { dependence: 'none' as never })).toThrow(
      /cluster-robust, three-level/,
    );
    expect(() => regressArms(rows, [site], { at: [{ name: 'x', values: {} }] })).toThrow(/a value of site/);
  });
});

describe('the demo, whose truth is known', () => {
  const contrastsOf = (seed?: number) => {
    const { review } = readReview(demoFiles(seed));
    const arms = selectEvents(review!, 'groove-pain').arms.filter((arm) =>
      (pooledSites as readonly string[]).includes(arm.site),
    );
    const rates = estimateRates(arms, { scale: 'logit', zeroEvents: { addToEachCell: 0.5 } });
    const demoRows = moderatorRows(review!, arms, rates.estimates);
    const demoSite = { ...armModerators.site.covariate, reference: 'suprapectoral' };
    const naive = fitMetaRegression(demoRows, [demoSite]).fit!.coefficients.find(
      ({ level }) => level === 'top-of-groove',
    )!;
    const adjusted = regressArms(demoRows, [demoSite, armModerators.cuffRepair.covariate]);
    const contrast = adjusted.fit!.contrasts.find(
      ({ level, against }) => level === 'top-of-groove' && against === 'suprapectoral',
    )!;
    return { demoRows, naive, adjusted, contrast };
  };
  const logit = (rate: number) => Math.log(rate / (1 - rate));
  const { 'top-of-groove': top, suprapectoral } = demoTruth.events['groove-pain'];
  const truth = logit(top.medianRate) - logit(suprapectoral.medianRate);
  const covers = ({ interval }: { interval: { lower: number; upper: number } }) =>
    interval.lower <= truth && truth <= interval.upper;

  it('as committed: the contrast as pooled misses the truth, the adjusted one holds it', () => {
    const { naive, contrast, adjusted, demoRows } = contrastsOf();
    expect(truth).toBe(0);
    expect(covers(naive)).toBe(false);
    expect(covers(contrast)).toBe(true);
    const slope = adjusted.fit!.coefficients.find(({ id }) => id === 'cuffRepair')!;
    expect(slope.interval.lower).toBeLessThan(demoTruth.cuffRepairEffect.logitPerPercent);
    expect(slope.interval.upper).toBeGreaterThan(demoTruth.cuffRepairEffect.logitPerPercent);
    const reported = moderatorsReported(demoRows).find(({ covariate }) => covariate.id === 'cuffRepair')!;
    expect(reported.rows - reported.reported).toBe(adjusted.leftOut.length);
  });

  it('the notebook tells the truth the generator used', () => {
    const truths = demoTruth.events['groove-pain'];
    for (const place of pooledSites) expect(demoGroovePain.medianRates[place]).toBe(truths[place].medianRate);
    expect(demoGroovePain.referencePercent).toBe(demoTruth.cuffRepairEffect.referencePercent);
    expect(demoGroovePain.logitPerPercent).toBe(demoTruth.cuffRepairEffect.logitPerPercent);
  });

  it('is no matter of one seed', () => {
    const seeds = Array.from({ length: 25 }, (_, index) => contrastsOf(5000 + index));
    const average = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    // The naive contrast is biased by the confounding; the adjusted one is not, within four standard errors.
    expect(average(seeds.map(({ naive }) => naive.value))).toBeGreaterThan(0.5);
    const adjusted = seeds.map(({ contrast }) => contrast.value);
    const mean = average(adjusted);
    const spread = Math.sqrt(average(adjusted.map((value) => (value - mean) ** 2)) / (seeds.length - 1));
    expect(Math.abs(mean - truth)).toBeLessThan(4 * spread);
    expect(seeds.filter(({ contrast }) => covers(contrast)).length).toBeGreaterThanOrEqual(21);
    expect(seeds.filter(({ naive }) => covers(naive)).length).toBeLessThanOrEqual(12);
  });
});
