import type { AnalysisScale } from '../effects/analysisScale.ts';
import type { Estimate, LeftOut } from '../effects/estimate.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Caution } from './caution.ts';
import type { MeanInterval, ResolvedPoolOptions } from './poolOptions.ts';

/** An estimate with the share of the total weight it carried. */
export interface WeightedEstimate extends Estimate {
  /** Share of the total weight, 0 to 1. */
  readonly weight: number;
  /** The study's own interval on the analysis scale (normal, from its variance). */
  readonly interval: Interval;
}

/** How much the studies differ beyond chance. */
export interface Heterogeneity {
  /** Cochran's Q around the common-effect mean. */
  readonly q: number;
  readonly degreesOfFreedom: number;
  readonly pValue: number;
  /** Between-study variance on the analysis scale, also under a common effect (where no weight uses it). */
  readonly betweenStudyVariance: number;
  /** Interval of the between-study variance by `options.varianceInterval`; undefined where no variance fits. */
  readonly betweenStudyVarianceInterval: Interval | undefined;
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
  readonly mean:
    | {
        readonly value: number;
        readonly standardError: number;
        readonly interval: Interval;
        /** The method that made the interval: the one asked for, or Wald where that has no answer. */
        readonly intervalMethod: MeanInterval;
      }
    | undefined;
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
