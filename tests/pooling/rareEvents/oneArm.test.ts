import { describe, expect, it } from 'vitest';
import { oneArmMethodNames } from '../../../src/pooling/rareEvents/oneArmFit.ts';
import { oneArmMethods } from '../../../src/pooling/rareEvents/oneArmMethods.ts';
import { poolOneArm } from '../../../src/pooling/rareEvents/poolOneArm.ts';
import { arm, armsOf, codes, everyNumberFinite, near } from './rareEventsHelpers.ts';

describe.each(oneArmMethodNames)('one arm, %s', (method) => {
  const { needsFollowUp, answersWithoutEvents, answersWithEventsOnly } = oneArmMethods[method];

  it('no arms', () => {
    const fit = poolOneArm([], { method });
    expect(fit).toMatchObject({ status: 'nothing-to-pool', combinedExact: undefined, rate: undefined });
    everyNumberFinite(fit);
  });

  it('no events: the exact limit is the answer', () => {
    const arms = [arm('Harbour 2019', [0, 20], 12), arm('Ridge 2020', [0, 30], 24)];
    const fit = poolOneArm(arms, { method });
    everyNumberFinite(fit);
    expect(fit.status).toBe(answersWithoutEvents ? 'converged' : 'no-events');
    expect(fit.combinedExact?.lower).toBe(0);
    near(
      fit.combinedExact?.upper,
      needsFollowUp ? (100 * -Math.log(0.025)) / 80 : 1 - 0.025 ** (1 / 50),
      1e-12,
    );
    if (!answersWithoutEvents) {
      expect(fit.rate).toBeUndefined();
      expect(codes(fit)).toContain('no-events');
    } else expect(fit.rate).toBe(0);
  });

  it('nothing but events', () => {
    const fit = poolOneArm([arm('Harbour 2019', [20, 20], 12), arm('Ridge 2020', [30, 30], 24)], { method });
    everyNumberFinite(fit);
    if (answersWithEventsOnly) expect(fit.rate).toBeGreaterThan(0);
    else expect(fit).toMatchObject({ status: 'all-events', rate: undefined, interval: undefined });
  });

  it('one arm: its own rate, and says so', () => {
    const fit = poolOneArm([arm('Harbour 2019', [3, 20], 12)], { method });
    everyNumberFinite(fit);
    near(fit.rate, needsFollowUp ? 15 : 0.15, 1e-9);
    expect(codes(fit)).toContain('one-study');
    expect(codes(fit)).not.toContain('one-step-at-boundary');
    expect(fit.betweenStudyDeviation).toBeUndefined();
    expect(fit.overdispersion).toBeUndefined();
    expect(fit.reason ?? '').not.toContain('share one rate');
    expect(fit.prediction).toBeUndefined();
  });

  it('arms without follow-up are left out where time counts', () => {
    const fit = poolOneArm([...armsOf('rareArms'), arm('Marsh 2022', [4, 50])], { method });
    everyNumberFinite(fit);
    expect(fit.leftOut.map(({ label }) => label)).toEqual(needsFollowUp ? ['Marsh 2022'] : []);
    expect(fit.studies).toBe(needsFollowUp ? 10 : 11);
    expect(fit.shoulderYears === undefined).toBe(!needsFollowUp);
    if (needsFollowUp) {
      expect(fit.leftOut[0]?.reason).toContain('follow-up not reported');
      expect(codes(fit)).toContain('arms-left-out');
      expect(fit.methodsSentence).toContain('per 100 shoulder-years');
    }
    expect(fit.methodsSentence).not.toMatch(/undefined|NaN/);
  });

  it('does not depend on the order of arms', () => {
    const one = poolOneArm(armsOf('rareArms'), { method });
    const other = poolOneArm(armsOf('rareArms').reverse(), { method });
    near(other.rate, one.rate!, 1e-8);
    near(other.interval?.upper, one.interval!.upper, 1e-8);
  });

  it('identical arms leave no variation to find', () => {
    const arms = ['A', 'B', 'C', 'D', 'E'].map((label) => arm(label, [2, 40], 12));
    const fit = poolOneArm(arms, { method });
    everyNumberFinite(fit);
    near(fit.rate, needsFollowUp ? 5 : 0.05, 1e-9);
    if (fit.betweenStudyDeviation !== undefined) {
      expect(fit).toMatchObject({ status: 'boundary', betweenStudyDeviation: 0 });
    }
  });

  it('refuses impossible input by name', () => {
    expect(() => poolOneArm([arm('Cove 2020', [5, 4], 12)], { method })).toThrow(/Cove 2020.*received 5/);
    expect(() => poolOneArm([], { method, level: 95 })).toThrow(/level must be/);
    expect(() => poolOneArm([], { method, alpha: 1 } as never)).toThrow(/unknown option "alpha"/);
    expect(() => poolOneArm([], { method, quadraturePoints: 3 })).toThrow(/quadraturePoints/);
    if (!needsFollowUp) return;
    expect(() => poolOneArm([arm('Cove 2020', [1, 4], 0)], { method })).toThrow(
      /Cove 2020.*above 0 months, received 0/,
    );
  });
});

describe('one arm, all or nothing', () => {
  it.each(['binomial-normal-logit', 'binomial-normal-complementary-log-log', 'beta-binomial'] as const)(
    '%s does not converge, and says why',
    (method) => {
      const arms = [arm('A', [0, 20]), arm('B', [20, 20]), arm('C', [0, 20]), arm('D', [20, 20])];
      const fit = poolOneArm(arms, { method });
      expect(fit).toMatchObject({ status: 'not-converged', rate: undefined, interval: undefined });
      expect(fit.reason).toContain('keeps rising');
      expect(codes(fit)).toContain('one-step-not-converged');
    },
  );
});
