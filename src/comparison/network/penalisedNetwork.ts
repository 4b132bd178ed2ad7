import type { ArmEvents } from '../../extraction/armEvents.ts';
import { choleskyInverse } from '../../numerics/cholesky.ts';
import { chiSquareQuantile, chiSquareUpperTail } from '../../numerics/distributions.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import { checkChoice, checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { effectOf, normalMargin } from './compareTreatments.ts';
import { type CountPart, countParts } from './countNetwork.ts';
import type { NodeOfArm } from './networkFromCounts.ts';
import type { NetworkEffect } from './networkResult.ts';
import type { NetworkLeftOut } from './networkStudy.ts';
import {
  maximisePenalised,
  type PenalisedMaximum,
  type PenalisedState,
  type PenalisedStudy,
  penalisedStart,
} from './penalisedFit.ts';

export interface CountNetworkOptions {
  readonly node?: NodeOfArm;
  /** Coverage of every interval, default 0.95. */
  readonly level?: number;
  /** Order in which treatments are listed; those not named follow alphabetically. */
  readonly order?: readonly string[];
}

/** First treatment less second, log odds ratio. */
export interface CountComparison {
  readonly treatment: string;
  readonly comparator: string;
  readonly effect: NetworkEffect;
}

export interface PenalisedPart {
  readonly treatments: readonly string[];
  readonly studies: number;
  readonly comparisons: readonly CountComparison[];
  /** Effects less that of the first treatment, with their covariance, row-major. */
  readonly effects: readonly number[];
  readonly covariance: readonly number[];
  readonly penalisedLogLikelihood: number;
  readonly iterations: number;
  readonly converged: boolean;
}

export interface PenalisedNetwork {
  readonly kind: 'penalised-network';
  readonly parts: readonly PenalisedPart[];
  readonly leftOut: readonly NetworkLeftOut[];
  readonly methodsSentence: string;
}

/** Intervals of the penalised fit. */
export const penalisedIntervals = ['profile-likelihood', 'wald'] as const;
export type PenalisedInterval = (typeof penalisedIntervals)[number];

export interface PenalisedNetworkOptions extends CountNetworkOptions {
  /**
   * Default `profile-likelihood`: with few events the likelihood is lopsided, and Wald intervals do not see it. Its work
   * grows with the pairs of treatments; `wald` suits networks of dozens.
   */
  readonly interval?: PenalisedInterval;
}

/**
 * How do treatments compare when events are so rare that arms have none?
 *
 * Events are binomial, `logit p = study + treatment`, common effect. The likelihood is penalised by the square root of
 * the determinant of its information, which takes away the first-order bias and keeps every estimate finite with zero
 * cells: scores become `Σ [y - n p + h (½ - p)] x` with h the leverage of the arm. Nothing is added to any cell. A
 * study's intercept is swept out of the information, so the work grows with treatments, not with studies. Intervals are
 * those effects whose profile of the penalised likelihood lies within half a chi-square quantile of its height (or Wald),
 * and allow for no difference between studies beyond chance.
 *
 * @throws RangeError for an unknown option
 * @see Firth D. Biometrika 1993;80:27-38. Heinze G, Schemper M. Stat Med 2002;21:2409-2419. Evrenoglou T, White IR, Afach
 *   S, Mavridis D, Chaimani A. Stat Med 2022;41:5203-5219 (networks).
 * @example
 * penalisedNetwork(selection.arms).parts[0]?.comparisons[0]?.effect.value
 */
export function penalisedNetwork(
  arms: readonly ArmEvents[],
  options: PenalisedNetworkOptions = {},
): PenalisedNetwork {
  checkOptionNames(options, ['node', 'level', 'order', 'interval']);
  const interval = checkChoice('interval', options.interval ?? 'profile-likelihood', penalisedIntervals);
  const level = checkLevel(options.level ?? 0.95);
  const { parts, leftOut } = countParts(arms, options.node, options.order ?? []);
  return {
    kind: 'penalised-network',
    parts: parts.map((part) => fitPenalised(part, level, interval)),
    leftOut,
    methodsSentence:
      'Counts were also analysed in a common-effect binomial network with a bias-reducing penalty on the likelihood, which takes arms without events as they are.',
  };
}

