import type { VarianceComponents } from '../../pooling/dependence/restrictedLikelihood.ts';
import type { ClusteredPoint } from './clusteredLikelihood.ts';

/**
 * Which two variances, neither below zero, make the likelihood highest?
 *
 * Fisher scoring with halved steps from several starts, so that a second peak is not mistaken for the first; a
 * variance at zero whose slope points below zero stays there.
 *
 * @param at the likelihood at a pair of variances; undefined where it has none
 * @param spread a typical squared distance between values, the unit of the starts
 * @param withinIsIdentified false when no study gives two rows
 */
export function climbLikelihood(
  at: (components: VarianceComponents) => ClusteredPoint | undefined,
  spread: number,
  withinIsIdentified: boolean,
): { readonly point: ClusteredPoint; readonly converged: boolean } {
  let best: { point: ClusteredPoint; converged: boolean } | undefined;
  for (const between of [0, 0.1, 1]) {
    for (const within of withinIsIdentified ? [0, 0.1, 1] : [0]) {
      const start = at({ betweenStudies: between * spread, withinStudies: within * spread });
      if (!start) continue;
      const found = climb(at, start, withinIsIdentified);
      if (!best || found.point.logLikelihood > best.point.logLikelihood + 1e-12) best = found;
    }
  }
  if (!best) throw new RangeError('the covariance of the rows must be positive definite');
  return best;
}

function climb(
  at: (components: VarianceComponents) => ClusteredPoint | undefined,
  start: ClusteredPoint,
  withinIsIdentified: boolean,
): { point: ClusteredPoint; converged: boolean } {
  let point = start;
  for (let iteration = 0; iteration < 500; iteration++) {
    const { betweenStudies, withinStudies } = point.components;
    const step = stepFrom(point, withinIsIdentified);
    let next: ClusteredPoint | undefined;
    for (let share = 1; share > 1e-10 && !next; share /= 2) {
      const candidate = at({
        betweenStudies: Math.max(0, betweenStudies + share * step[0]),
        withinStudies: Math.max(0, withinStudies + share * step[1]),
      });
      if (candidate && isBetter(candidate, point)) next = candidate;
    }
    if (!next) return { point, converged: true };
    const moved =
      Math.abs(next.components.betweenStudies - betweenStudies) +
      Math.abs(next.components.withinStudies - withinStudies);
    point = next;
    if (moved <= 1e-14 * (next.components.betweenStudies + next.components.withinStudies))
      return { point, converged: true };
  }
  return { point, converged: false };
}

function stepFrom(
  { components, score, information }: ClusteredPoint,
  withinIsIdentified: boolean,
): [number, number] {
  const [bb, bw, ww] = information;
  const freeBetween = components.betweenStudies > 0 || score[0] > 0;
  const freeWithin = withinIsIdentified && (components.withinStudies > 0 || score[1] > 0);
  const determinant = bb * ww - bw * bw;
  if (freeBetween && freeWithin && determinant > 1e-12 * bb * ww)
    return [(ww * score[0] - bw * score[1]) / determinant, (bb * score[1] - bw * score[0]) / determinant];
  return [freeBetween ? score[0] / bb : 0, freeWithin ? score[1] / ww : 0];
}

/** Higher, or (within rounding of the summit, where heights no longer tell) flatter. */
function isBetter(candidate: ClusteredPoint, point: ClusteredPoint): boolean {
  const gain = candidate.logLikelihood - point.logLikelihood;
  const noise = 1e-12 * (1 + Math.abs(point.logLikelihood));
  return gain > noise || (gain > -noise && steepness(candidate) < steepness(point));
}

const steepness = ({ components, score }: ClusteredPoint): number =>
  (components.betweenStudies > 0 || score[0] > 0 ? Math.abs(score[0]) : 0) +
  (components.withinStudies > 0 || score[1] > 0 ? Math.abs(score[1]) : 0);
