import { describe, expect, it } from 'vitest';
import { cochranMantelHaenszelTest } from '../../../src/pooling/rareEvents/cochranMantelHaenszelTest.ts';
import { poolOneArm } from '../../../src/pooling/rareEvents/poolOneArm.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { expectClose } from '../../helpers/close.ts';
import { armsOf, near, python, r, tablesOf } from './rareEventsHelpers.ts';

// tests/reference/rareEventsR.R (base R, lme4) and rareEventsPython.py (mpmath, numpy, scipy).
// lme4 stops its own search near 1e-5 of the estimates and takes its curvature by differences.
const glmer = 5e-5;
// optim stops on the likelihood's value, which is flat at the top: half its digits remain in the estimates.
const optim = 5e-5;
// mantelhaen.test finds its conditional estimate and exact limits with uniroot at its default 1.2e-4.
const uniroot = 2e-4;

const full = ['bcg', 'betaBlocker', 'tolbutamide', 'streptokinase', 'sparse'];

describe.each(full)('two arms, %s', (name) => {
  const tables = tablesOf(name);
  const base = r.twoArm[name];
  const mp = python.twoArm[name];

  it('Mantel-Haenszel against base R and mpmath', () => {
    const ratio = poolTwoArms(tables, { method: 'mantel-haenszel' });
    expectClose(ratio.natural?.value, base.mantelHaenszel.oddsRatio, 'otherLibrary');
    expectClose(ratio.natural?.interval?.lower, base.mantelHaenszel.interval[0], 'otherLibrary');
    expectClose(ratio.natural?.interval?.upper, base.mantelHaenszel.interval[1], 'otherLibrary');
    expectClose(ratio.value, mp.closed.logOddsRatio, 'identity');
    expectClose(ratio.standardError, mp.closed.oddsRatioStandardError, 'identity');
    const risk = poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-ratio' });
    expectClose(risk.value, mp.closed.logRiskRatio, 'identity');
    expectClose(risk.standardError, mp.closed.riskRatioStandardError, 'identity');
    const sato = poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-difference' });
    expectClose(sato.value, mp.closed.riskDifference, 'identity');
    expectClose(sato.standardError, mp.closed.riskDifferenceSato, 'identity');
    const difference = poolTwoArms(tables, {
      method: 'mantel-haenszel',
      measure: 'risk-difference',
      variance: 'greenland-robins',
    });
    expectClose(difference.standardError, mp.closed.riskDifferenceGreenlandRobins, 'identity');
  });

  it('Cochran-Mantel-Haenszel test against base R and mpmath', () => {
    const plain = cochranMantelHaenszelTest(tables);
    expectClose(plain.chiSquare, base.mantelHaenszel.chiSquare, 'specialFunction');
    expectClose(plain.chiSquare, mp.closed.chiSquare, 'specialFunction');
    expect(Math.abs(plain.pValue! / base.mantelHaenszel.pValue - 1)).toBeLessThan(1e-10);
    const corrected = cochranMantelHaenszelTest(tables, { continuityCorrection: true });
    expectClose(corrected.chiSquare, base.mantelHaenszel.chiSquareCorrected, 'specialFunction');
    expect(Math.abs(corrected.pValue! / base.mantelHaenszel.pValueCorrected - 1)).toBeLessThan(1e-10);
  });

  it('Peto against mpmath', () => {
    const pool = poolTwoArms(tables, { method: 'peto' });
    expectClose(pool.value, mp.closed.peto, 'identity');
    expectClose(pool.standardError, mp.closed.petoStandardError, 'identity');
    expectClose(pool.heterogeneity?.q, mp.closed.petoQ, 'specialFunction');
  });

  it('arcsine difference, DerSimonian-Laird, against mpmath', () => {
    const pool = poolTwoArms(tables, { method: 'arcsine-difference' });
    expectClose(pool.value, mp.closed.arcsine, 'specialFunction');
    expectClose(pool.standardError, mp.closed.arcsineStandardError, 'specialFunction');
    expectClose(pool.betweenStudyDeviation, mp.closed.arcsineDeviation, 'specialFunction');
  });

  it('conditional maximum likelihood against mpmath and base R', () => {
    const pool = poolTwoArms(tables, { method: 'conditional-maximum-likelihood' });
    near(pool.value, mp.conditional.value, 1e-11);
    near(pool.standardError, mp.conditional.standardError, 1e-11);
    near(pool.logLikelihood, mp.conditional.logLikelihood, 1e-11);
    expectClose(pool.interval?.lower, mp.conditional.profile[0], 'iterative');
    expectClose(pool.interval?.upper, mp.conditional.profile[1], 'iterative');
    near(pool.natural?.value, base.exact.oddsRatio, uniroot);
  });

  it('exact conditional interval and p-value against mpmath and base R', () => {
    const pool = poolTwoArms(tables, { method: 'exact-conditional' });
    expectClose(pool.interval?.lower, mp.conditional.exact[0], 'iterative');
    expectClose(pool.interval?.upper, mp.conditional.exact[1], 'iterative');
    near(pool.natural?.interval?.lower, base.exact.interval[0], uniroot);
    near(pool.natural?.interval?.upper, base.exact.interval[1], uniroot);
    const twice = 2 * Math.min(mp.conditional.atMost, mp.conditional.atLeast);
    expect(Math.abs(pool.pValue! / twice - 1)).toBeLessThan(1e-10);
    expect(Math.abs(pool.pValue! / (2 * Math.min(base.exact.less, base.exact.greater)) - 1)).toBeLessThan(
      1e-6,
    );
  });

  it('hypergeometric-normal against scipy and optim', () => {
    const pool = poolTwoArms(tables, { method: 'hypergeometric-normal' });
    expectClose(pool.value, mp.hypergeometricNormal.value, 'otherLibrary');
    near(pool.value, base.hypergeometricNormal.value, optim);
    expectClose(pool.logLikelihood, mp.hypergeometricNormal.logLikelihood, 'iterative');
    expectClose(pool.logLikelihood, base.hypergeometricNormal.logLikelihood, 'iterative');
    near(pool.betweenStudyDeviation, base.hypergeometricNormal.deviation, optim);
    if (pool.status === 'boundary') return;
    expectClose(pool.betweenStudyDeviation, mp.hypergeometricNormal.deviation, 'otherLibrary');
    expectClose(pool.standardError, mp.hypergeometricNormal.standardError, 'otherLibrary');
  });

  it('binomial-normal with fixed intercepts against glm, lme4 and scipy', () => {
    const method = 'binomial-normal-fixed-intercepts';
    const common = poolTwoArms(tables, { method, model: 'common-effect' });
    expectClose(common.value, base.fixedInterceptsCommon.value, 'iterative');
    expectClose(common.standardError, base.fixedInterceptsCommon.standardError, 'iterative');
    expectClose(common.logLikelihood, base.fixedInterceptsCommon.logLikelihood, 'iterative');
    const random = poolTwoArms(tables, { method });
    near(random.value, base.fixedInterceptsRandom.value, glmer);
    near(random.standardError, base.fixedInterceptsRandom.standardError, glmer);
    near(random.betweenStudyDeviation, base.fixedInterceptsRandom.deviation, glmer);
    expectClose(random.value, mp.fixedIntercepts.value, 'otherLibrary');
    expectClose(random.logLikelihood, mp.fixedIntercepts.logLikelihood, 'iterative');
    if (random.status === 'boundary') return;
    expectClose(random.standardError, mp.fixedIntercepts.standardError, 'otherLibrary');
    expectClose(random.betweenStudyDeviation, mp.fixedIntercepts.deviation, 'otherLibrary');
  });

  it('binomial-normal with random intercepts against lme4 and scipy', () => {
    const method = 'binomial-normal-random-intercepts';
    const common = poolTwoArms(tables, { method, model: 'common-effect' });
    near(common.value, base.randomInterceptsCommon.value, glmer);
    near(common.standardError, base.randomInterceptsCommon.standardError, glmer);
    expectClose(common.value, mp.randomInterceptsCommon.value, 'otherLibrary');
    expectClose(common.standardError, mp.randomInterceptsCommon.standardError, 'otherLibrary');
    expectClose(common.logLikelihood, mp.randomInterceptsCommon.logLikelihood, 'iterative');
    const random = poolTwoArms(tables, { method });
    expectClose(random.value, mp.randomIntercepts.value, 'otherLibrary');
    expectClose(random.logLikelihood, mp.randomIntercepts.logLikelihood, 'iterative');
    if (random.status === 'boundary') return;
    expectClose(random.standardError, mp.randomIntercepts.standardError, 'otherLibrary');
    expectClose(random.betweenStudyDeviation, mp.randomIntercepts.deviation, 'otherLibrary');
  });

  it('beta-binomial against scipy and optim', () => {
    for (const measure of ['odds-ratio', 'risk-ratio', 'risk-difference'] as const) {
      const pool = poolTwoArms(tables, { method: 'beta-binomial', measure });
      expectClose(pool.value, mp.betaBinomial[measure][0], 'otherLibrary');
      expectClose(pool.standardError, mp.betaBinomial[measure][1], 'otherLibrary');
      expectClose(pool.overdispersion, mp.betaBinomial.overdispersion, 'otherLibrary');
      expectClose(pool.logLikelihood, mp.betaBinomial.logLikelihood, 'iterative');
      expectClose(pool.logLikelihood, base.betaBinomial.logLikelihood, 'iterative');
      near(pool.overdispersion, base.betaBinomial.overdispersion, optim);
      if (measure !== 'odds-ratio') continue;
      near(pool.value, base.betaBinomial.logits[0] - base.betaBinomial.logits[1], optim);
    }
  });
});

