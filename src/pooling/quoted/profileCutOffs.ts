import { chiSquareQuantile, studentTQuantile } from '../../numerics/distributions.ts';

/** How large the profile deviance may be within an interval, for `k` studies. */
export interface ProfileCutOffRule {
  /** As printed. */
  readonly name: string;
  readonly at: (level: number, studies: number) => number;
}

const studentSquared = (level: number, degreesOfFreedom: number): number =>
  studentTQuantile((1 - level) / 2, degreesOfFreedom) ** 2;

const tTest = (level: number, studies: number): number =>
  studies * Math.log1p(studentSquared(level, studies - 1) / (studies - 1));

/** Every cut-off whose coverage is measured, by name. */
export const profileCutOffNames = ['chi-square', 'f', 't-test', 'calibrated'] as const;
export type ProfileCutOff = (typeof profileCutOffNames)[number];
/**
 * How each cut-off is found.
 *
 * - `chi-square`: the large-sample one.
 * - `f`: F(1, k − 1), Student's t squared taken as a deviance.
 * - `t-test`: `k ln(1 + t²/(k − 1))`, the deviance at the limits of a t interval for the mean of k normal values: exact
 *   where every study's own value is known without error.
 * - `calibrated`: the larger of `t-test` and F(1, max(k − 1, 6)): F from seven studies on. F alone is up to twice too wide
 *   below seven, and `t-test` alone a little too short from five on; where the two cross was found by simulation.
 *
 * Sources: Wilks SS, Ann Math Stat 1938;9:60-62 (chi-square); the t test as a likelihood ratio: Lehmann EL, Romano JP,
 * Testing Statistical Hypotheses, 3rd ed. 2005, section 5.2; `calibrated` is ours.
 */
export const profileCutOffs = {
  'chi-square': {
    name: 'chi-square cut-off',
    at: (level: number, _studies?: number) => chiSquareQuantile(level, 1),
  },
  f: {
    name: 'cut-off F(1, k − 1)',
    at: (level: number, studies: number) => studentSquared(level, studies - 1),
  },
  't-test': { name: 'cut-off k·ln(1 + t²/(k − 1))', at: tTest },
  calibrated: {
    name: 'cut-off for few studies',
    at: (level: number, studies: number) =>
      Math.max(tTest(level, studies), studentSquared(level, Math.max(studies - 1, 6))),
  },
} as const satisfies Record<ProfileCutOff, ProfileCutOffRule>;
