// Meta-regression and arm regression against two independent references: dense matrices in numpy, and base R's lm()
// with the likelihoods written out. Scripts, versions and dates: tests/reference/moderators*.
import { describe, expect, it } from 'vitest';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import { regressArms } from '../../../src/comparison/moderators/regressArms.ts';
import { varianceEstimators } from '../../../src/pooling/poolOptions.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { age, baseRReference, design, estimate, numpyReference, rowsOf, share } from './referenceRows.ts';

describe.each([0, 1])('regression set %i', (place) => {
  const set = numpyReference.regressions[place];
  const rows = rowsOf(set);
  const covariates = [age, share, design];

  it.each(varianceEstimators)('%s', (estimator) => {
    const { fit } = fitMetaRegression(rows, covariates, { betweenStudyVariance: estimator });
    const wald = fitMetaRegression(rows, covariates, { betweenStudyVariance: estimator, test: 'wald' }).fit!;
    const numpy = set.fits[estimator];
    const baseR = baseRReference.regressions[place][estimator];
    const tau = set.varianceEstimates[estimator];
    if (tau === 0) expect(fit!.residual.betweenStudyVariance).toBe(0);
    else expectClose(fit!.residual.betweenStudyVariance, tau, 'iterative');
    expect(fit!.coefficients.map(({ id }) => id)).toEqual(set.columns);
    const column = (pick: 'value' | 'standardError' | 'pValue') =>
      fit!.coefficients.map((each) => each[pick]);
    expectAllClose(column('value'), numpy.coefficients, 'iterative');
    expectAllClose(column('value'), baseR.coefficients, 'otherLibrary');
    expectAllClose(column('standardError'), numpy.knappHartungErrors, 'iterative');
    expectAllClose(column('standardError'), baseR.errors, 'otherLibrary');
    expectAllClose(column('pValue'), numpy.knappHartungP, 'iterative');
    expectAllClose(column('pValue'), baseR.p, 'otherLibrary');
    expectAllClose(
      wald.coefficients.map(({ standardError }) => standardError),
      numpy.waldErrors,
      'iterative',
    );
    expectAllClose(
      wald.coefficients.map(({ pValue }) => pValue),
      numpy.waldP,
      'iterative',
    );
    const all = fit!.jointTests.at(-1)!;
    expect(all.covariate).toBe('all');
    expectClose(all.statistic, numpy.F, 'iterative');
    expectClose(all.statistic, baseR.F, 'otherLibrary');
    expectClose(all.pValue, numpy.fP, 'iterative');
    expectClose(wald.jointTests.at(-1)!.statistic, numpy.chiSquare, 'iterative');
    const point = (pick: 'leverage' | 'cookDistance' | 'standardisedResidual') =>
      fit!.points.map((each) => each[pick]);
    expectAllClose(point('leverage'), numpy.leverage, 'iterative');
    expectAllClose(point('leverage'), baseR.leverage, 'otherLibrary');
    // A level that one study alone has: the fit passes through it, and lm() gives NaN where the library has no answer.
    for (const pick of ['cookDistance', 'standardisedResidual'] as const) {
      const theirs: (number | string)[] = pick === 'cookDistance' ? baseR.cook : baseR.standardised;
      for (const [index, ours] of point(pick).entries()) {
        if (ours === undefined) expect(theirs[index]).toBe('NaN');
        else expectClose(ours, Number(theirs[index]), 'otherLibrary', { label: `${pick} ${index}` });
      }
    }
  });

  it('residual Q and the interval of the residual variance', () => {
    const { residual } = fitMetaRegression(rows, covariates).fit!;
    expectClose(residual.q, set.q, 'iterative');
    const { lower, upper } = residual.betweenStudyVarianceInterval!;
    if (set.interval[0] === 0) expect(lower).toBe(0);
    else expectClose(lower, set.interval[0], 'iterative');
    expectClose(upper, set.interval[1], 'iterative');
  });
});

describe('arm regression', () => {
  const set = numpyReference.arms;
  const site = { id: 'site', name: 'Site', kind: 'categorical', reference: 'supra' } as const;
  const rows = set.value.map((value: number, index: number) => ({
    estimate: estimate(index, value, set.variance[index], set.study[index]),
    covariates: { site: set.site[index], share: set.share[index] },
  }));

  it('variances and coefficients', () => {
    const { fit } = regressArms(rows, [site, share], { dependence: 'three-level' });
    const { betweenStudies, withinStudies } = fit!.components;
    // Nelder-Mead and nlminb stop where the likelihood is flat to rounding: variances to about six digits.
    expectAllClose([betweenStudies, withinStudies], set.components, 'otherLibrary');
    for (const [index, value] of baseRReference.arms.components.entries()) {
      const ours = [betweenStudies, withinStudies][index]!;
      expect(Math.abs(ours / value - 1)).toBeLessThan(1e-4);
    }
    expectAllClose(
      fit!.coefficients.map(({ value }) => value),
      set.coefficients,
      'otherLibrary',
    );
    expectAllClose(
      fit!.coefficients.map(({ standardError }) => standardError),
      set.modelErrors,
      'otherLibrary',
    );
  });

  it('bias-reduced sandwich errors and Satterthwaite degrees of freedom, also of a contrast of two levels', () => {
    const { fit } = regressArms(rows, [site, share]);
    const between = fit!.contrasts.find(({ level, against }) => level === 'top' && against === 'sub')!;
    const all = [...fit!.coefficients, between];
    expectAllClose(
      all.map(({ standardError }) => standardError),
      set.robustErrors,
      'otherLibrary',
    );
    expectAllClose(
      all.map(({ degreesOfFreedom }) => degreesOfFreedom),
      set.robustDegreesOfFreedom,
      'otherLibrary',
    );
  });
});