describe('two arms, no event in any treated arm', () => {
  const tables = tablesOf('oneSided');
  const mp = python.twoArm.oneSided;

  it('one-sided limits against mpmath and base R', () => {
    const exact = poolTwoArms(tables, { method: 'exact-conditional' });
    expect(exact.value).toBeUndefined();
    expect(exact.oneSidedLimit?.side).toBe('upper');
    expectClose(exact.oneSidedLimit?.value, mp.conditional.upper, 'iterative');
    near(exact.oneSidedLimit?.natural, r.twoArm.oneSided.exact.interval[1], uniroot);
    expectClose(exact.pValue, 2 * mp.conditional.atMost, 'iterative');
    const profile = poolTwoArms(tables, { method: 'conditional-maximum-likelihood' });
    expectClose(profile.oneSidedLimit?.value, mp.conditional.profileUpper, 'iterative');
  });

  it('what still has a value', () => {
    const peto = poolTwoArms(tables, { method: 'peto' });
    expectClose(peto.value, mp.closed.peto, 'specialFunction');
    const difference = poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-difference' });
    expectClose(difference.value, mp.closed.riskDifference, 'specialFunction');
    expectClose(difference.standardError, mp.closed.riskDifferenceSato, 'specialFunction');
  });
});

describe.each(['hospitals', 'rareArms'])('one arm, %s', (name) => {
  const arms = armsOf(name);
  const base = r.oneArm[name];
  const scipy = python.oneArm[name];
  const at25 = { quadraturePoints: 25 } as const;

  it.each([
    ['binomial-normal-complementary-log-log', 'complementaryLogLog'],
    ['poisson-normal', 'poisson'],
  ] as const)('%s against lme4 and scipy', (method, key) => {
    const fit = poolOneArm(arms, { method, ...at25 });
    near(fit.mean, base[key].mean, glmer);
    near(fit.standardError, base[key].standardError, glmer);
    near(fit.betweenStudyDeviation, base[key].deviation, glmer);
    // As many points as it takes unless told otherwise.
    const many = poolOneArm(arms, { method, quadraturePoints: 100 });
    expectClose(many.mean, scipy[key].value, 'otherLibrary');
    expectClose(many.standardError, scipy[key].standardError, 'otherLibrary');
    expectClose(many.betweenStudyDeviation, scipy[key].deviation, 'otherLibrary');
    expectClose(many.logLikelihood, scipy[key].logLikelihood, 'iterative');
    const standard = poolOneArm(arms, { method });
    expectClose(standard.mean, many.mean!, 'otherLibrary');
    expectClose(standard.standardError, many.standardError!, 'otherLibrary');
    expectClose(standard.betweenStudyDeviation, many.betweenStudyDeviation!, 'otherLibrary');
  });

  it('beta-binomial against scipy and optim', () => {
    const fit = poolOneArm(arms, { method: 'beta-binomial' });
    expectClose(fit.mean, scipy.betaBinomial.mean, 'otherLibrary');
    expectClose(fit.standardError, scipy.betaBinomial.standardError, 'otherLibrary');
    expectClose(fit.overdispersion, scipy.betaBinomial.overdispersion, 'otherLibrary');
    expectClose(fit.logLikelihood, base.betaBinomial.logLikelihood, 'iterative');
    near(fit.mean, base.betaBinomial.mean, optim);
  });

  it('exact intervals against base R', () => {
    const binomial = poolOneArm(arms, { method: 'exact-binomial' });
    expectClose(binomial.interval?.lower, base.exactBinomial[0], 'specialFunctionTail');
    expectClose(binomial.interval?.upper, base.exactBinomial[1], 'specialFunctionTail');
    const poisson = poolOneArm(arms, { method: 'exact-poisson' });
    expectClose(poisson.interval?.lower, base.exactPoisson[0], 'specialFunctionTail');
    expectClose(poisson.interval?.upper, base.exactPoisson[1], 'specialFunctionTail');
  });

  it('binomial-normal on the logit is the fit used beside every pooled rate', () => {
    const fit = poolOneArm(arms, { method: 'binomial-normal-logit' });
    near(fit.mean, base.logit.mean, glmer);
    near(fit.standardError, base.logit.standardError, glmer);
  });
});
