import type { Count } from '../../effects/estimate.ts';

/** A score summarised in one arm. */
export interface ScoreSummary {
  readonly standardDeviation: number;
  readonly total: number;
}

/**
 * How do two effects of one study move together when both were measured against the same arm?
 *
 * The covariance is the shared arm's own part of the variance:
 * log odds ratio 1/x + 1/(n−x); log risk ratio 1/x − 1/n; risk difference p(1−p)/n; mean difference s²/n.
 *
 * @param measure the scale both effects are on.
 * @param shared the shared arm: a count for the first three, a score summary for the mean difference.
 * @throws RangeError for a shared arm on which the covariance does not exist (no events on a ratio scale).
 * @see Gleser LJ, Olkin I. Stochastically dependent effect sizes. In: The Handbook of Research Synthesis and
 *   Meta-Analysis, 2nd ed. 2009, chapter 19. Cochrane Handbook, section 23.3.4 (shared groups).
 * @example
 * sharedArmCovariance('log-odds-ratio', { events: 10, total: 40 }) // 1/10 + 1/30
 */
export function sharedArmCovariance(
  measure: 'log-odds-ratio' | 'log-risk-ratio' | 'risk-difference',
  shared: Count,
): number;
export function sharedArmCovariance(measure: 'mean-difference', shared: ScoreSummary): number;
export function sharedArmCovariance(measure: string, shared: Count | ScoreSummary): number {
  if ('standardDeviation' in shared) {
    const { standardDeviation, total } = shared;
    if (!(typeof standardDeviation === 'number' && standardDeviation > 0)) {
      throw new RangeError(`standardDeviation must be above 0, received ${standardDeviation}`);
    }
    if (!(typeof total === 'number' && total >= 1))
      throw new RangeError(`total must be at least 1, received ${total}`);
    return standardDeviation ** 2 / total;
  }
  const { events, total } = shared;
  if (!(typeof total === 'number' && total >= 1))
    throw new RangeError(`total must be at least 1, received ${total}`);
  if (!(typeof events === 'number' && events >= 0 && events <= total)) {
    throw new RangeError(`events must lie between 0 and total ${total}, received ${events}`);
  }
  if (measure === 'risk-difference') return (events * (total - events)) / total ** 3;
  if (events === 0) throw new RangeError(`events must be above 0 on the scale ${measure}, received 0`);
  if (measure === 'log-risk-ratio') return 1 / events - 1 / total;
  if (measure !== 'log-odds-ratio') {
    throw new RangeError(
      `measure must be log-odds-ratio, log-risk-ratio, risk-difference or mean-difference, received ${measure}`,
    );
  }
  if (events === total) {
    throw new RangeError(`events must be below total ${total} on the scale ${measure}, received ${events}`);
  }
  return 1 / events + 1 / (total - events);
}
