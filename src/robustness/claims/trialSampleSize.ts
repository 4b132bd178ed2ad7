import { normalQuantile } from '../../numerics/distributions.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';

/** Whether the test takes each arm's own variance, or one variance from both as if they did not differ. */
export const trialVariances = ['each-arm', 'both-arms'] as const;
export type TrialVariance = (typeof trialVariances)[number];

export interface TrialSizeOptions {
  /** Coverage of the interval of the difference, default 0.95 (a two-sided test at 0.05). */
  readonly level?: number;
  /** Probability of finding the difference if it is there, default 0.8. */
  readonly power?: number;
  /** Default `each-arm`. */
  readonly variance?: TrialVariance;
}

export interface TrialSize {
  readonly eachArm: number;
  readonly bothArms: number;
  /** Events expected in both arms together. */
  readonly expectedEvents: number;
  readonly rates: readonly [number, number];
  readonly options: Required<TrialSizeOptions>;
}

/**
 * How many shoulders does a trial need to tell two rates apart?
 *
 * `n = (z_{1−α/2} + z_β)² [p₁(1−p₁) + p₂(1−p₂)] / (p₁−p₂)²` in each arm, rounded up; with `both-arms` the first z goes
 * with `√(2p̄(1−p̄))` and the second with `√(p₁(1−p₁) + p₂(1−p₂))`. No allowance for loss to follow-up.
 *
 * @throws RangeError for rates that are equal or not strictly between 0 and 1, a power not above (1 − level) / 2 or not
 *   below 1
 *
 * Source: Fleiss JL, Levin B, Paik MC, Statistical Methods for Rates and Proportions, 3rd ed. 2003, section 4.3.
 *
 * @example
 * trialSampleSize(0.10, 0.05).bothArms // 864
 */
export function trialSampleSize(one: number, other: number, options: TrialSizeOptions = {}): TrialSize {
  checkOptionNames(options, ['level', 'power', 'variance']);
  for (const [name, rate] of [
    ['the first rate', one],
    ['the other rate', other],
  ] as const) {
    if (!(typeof rate === 'number' && rate > 0 && rate < 1))
      throw new RangeError(`${name} must be above 0 and below 1, received ${rate}`);
  }
  if (one === other) throw new RangeError(`the rates must differ, received ${one} twice`);
  const level = checkLevel(options.level ?? 0.95);
  const power = options.power ?? 0.8;
  if (!(typeof power === 'number' && power > (1 - level) / 2 && power < 1))
    throw new RangeError(`power must be above ${(1 - level) / 2} and below 1, received ${power}`);
  const variance = checkChoice('variance', options.variance ?? 'each-arm', trialVariances);
  const alternative = one * (1 - one) + other * (1 - other);
  const mean = (one + other) / 2;
  const under = variance === 'both-arms' ? 2 * mean * (1 - mean) : alternative;
  const reach =
    -normalQuantile((1 - level) / 2) * Math.sqrt(under) + normalQuantile(power) * Math.sqrt(alternative);
  const exact = (reach / (one - other)) ** 2;
  const eachArm = Math.max(1, Math.ceil(exact - 1e-9 * exact));
  return {
    eachArm,
    bothArms: 2 * eachArm,
    expectedEvents: eachArm * (one + other),
    rates: [one, other],
    options: { level, power, variance },
  };
}
