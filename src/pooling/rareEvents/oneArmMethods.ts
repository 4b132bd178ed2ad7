import { rateInterval } from '../../effects/rateInterval.ts';
import { fitBinomialNormal } from '../fitBinomialNormal.ts';
import { betaBinomialOneArm } from './betaBinomialOneArm.ts';
import { binomialNormalComplementaryLogLog } from './binomialNormalComplementaryLogLog.ts';
import { exactPoissonInterval } from './exactLimits.ts';
import type { ArmExposure, OneArmFit, OneArmMethodName, OneArmOutcome, OneArmUnit } from './oneArmFit.ts';
import { poissonNormal } from './poissonNormal.ts';

/** One way of pooling one arm's counts. */
export interface OneArmMethod {
  /** Full name, as printed. */
  readonly name: string;
  readonly source: string;
  readonly unit: OneArmUnit;
  readonly rateOf: OneArmFit['rateOf'];
  /** Does it need each arm's follow-up? */
  readonly needsFollowUp: boolean;
  /** Points of the quadrature, tried in turn until the estimates settle; empty where nothing is integrated. */
  readonly quadraturePoints: readonly number[];
  /** Can it answer when no arm had an event? */
  readonly answersWithoutEvents: boolean;
  /** Can it answer when every shoulder had an event? */
  readonly answersWithEventsOnly: boolean;
  readonly estimate: (
    arms: readonly ArmExposure[],
    level: number,
    points: readonly number[],
  ) => OneArmOutcome;
}

const mixed = {
  quadraturePoints: [25, 50, 100],
  answersWithoutEvents: false,
  answersWithEventsOnly: false,
} as const;
const proportion = { unit: 'proportion', needsFollowUp: false } as const;
const perTime = { unit: 'per-100-shoulder-years', needsFollowUp: true, answersWithEventsOnly: true } as const;
const oneSeries = { rateOf: 'one-series', quadraturePoints: [], answersWithoutEvents: true } as const;

/** Every method of pooling one arm's counts, by name. */
export const oneArmMethods: Readonly<Record<OneArmMethodName, OneArmMethod>> = {
  'binomial-normal-logit': {
    ...proportion,
    ...mixed,
    quadraturePoints: [25],
    name: 'Binomial-normal model, logit link',
    source: 'Hamza et al. 2008; Stijnen et al. 2010',
    rateOf: 'median-study',
    estimate: (arms, level, points) => fitBinomialNormal(arms, { level, quadraturePoints: points[0]! }),
  },
  'binomial-normal-complementary-log-log': {
    ...proportion,
    ...mixed,
    name: 'Binomial-normal model, complementary log-log link',
    source: 'Stijnen et al. 2010; McCullagh & Nelder 1989',
    rateOf: 'median-study',
    estimate: binomialNormalComplementaryLogLog,
  },
  'beta-binomial': {
    ...proportion,
    ...mixed,
    quadraturePoints: [],
    name: 'Beta-binomial model',
    source: 'Griffiths 1973; Young-Xu & Chan 2008',
    rateOf: 'mean-study',
    estimate: betaBinomialOneArm,
  },
  'poisson-normal': {
    ...mixed,
    ...perTime,
    name: 'Poisson-normal model',
    source: 'Stijnen et al. 2010',
    rateOf: 'median-study',
    estimate: poissonNormal,
  },
  'exact-binomial': {
    ...proportion,
    ...oneSeries,
    answersWithEventsOnly: true,
    name: 'Exact binomial interval over all shoulders as one series',
    source: 'Clopper & Pearson 1934',
    estimate(arms, level) {
      const { events, total } = sums(arms);
      return {
        status: 'converged',
        reason: undefined,
        rate: events / total,
        interval: rateInterval({ events, total }, { method: 'clopper-pearson', level }),
      };
    },
  },
  'exact-poisson': {
    ...oneSeries,
    ...perTime,
    name: 'Exact Poisson interval over all shoulder-years as one series',
    source: 'Garwood 1936',
    estimate(arms, level) {
      const { events, years } = sums(arms);
      return {
        status: 'converged',
        reason: undefined,
        rate: (100 * events) / years,
        interval: exactPoissonInterval(events, years / 100, level),
      };
    },
  },
};

/** Events, shoulders and shoulder-years over all arms. */
export function sums(arms: readonly ArmExposure[]): { events: number; total: number; years: number } {
  const all = { events: 0, total: 0, years: 0 };
  for (const { events, total, shoulderYears } of arms) {
    all.events += events;
    all.total += total;
    all.years += shoulderYears;
  }
  return all;
}
