import { describe, expect, it } from 'vitest';
import { answersOf } from '../../src/answers/answersOf.ts';
import { pairToTell } from '../../src/answers/pairToTell.ts';
import { compareVersions } from '../../src/changes/compareVersions.ts';
import { checkSiteClaim } from '../../src/claims/checkSiteClaim.ts';
import { comparePair } from '../../src/comparison/pairs/comparePairs.ts';
import {
  absoluteEffect,
  canRuleOutFewer,
  type RelativeEffect,
  relativeMeasures,
} from '../../src/effects/absoluteEffect.ts';
import { normalCumulative, normalQuantile } from '../../src/numerics/distributions.ts';
import { reviewOf } from '../answers/reviewOf.ts';
import { outcome } from '../certainty/bodies.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';
import { makeArms } from '../tables/makeArms.ts';

const z = -normalQuantile(0.025);
const expit = (x: number): number => 1 / (1 + Math.exp(-x));
const logit = (p: number): number => Math.log(p / (1 - p));
/** Wald interval on the logit scale: what one arm says of its own risk. */
const logitInterval = (events: number, total: number) => {
  const margin = z * Math.sqrt(1 / events + 1 / (total - events));
  const middle = logit(events / total);
  return { lower: expit(middle - margin), upper: expit(middle + margin), level: 0.95 };
};
const trial = (study: string, one: readonly [number, number], other: readonly [number, number]) => {
  const change = { study, label: study, design: 'randomised trial' };
  return [...makeArms('subpectoral', [one], change), ...makeArms('tenotomy', [other], change)];
};

describe('the interval of an absolute difference', () => {
  it('of 1 in 41 with an odds ratio of 0.29 is 103 to 2 fewer in 1,000, not 13 to 20', () => {
    const { difference } = absoluteEffect(
      { measure: 'odds-ratio', value: 0.29, lower: 0.19, upper: 0.45 },
      1 / 41,
      'one arm',
      { interval: logitInterval(1, 41) },
    );
    expect(Math.round(1000 * difference.lower)).toBe(-103);
    expect(Math.round(1000 * difference.upper)).toBe(-2);
    // 16.9 is the middle of the joint distribution; printed are the two estimates carried through, 17.2.
    expect(Math.abs(1000 * difference.value + 16.9)).toBeLessThan(0.5);
  });

  // One trial has nothing but its four counts: two published intervals for the difference of two proportions.
  it.each([
    // Newcombe RG. Stat Med 1998;17:873-890, table II, 56/70 against 48/80: method 10 gives 0.0524 to 0.3339.
    { one: [56, 70], other: [48, 80], lower: 0.0524, upper: 0.3339, within: 0.012 },
  ] as const)(
    'of one trial is near the score interval of its two rates: $one, $other',
    ({ one, other, lower, upper, within }) => {
      const { pair } = comparePair(trial('A', one, other), 'subpectoral', 'tenotomy');
      const { difference } = pair.absolute[0]!;
      expect(Math.abs(difference.lower - lower)).toBeLessThan(within);
      expect(Math.abs(difference.upper - upper)).toBeLessThan(within);
    },
  );

  it('holds what the joint distribution holds, summed over a fine grid of both', () => {
    const half = 400;
    const grid = Array.from({ length: 2 * half + 1 }, (_, i) => ((i - half) * 7) / half);
    const weights = grid.map((x) => Math.exp((-x * x) / 2));
    for (const measure of relativeMeasures.slice(0, 2))
      for (const [events, total, log, error, correlation] of [
        [1, 41, Math.log(0.29), 0.22, 0],
        [12, 90, Math.log(0.6), 0.4, -0.6],
        [30, 100, Math.log(2.2), 0.5, -0.3],
      ] as const) {
        const interval = logitInterval(events, total);
        const spread = Math.sqrt(1 / events + 1 / (total - events));
        const relative: RelativeEffect = {
          measure,
          value: Math.exp(log),
          lower: Math.exp(log - z * error),
          upper: Math.exp(log + z * error),
        };
        const found = absoluteEffect(relative, events / total, 'x', {
          interval,
          covariance: correlation * spread * error,
        });
        const values: number[] = [];
        const shares: number[] = [];
        for (const [i, a] of grid.entries())
          for (const [j, b] of grid.entries()) {
            const risk = expit(logit(events / total) + spread * a);
            const effect = log + error * (correlation * a + Math.sqrt(1 - correlation ** 2) * b);
            const treated =
              measure === 'odds-ratio' ? expit(logit(risk) + effect) : Math.min(1, risk * Math.exp(effect));
            values.push(treated - risk);
            shares.push(weights[i]! * weights[j]!);
          }
        const whole = shares.reduce((sum, share) => sum + share, 0);
        const below = (limit: number): number =>
          values.reduce((sum, value, at) => (value <= limit ? sum + shares[at]! : sum), 0) / whole;
        // The grid counts whole cells, of which the largest near the limit holds some 0.0002.
        expect(Math.abs(below(found.difference.lower) - 0.025), `${measure} ${events}`).toBeLessThan(4e-4);
        expect(Math.abs(below(found.difference.upper) - 0.975), `${measure} ${events}`).toBeLessThan(4e-4);
      }
  });

  it('has the treated risk on the logit scale for an odds ratio, worked by hand', () => {
    const [spread, error, covariance] = [Math.sqrt(1 / 12 + 1 / 78), 0.4, -0.05];
    const found = absoluteEffect(
      {
        measure: 'odds-ratio',
        value: 0.6,
        lower: 0.6 * Math.exp(-z * error),
        upper: 0.6 * Math.exp(z * error),
      },
      12 / 90,
      'x',
      { interval: logitInterval(12, 90), covariance },
    );
    const sd = Math.sqrt(spread ** 2 + error ** 2 + 2 * covariance);
    const at = (limit: number) => normalCumulative((logit(limit) - logit(12 / 90) - Math.log(0.6)) / sd);
    expect(Math.abs(at(found.risk.lower) - 0.025)).toBeLessThan(1e-12);
    expect(Math.abs(at(found.risk.upper) - 0.975)).toBeLessThan(1e-12);
  });

  it('keeps the side of no difference that the ratio has, and its own three numbers apart by the difference', () => {
    for (const [value, lower, upper] of [
      [0.5, 0.3, 0.99],
      [0.5, 0.2, 1.01],
      [1.6, 1.01, 2.6],
      // A profile's limits lie far from evenly: 0.13 (0.003 to 0.87).
      [0.13, 0.0027, 0.87],
      [3, 1.02, 60],
    ] as const) {
      const { difference, risk, baselineRisk } = absoluteEffect(
        { measure: 'odds-ratio', value, lower, upper },
        0.2,
        'x',
        { interval: logitInterval(10, 50), covariance: -0.02 },
      );
      expect(Math.sign(difference.lower)).toBe(Math.sign(Math.log(lower)));
      expect(Math.sign(difference.upper)).toBe(Math.sign(Math.log(upper)));
      expect(Math.abs(risk.value - baselineRisk - difference.value)).toBeLessThan(1e-15);
    }
  });

  it('is that of the effect alone at a risk named as known, and says so', () => {
    const relative = { measure: 'odds-ratio', value: 0.29, lower: 0.19, upper: 0.45 } as const;
    const named = absoluteEffect(relative, 0.1, 'named');
    expect(named.baselineKnown).toBe(true);
    expect(named.baselineInterval).toEqual({ lower: 0.1, upper: 0.1, level: 0.95 });
    expect(named.difference).toEqual(named.atThatRisk.difference);
    expect(() =>
      absoluteEffect(relative, 0.1, 'x', { interval: { lower: 0.2, upper: 0.3, level: 0.95 } }),
    ).toThrow('interval of the baseline risk must lie within 0 to 1 and hold 0.1, received 0.2 to 0.3');
  });

  it('carries whose risk it is said at', () => {
    const arms = trial('A', [4, 42], [15, 45]);
    const { pair } = comparePair(arms, 'subpectoral', 'tenotomy');
    expect(pair.absolute[0]).toMatchObject({ riskOf: 'tenotomy', baselineKnown: false });
    const review = reviewOf([
      { study: 'a', design: 'randomised trial', site: 'subpectoral', events: 4, total: 42 },
      { study: 'a', design: 'randomised trial', site: 'tenotomy', events: 15, total: 45 },
    ]);
    const turned = pairToTell(answersOf(review), 'groove-pain', 'tenotomy', 'subpectoral').risks!;
    expect([turned.held, turned.riskOf]).toEqual(['treatment', 'tenotomy']);
  });
});

