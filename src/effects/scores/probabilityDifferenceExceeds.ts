import { normalUpperTail, studentTUpperTail } from '../../numerics/distributions.ts';
import { type ClinicalThreshold, thresholdKinds } from './clinicalThresholds.ts';
import type { ScoreRange } from './scaleEndCaution.ts';
import { requireFinite, requireKnownOptions, requireOneOf, requirePositive } from './scoreInputs.ts';
import { type ScoreDirection, scoreDirections } from './scoreScale.ts';

/** A pooled difference between two groups' means: treated minus comparator, in points. */
export interface PooledDifference {
  readonly value: number;
  readonly standardError: number;
  /** For a t distribution, such as k - 1 with a Hartung-Knapp interval; without it the normal one. */
  readonly degreesOfFreedom?: number;
}

/** Something with a pooled mean, such as the result of a pool of mean differences. */
export interface WithPooledMean {
  readonly mean: { readonly value: number; readonly standardError: number } | undefined;
}

export interface ProbabilityDifferenceOptions {
  /** The version of the scale the difference is in; the threshold is rescaled to it. Default: the threshold's own. */
  readonly range?: ScoreRange;
  /** Which direction is better on that version. Default: the threshold's own. */
  readonly better?: ScoreDirection;
  /** Degrees of freedom of t; without it the normal distribution, or what the difference carries. */
  readonly degreesOfFreedom?: number;
  /** What the groups are called, default "the treated group" and "the comparator". */
  readonly treated?: string;
  readonly comparator?: string;
}

/** The chances that the difference is large enough to pass the line, either way. */
export interface ProbabilityDifferenceExceeds {
  readonly kind: 'probability-difference-exceeds';
  readonly status: 'answered' | 'no-answer';
  /** Why there is no answer. */
  readonly reason: string | undefined;
  /** Chance that the treated group is better by more than the threshold. */
  readonly treatedBetter: number | undefined;
  /** Chance that the comparator is better by more than the threshold. */
  readonly comparatorBetter: number | undefined;
  /** Chance that the difference is smaller than the threshold either way. */
  readonly neither: number | undefined;
  /** The threshold in points of the difference. */
  readonly points: number;
  readonly distribution: 'normal' | 't';
  readonly degreesOfFreedom: number | undefined;
  readonly threshold: ClinicalThreshold;
  /** What was answered, in a sentence to print. */
  readonly sentence: string;
  /** What the answer is not, to print beside it. */
  readonly convention: string;
}

const conventionSentence =
  'The threshold was found for change within a person; using it as a line between the means of two groups is a convention. ' +
  'The chance takes every true difference as equally likely beforehand and concerns the average difference, not the share of patients who benefit.';

/**
 * How probable is it that the average difference between two groups is larger than a threshold?
 *
 * With difference d, standard error s and threshold T: P(treated better by more than T) = Φ((d - T)/s)
 * after turning d so that positive favours treated; Student's t with stated degrees of freedom in
 * place of Φ where given. It is the confidence distribution read as a posterior under a flat prior.
 *
 * A missing difference or a standard error of 0 gives no answer with a reason, never NaN.
 *
 * @throws RangeError for an acceptable state as threshold: a place on the scale is no difference.
 * Source: Spiegelhalter DJ, Abrams KR, Myles JP, Bayesian Approaches to Clinical Trials and Health-Care
 * Evaluation, Wiley 2004, chapter 3 (normal likelihood, flat prior).
 * @example
 * probabilityDifferenceExceeds({ value: 2.15, standardError: 0.84 }, findThresholds({ scale: 'ases' })[0]).treatedBetter
 */