function fitPenalised(part: CountPart, level: number, interval: PenalisedInterval): PenalisedPart {
  const places = new Map(part.treatments.map((treatment, place) => [treatment, place]));
  const studies: PenalisedStudy[] = part.studies.map(({ nodes }) => ({
    arms: nodes.map(({ treatment, events, total }) => ({ place: places.get(treatment)!, events, total })),
  }));
  const count = part.treatments.length;
  const top = maximisePenalised(studies, penalisedStart(studies, count));
  const { effects } = top.state;
  const size = count - 1;
  const inverse = choleskyInverse(top.factor);
  const covariance = new Float64Array(count * count);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) covariance[(i + 1) * count + j + 1] = inverse[i * size + j]!;
  const margin = normalMargin(level);
  const comparisons: CountComparison[] = [];
  for (let i = 0; i < count; i++)
    for (let j = i + 1; j < count; j++) {
      const variance =
        covariance[i * count + i]! + covariance[j * count + j]! - 2 * covariance[i * count + j]!;
      const wald = effectOf(effects[i]! - effects[j]!, variance, margin, level);
      comparisons.push({
        treatment: part.treatments[i]!,
        comparator: part.treatments[j]!,
        effect: interval === 'wald' ? wald : { ...wald, ...byProfile(studies, top, i, j, wald, level) },
      });
    }
  return {
    treatments: part.treatments,
    studies: part.studies.length,
    comparisons,
    effects: [...effects],
    covariance: [...covariance],
    penalisedLogLikelihood: top.height,
    iterations: top.iterations,
    converged: top.converged,
  };
}

/** No log odds ratio is looked for further out; the penalty has long ended the interval there. */
const furthest = 60;

/** The effects of one treatment against another that the profile of the penalised likelihood does not reject, and how it rejects none. */
function byProfile(
  studies: readonly PenalisedStudy[],
  top: PenalisedMaximum,
  one: number,
  other: number,
  { value, standardError }: NetworkEffect,
  level: number,
): Pick<NetworkEffect, 'interval' | 'pValue'> {
  // The pair moves to the places of the one held and the one held against.
  const count = top.state.effects.length;
  const order = [
    other,
    one,
    ...Array.from({ length: count }, (_, i) => i).filter((i) => i !== one && i !== other),
  ];
  const placed = studies.map(({ arms }) => ({
    arms: arms.map((arm) => ({ ...arm, place: order.indexOf(arm.place) })),
  }));
  const base = top.state.effects[other]!;
  let near: PenalisedState = {
    intercepts: top.state.intercepts.map((intercept) => intercept + base),
    effects: Float64Array.from(order, (place) => top.state.effects[place]! - base),
  };
  const drop = chiSquareQuantile(level, 1) / 2;
  // Each search starts from the last one's end.
  const fall = (effect: number): number => {
    const effects = Float64Array.from(near.effects);
    effects[1] = effect;
    const found = maximisePenalised(placed, { intercepts: near.intercepts, effects }, true);
    near = found.state;
    return top.height - found.height;
  };
  // Above nought outside the interval.
  const beyond = (effect: number): number => fall(effect) - drop;
  const limit = (direction: -1 | 1): number => {
    let reach = 2 * standardError;
    while (reach < furthest && beyond(value + direction * reach) < 0) reach *= 1.6;
    if (reach >= furthest) return value + direction * furthest;
    return findRoot(beyond, value, value + direction * reach).root;
  };
  return {
    interval: { lower: limit(-1), upper: limit(1), level },
    pValue: chiSquareUpperTail(Math.max(0, 2 * fall(0)), 1),
  };
}