describe('"not fewer" by what matters', () => {
  it('is refused from the border on, and "not more" never is', () => {
    expect(canRuleOutFewer({ lower: 0.0499 }, 0.05)).toBe(false);
    expect(canRuleOutFewer({ lower: 0.05 }, 0.05)).toBe(true);
  });

  const alike = { kind: 'alike', site: 'subpectoral', comparator: 'tenotomy' } as const;
  it('cannot make two sites alike where the risk lies below it', () => {
    // 4 of 900 against 4 of 900: five fewer in 100 cannot happen at a risk below one in 100.
    const told = (events: readonly [number, number], total: number) => {
      const arm = { study: 'aller', design: 'randomised trial', total };
      const review = reviewOf([
        { ...arm, site: 'subpectoral', events: events[0] },
        { ...arm, site: 'tenotomy', events: events[1] },
      ]);
      return pairToTell(answersOf(review), 'groove-pain', 'subpectoral', 'tenotomy');
    };
    const rare = told([4, 4], 900);
    expect(checkSiteClaim(alike, { outcome, pair: rare }).verdict).toBe('cannot tell');
    const common = told([2000, 2010], 9000);
    expect(checkSiteClaim(alike, { outcome, pair: common }).verdict).toBe('borne out');
  });

  it('does not bear out a recommendation; "not more" does', () => {
    const said = (claim: string) => {
      const files = {
        ...smallReview,
        'events.csv': `${smallReview['events.csv']}abel-2010,high,revision,reoperation,chart,24,4,3800,,,\nabel-2010,low,revision,reoperation,chart,24,4,4000,,,\n`,
        'arms.csv': smallReview['arms.csv']!.replace('39,40,37,38,54.5', '3900,4000,3700,3800,54.5').replace(
          '42,42,40,40,56.25',
          '4200,4200,4000,4000,56.25',
        ),
        // Judged, so that its certainty is above very low, at which nothing could be told either way.
        'judgements.csv': 'study,tool,item,outcome,judgement\nabel-2010,ROBINS-I,overall,revision,low\n',
        'recommendations.csv': `recommendation,statement,outcome,site,comparator,claim,per_100\nr,Say it,revision,top-of-groove,subpectoral,${claim},\n`,
      };
      const version = { name: 'v', files, review: readSound(files) };
      return compareVersions(version, version, { certainty: 'none' }).recommendations[0]!.standing;
    };
    expect(said('not fewer')).toBe('still cannot be told');
    expect(said('no difference that matters')).toBe('still cannot be told');
    expect(said('not more')).toBe('still stands');
  });
});
