import type { AnalysisScale } from '../effects/analysisScale.ts';
import type { Estimate, LeftOut } from '../effects/estimate.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Caution } from './caution.ts';
import type { HomogeneityTest } from './homogeneityTest.ts';
import type { MeanInterval, ResolvedPoolOptions } from './poolOptions.ts';

/** An estimate with the share of the total weight it carried. */
export interface WeightedEstimate extends Estimate {
  /** Share of the total weight, 0 to 1. */
  readonly weight: number;
  /** The study's own interval on the analysis scale (normal, from its variance). */
  readonly interval: Interval;
}

/** The pooled mean on the analysis scale. */
export interface PooledMean {
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  /** The method that made the interval: the one asked for, or Wald where that has no answer. */
  readonly intervalMethod: MeanInterval;
  /**
   * Two-sided p value of a true mean of 0, by the test that the interval inverts: below 1 − level exactly where the
   * interval leaves 0 out. Undefined for rates, of which none stands for no difference.
   */
  readonly pValue: number | undefined;
}

/** How much the studies differ beyond chance. */
export interface Heterogeneity {
  /** Cochran's Q around the common-effect mean. */
  readonly q: number;
  readonly degreesOfFreedom: number;
  readonly pValue: number;
  /** Between-study variance on the analysis scale, also under a common effect (where no weight uses it). */
  readonly betweenStudyVariance: number;
  /**
   * Standard error of the between-study variance, by its estimator's published formula at the estimate; undefined for
   * estimators without one, and where the likelihood has no information. Too rough for an interval with few studies.
   */
  readonly betweenStudyVarianceStandardError: number | undefined;
  /** Interval of the between-study variance by `options.varianceInterval`; undefined where no variance fits. */
  readonly betweenStudyVarianceInterval: Interval | undefined;
  /** At the estimate, restricted for the restricted estimator; undefined for estimators that maximise no likelihood. */
  readonly logLikelihood: number | undefined;
  /** Likelihood-ratio test of one true value for all studies, by the same likelihood. */
  readonly likelihoodRatio: HomogeneityTest | undefined;
  /** Share of the variation beyond chance, 0 to 1: max(0, (Q - df) / Q). */
  readonly iSquared: number;
  /** Test-based interval (Higgins and Thompson 2002). */
  readonly iSquaredInterval: Interval;
  /** The same share from the between-study variance and its interval: τ² / (τ² + sampling variance of a typical study). */
  readonly iSquaredFromVariance: { readonly value: number; readonly interval: Interval | undefined };
  /** Q / df, 1 when nothing beyond chance shows. */
  readonly hSquared: number;
  readonly hSquaredInterval: Interval;
}

/** A value and its intervals on a scale a reader knows: a proportion, an odds ratio, points on a score. */
export interface NaturalSummary {
  readonly value: number;
  readonly interval: Interval | undefined;
  readonly prediction: Interval | undefined;
}

/** The third of the three values that carry everything: a summary with all that made it. */
export interface PooledResult {
  readonly kind: 'pooled-result';
  readonly scale: AnalysisScale;
  readonly options: ResolvedPoolOptions;
  /** Distinct studies among the estimates, imputed ones not counted. */
  readonly studies: number;
  /** Imputed studies pooled with them; absent when there are none, as everywhere but in a sensitivity analysis. */
  readonly imputed?: number;
  readonly estimates: readonly WeightedEstimate[];
  readonly leftOut: readonly LeftOut[];
  /** Pooled mean on the analysis scale; undefined when nothing could be pooled. */
  readonly mean: PooledMean | undefined;
  /** Undefined for fewer than two estimates. */
  readonly heterogeneity: Heterogeneity | undefined;
  /** Prediction interval on the analysis scale; undefined below three estimates and under a common effect. */
  readonly prediction: Interval | undefined;
  /** The same, back-transformed. */
  readonly natural: NaturalSummary | undefined;
  readonly cautions: readonly Caution[];
  /** One sentence naming every choice, ready for a methods section. */
  readonly methodsSentence: string;
}