export function probabilityDifferenceExceeds(
  pooled: PooledDifference | WithPooledMean,
  threshold: ClinicalThreshold,
  options: ProbabilityDifferenceOptions = {},
): ProbabilityDifferenceExceeds {
  requireKnownOptions(options, ['range', 'better', 'degreesOfFreedom', 'treated', 'comparator']);
  const points = pointsOf(threshold, options.range);
  const better: string = options.better ?? threshold.better;
  requireOneOf('better', better, scoreDirections);
  const difference: PooledDifference | undefined = 'mean' in pooled ? pooled.mean : pooled;
  const degreesOfFreedom = options.degreesOfFreedom ?? difference?.degreesOfFreedom;
  if (degreesOfFreedom !== undefined) requirePositive('degreesOfFreedom', degreesOfFreedom);
  const base = {
    kind: 'probability-difference-exceeds',
    points,
    distribution: degreesOfFreedom === undefined ? 'normal' : 't',
    degreesOfFreedom,
    threshold,
    convention: conventionSentence,
  } as const;
  const reason = noAnswerReason(difference);
  if (difference === undefined || reason !== undefined) {
    return {
      ...base,
      status: 'no-answer',
      reason,
      treatedBetter: undefined,
      comparatorBetter: undefined,
      neither: undefined,
      sentence: `We cannot tell whether the difference exceeds ${shown(points)}. ${reason ?? ''}`.trim(),
    };
  }
  const upperTail = (z: number): number =>
    degreesOfFreedom === undefined ? normalUpperTail(z) : studentTUpperTail(z, degreesOfFreedom);
  const favour = better === 'higher' ? difference.value : -difference.value;
  const treatedBetter = upperTail((points - favour) / difference.standardError);
  const comparatorBetter = upperTail((points + favour) / difference.standardError);
  const { treated = 'the treated group', comparator = 'the comparator' } = options;
  return {
    ...base,
    status: 'answered',
    reason: undefined,
    treatedBetter,
    comparatorBetter,
    neither: Math.max(0, 1 - treatedBetter - comparatorBetter),
    sentence:
      `The chance that ${treated} is better than ${comparator} by more than ${shown(points)} on average is ${percent(treatedBetter)}, ` +
      `and that ${comparator} is better by as much ${percent(comparatorBetter)} (threshold: ${threshold.population}, ${threshold.source}).`,
  };
}

function pointsOf(threshold: ClinicalThreshold, range: ScoreRange | undefined): number {
  requireOneOf('threshold.kind', threshold.kind, thresholdKinds);
  if (threshold.kind === 'acceptable-state') {
    throw new RangeError(
      'threshold.kind must be minimal-important-change or substantial-benefit, since an acceptable state is a place on the scale; received "acceptable-state"',
    );
  }
  requirePositive('threshold.value', threshold.value);
  if (range === undefined) return threshold.value;
  requireFinite('range.minimum', range.minimum);
  requireFinite('range.maximum', range.maximum);
  requirePositive('range.maximum - range.minimum', range.maximum - range.minimum);
  const own = threshold.range.maximum - threshold.range.minimum;
  requirePositive('threshold.range.maximum - threshold.range.minimum', own);
  return (threshold.value * (range.maximum - range.minimum)) / own;
}

function noAnswerReason(difference: PooledDifference | undefined): string | undefined {
  if (difference === undefined) return 'There is no pooled difference.';
  const { value, standardError } = difference;
  if (!Number.isFinite(value) || !Number.isFinite(standardError))
    return 'The pooled difference is not a number.';
  if (standardError < 0) {
    throw new RangeError(`standardError must not be below 0; received ${standardError}`);
  }
  if (standardError === 0)
    return 'The pooled difference has no standard error, so nothing can be said of its uncertainty.';
  return undefined;
}

function shown(points: number): string {
  const text = String(Number(points.toPrecision(4)));
  return `${text} point${text === '1' ? '' : 's'}`;
}

function percent(probability: number): string {
  if (probability < 0.001) return 'below 0.1 %';
  if (probability > 0.999) return 'above 99.9 %';
  return `${(100 * probability).toFixed(1)} %`;
}
