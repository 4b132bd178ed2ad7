import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { Caution } from '../caution.ts';
import type { ResolvedPosteriorOptions } from './posteriorOptions.ts';
import type { TabulatedDensity } from './tabulatedDensity.ts';

/** A posterior in four numbers. Mean and deviation are undefined where they do not exist (heavy tails). */
export interface PosteriorSummary {
  readonly mean: number | undefined;
  readonly standardDeviation: number | undefined;
  readonly median: number;
  /** Equal-tailed: the same probability lies below the lower as above the upper limit. */
  readonly interval: Interval;
}

/** A summary with the whole density behind it, for pictures, probabilities and any quantile. */
export interface PosteriorDistribution extends PosteriorSummary {
  readonly density: TabulatedDensity;
}

/** How sure the arithmetic is: the same answer by a finer and a coarser rule. */
export interface PosteriorNumerics {
  /** Values of the between-study standard deviation averaged over. */
  readonly deviationNodes: number;
  /**
   * Largest difference between the two rules in the total, or in a probability they place below: normal model,
   * below the median and the interval limits of the mean and of the next study; binomial model, below one
   * standard deviation on either side of the mean.
   */
  readonly disagreement: number;
  /** What the difference is held to. */
  readonly tolerance: number;
  readonly agreed: boolean;
}

/** One study's own value once the other studies have been taken into account. */
export interface StudyEffect extends PosteriorSummary {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
}

/** Posterior of a normal model of estimates with normal random effects. */
export interface PosteriorNormalNormal {
  readonly kind: 'posterior-normal-normal';
  readonly status: 'computed';
  readonly scale: AnalysisScale;
  readonly options: ResolvedPosteriorOptions;
  /** Distinct studies among the estimates. */
  readonly studies: number;
  readonly estimates: readonly Estimate[];
  /** Mean of the studies, on the analysis scale. */
  readonly mean: PosteriorDistribution;
  /** Between-study standard deviation, on the analysis scale. */
  readonly betweenStudyDeviation: PosteriorDistribution;
  /** True value in the next study. */
  readonly prediction: PosteriorDistribution;
  /** Shrunken study effects, in the order of the estimates; empty when not asked for. */
  readonly studyEffects: readonly StudyEffect[];
  readonly numerics: PosteriorNumerics;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/** One arm's count, as much of it as the model needs. */
export interface StudyCount {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  readonly events: number;
  readonly total: number;
}

/** One study's own rate once the other studies have been taken into account. */
export interface StudyRate {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  readonly events: number;
  readonly total: number;
  readonly logit: PosteriorSummary;
  readonly rate: PosteriorSummary;
}

/** Posterior of the exact binomial model with normal random effects on the logit scale. */
export interface PosteriorBinomialNormal {
  readonly kind: 'posterior-binomial-normal';
  readonly status: 'computed';
  readonly options: ResolvedPosteriorOptions;
  readonly studies: number;
  readonly counts: readonly StudyCount[];
  readonly events: number;
  readonly total: number;
  /** Mean on the logit scale. */
  readonly mean: PosteriorDistribution;
  /** Between-study standard deviation on the logit scale. */
  readonly betweenStudyDeviation: PosteriorDistribution;
  /** True logit at the next hospital. */
  readonly prediction: PosteriorDistribution;
  /** Rate of the median hospital, 0 to 1. */
  readonly rate: PosteriorSummary;
  /** True rate at the next hospital, 0 to 1. */
  readonly nextRate: PosteriorSummary;
  /** Shrunken rates, in the order of the counts; empty when not asked for. */
  readonly studyRates: readonly StudyRate[];
  readonly numerics: PosteriorNumerics;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/** Why no posterior can be given. */
export const refusalCodes = ['nothing-to-pool', 'mean-not-identified', 'posterior-not-proper'] as const;
export type RefusalCode = (typeof refusalCodes)[number];

/** A model, its data and priors, and why they have no answer together. */
export interface PosteriorRefused {
  readonly kind: 'posterior-refused';
  readonly status: 'refused';
  readonly model: 'normal-normal' | 'binomial-normal';
  readonly code: RefusalCode;
  /** In words, with what would help. */
  readonly reason: string;
  readonly options: ResolvedPosteriorOptions;
  readonly estimates: readonly Estimate[];
  readonly counts: readonly StudyCount[];
  readonly cautions: readonly Caution[];
}
