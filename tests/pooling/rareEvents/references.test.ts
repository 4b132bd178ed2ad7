import { describe, expect, it } from 'vitest';
import { cochranMantelHaenszelTest } from '../../../src/pooling/rareEvents/cochranMantelHaenszelTest.ts';
import { poolOneArm } from '../../../src/pooling/rareEvents/poolOneArm.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { armsOf, near, python, r, tablesOf } from './rareEventsHelpers.ts';

// tests/reference/rareEventsR.R (base R, lme4) and rareEventsPython.py (mpmath, numpy, scipy).
const identity = 1e-13;
const iterated = 1e-8;
const library = 1e-6;
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
    near(ratio.natural?.value, base.mantelHaenszel.oddsRatio, library);
    near(ratio.natural?.interval?.lower, base.mantelHaenszel.interval[0], library);
    near(ratio.natural?.interval?.upper, base.mantelHaenszel.interval[1], library);
    near(ratio.value, mp.closed.logOddsRatio, identity * 10);
    near(ratio.standardError, mp.closed.oddsRatioStandardError, identity);
    const risk = poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-ratio' });
    near(risk.value, mp.closed.logRiskRatio, identity * 10);
    near(risk.standardError, mp.closed.riskRatioStandardError, identity);
    const sato = poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-difference' });
    near(sato.value, mp.closed.riskDifference, identity);
    near(sato.standardError, mp.closed.riskDifferenceSato, identity);
    const difference = poolTwoArms(tables, {
      method: 'mantel-haenszel',
      measure: 'risk-difference',
      variance: 'greenland-robins',
    });
    near(difference.standardError, mp.closed.riskDifferenceGreenlandRobins, identity);
  });

  it('Cochran-Mantel-Haenszel test against base R and mpmath', () => {
    const plain = cochranMantelHaenszelTest(tables);
    near(plain.chiSquare, base.mantelHaenszel.chiSquare, 1e-12);
    near(plain.chiSquare, mp.closed.chiSquare, 1e-12);
    expect(Math.abs(plain.pValue! / base.mantelHaenszel.pValue - 1)).toBeLessThan(1e-10);
    const corrected = cochranMantelHaenszelTest(tables, { continuityCorrection: true });
    near(corrected.chiSquare, base.mantelHaenszel.chiSquareCorrected, 1e-12);
    expect(Math.abs(corrected.pValue! / base.mantelHaenszel.pValueCorrected - 1)).toBeLessThan(1e-10);
  });

  it('Peto against mpmath', () => {
    const pool = poolTwoArms(tables, { method: 'peto' });
    near(pool.value, mp.closed.peto, identity * 10);
    near(pool.standardError, mp.closed.petoStandardError, identity);
    near(pool.heterogeneity?.q, mp.closed.petoQ, 1e-12);
  });

  it('arcsine difference, DerSimonian-Laird, against mpmath', () => {
    const pool = poolTwoArms(tables, { method: 'arcsine-difference' });
    near(pool.value, mp.closed.arcsine, 1e-12);
    near(pool.standardError, mp.closed.arcsineStandardError, 1e-12);
    near(pool.betweenStudyDeviation, mp.closed.arcsineDeviation, 1e-12);
  });

  it('conditional maximum likelihood against mpmath and base R', () => {
    const pool = poolTwoArms(tables, { method: 'conditional-maximum-likelihood' });
    near(pool.value, mp.conditional.value, 1e-11);
    near(pool.standardError, mp.conditional.standardError, 1e-11);
    near(pool.logLikelihood, mp.conditional.logLikelihood, 1e-11);
    near(pool.interval?.lower, mp.conditional.profile[0], iterated);
    near(pool.interval?.upper, mp.conditional.profile[1], iterated);
    near(pool.natural?.value, base.exact.oddsRatio, uniroot);
  });

  it('exact conditional interval and p-value against mpmath and base R', () => {
    const pool = poolTwoArms(tables, { method: 'exact-conditional' });
    near(pool.interval?.lower, mp.conditional.exact[0], iterated);
    near(pool.interval?.upper, mp.conditional.exact[1], iterated);
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
    near(pool.value, mp.hypergeometricNormal.value, library);
    near(pool.value, base.hypergeometricNormal.value, optim);
    near(pool.logLikelihood, mp.hypergeometricNormal.logLikelihood, iterated);
    near(pool.logLikelihood, base.hypergeometricNormal.logLikelihood, iterated);
    near(pool.betweenStudyDeviation, base.hypergeometricNormal.deviation, optim);
    if (pool.status === 'boundary') return;
    near(pool.betweenStudyDeviation, mp.hypergeometricNormal.deviation, library);
    near(pool.standardError, mp.hypergeometricNormal.standardError, library);
  });

  it('binomial-normal with fixed intercepts against glm, lme4 and scipy', () => {
    const method = 'binomial-normal-fixed-intercepts';
    const common = poolTwoArms(tables, { method, model: 'common-effect' });
    near(common.value, base.fixedInterceptsCommon.value, iterated);
    near(common.standardError, base.fixedInterceptsCommon.standardError, iterated);
    near(common.logLikelihood, base.fixedInterceptsCommon.logLikelihood, iterated);
    const random = poolTwoArms(tables, { method });
    near(random.value, base.fixedInterceptsRandom.value, glmer);
    near(random.standardError, base.fixedInterceptsRandom.standardError, glmer);
    near(random.betweenStudyDeviation, base.fixedInterceptsRandom.deviation, glmer);
    near(random.value, mp.fixedIntercepts.value, library);
    near(random.logLikelihood, mp.fixedIntercepts.logLikelihood, iterated);
    if (random.status === 'boundary') return;
    near(random.standardError, mp.fixedIntercepts.standardError, library);
    near(random.betweenStudyDeviation, mp.fixedIntercepts.deviation, library);
  });

  it('binomial-normal with random intercepts against lme4 and scipy', () => {
    const method = 'binomial-normal-random-intercepts';
    const common = poolTwoArms(tables, { method, model: 'common-effect' });
    near(common.value, base.randomInterceptsCommon.value, glmer);
    near(common.standardError, base.randomInterceptsCommon.standardError, glmer);
    near(common.value, mp.randomInterceptsCommon.value, library);
    near(common.standardError, mp.randomInterceptsCommon.standardError, library);
    near(common.logLikelihood, mp.randomInterceptsCommon.logLikelihood, iterated);
    const random = poolTwoArms(tables, { method });
    near(random.value, mp.randomIntercepts.value, library);
    near(random.logLikelihood, mp.randomIntercepts.logLikelihood, iterated);
    if (random.status === 'boundary') return;
    near(random.standardError, mp.randomIntercepts.standardError, library);
    near(random.betweenStudyDeviation, mp.randomIntercepts.deviation, library);
  });

  it('beta-binomial against scipy and optim', () => {
    for (const measure of ['odds-ratio', 'risk-ratio', 'risk-difference'] as const) {
      const pool = poolTwoArms(tables, { method: 'beta-binomial', measure });
      near(pool.value, mp.betaBinomial[measure][0], library);
      near(pool.standardError, mp.betaBinomial[measure][1], library);
      near(pool.overdispersion, mp.betaBinomial.overdispersion, library);
      near(pool.logLikelihood, mp.betaBinomial.logLikelihood, iterated);
      near(pool.logLikelihood, base.betaBinomial.logLikelihood, iterated);
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
    near(exact.oneSidedLimit?.value, mp.conditional.upper, iterated);
    near(exact.oneSidedLimit?.natural, r.twoArm.oneSided.exact.interval[1], uniroot);
    near(exact.pValue, 2 * mp.conditional.atMost, iterated);
    const profile = poolTwoArms(tables, { method: 'conditional-maximum-likelihood' });
    near(profile.oneSidedLimit?.value, mp.conditional.profileUpper, iterated);
  });

  it('what still has a value', () => {
    const peto = poolTwoArms(tables, { method: 'peto' });
    near(peto.value, mp.closed.peto, 1e-12);
    const difference = poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-difference' });
    near(difference.value, mp.closed.riskDifference, 1e-12);
    near(difference.standardError, mp.closed.riskDifferenceSato, 1e-12);
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
    const many = poolOneArm(arms, { method, quadraturePoints: 100 });
    near(many.mean, scipy[key].value, library);
    near(many.standardError, scipy[key].standardError, library);
    near(many.betweenStudyDeviation, scipy[key].deviation, library);
    near(many.logLikelihood, scipy[key].logLikelihood, iterated);
    const standard = poolOneArm(arms, { method });
    near(standard.mean, many.mean!, iterated);
    near(standard.standardError, many.standardError!, iterated);
    near(standard.betweenStudyDeviation, many.betweenStudyDeviation!, iterated);
  });

  it('beta-binomial against scipy and optim', () => {
    const fit = poolOneArm(arms, { method: 'beta-binomial' });
    near(fit.mean, scipy.betaBinomial.mean, library);
    near(fit.standardError, scipy.betaBinomial.standardError, library);
    near(fit.overdispersion, scipy.betaBinomial.overdispersion, library);
    near(fit.logLikelihood, base.betaBinomial.logLikelihood, iterated);
    near(fit.mean, base.betaBinomial.mean, optim);
  });

  it('exact intervals against base R', () => {
    const binomial = poolOneArm(arms, { method: 'exact-binomial' });
    near(binomial.interval?.lower, base.exactBinomial[0], 1e-10);
    near(binomial.interval?.upper, base.exactBinomial[1], 1e-10);
    const poisson = poolOneArm(arms, { method: 'exact-poisson' });
    near(poisson.interval?.lower, base.exactPoisson[0], 1e-10);
    near(poisson.interval?.upper, base.exactPoisson[1], 1e-10);
  });

  it('binomial-normal on the logit is the fit used beside every pooled rate', () => {
    const fit = poolOneArm(arms, { method: 'binomial-normal-logit' });
    near(fit.mean, base.logit.mean, glmer);
    near(fit.standardError, base.logit.standardError, glmer);
  });
});
