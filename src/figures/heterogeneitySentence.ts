import type { PooledResult } from '../pooling/pooledResult.ts';
import { varianceEstimatorMethods } from '../pooling/varianceEstimatorMethods.ts';
import { fixed, levelText } from './formatNumber.ts';

const scaleWords: Readonly<Record<PooledResult['scale'], string>> = {
  raw: 'the rate scale',
  logit: 'the log-odds scale',
  log: 'the log scale',
  arcsine: 'the arcsine scale',
  'double-arcsine': 'the double-arcsine scale',
  'log-odds-ratio': 'the log-odds-ratio scale',
  'log-risk-ratio': 'the log-risk-ratio scale',
  'risk-difference': 'the risk-difference scale',
  'mean-difference': 'the mean-difference scale',
  'standardised-mean-difference': 'the standardised scale',
  'log-ratio-of-means': 'the log-ratio scale',
  'arcsine-difference': 'the arcsine scale',
  plain: 'the scale as reported',
};

/**
 * Says in words how much the studies differ: the between-study standard deviation with its interval, and the
 * share of the variation that is beyond chance.
 *
 * @param beside the pool stands beside a quoted number that does not come from it, and the sentence says whose it is
 */
export function heterogeneitySentence(result: PooledResult, beside = false): string {
  const own = ownSentence(result);
  if (!beside) return own;
  const { name } = varianceEstimatorMethods[result.options.betweenStudyVariance];
  return `In the two-step pool (${name}): ${own.charAt(0).toLowerCase()}${own.slice(1)}`;
}

function ownSentence(result: PooledResult): string {
  const { heterogeneity, scale, estimates } = result;
  if (heterogeneity === undefined)
    return estimates.length === 1
      ? 'One study carries all the weight: how much studies differ cannot be judged.'
      : 'How much studies differ cannot be judged.';
  const { betweenStudyVariance, betweenStudyVarianceInterval, iSquared } = heterogeneity;
  const interval = betweenStudyVarianceInterval;
  const decimals = scale === 'raw' || scale === 'risk-difference' ? 3 : 2;
  const spread = fixed(Math.sqrt(betweenStudyVariance), decimals);
  const range =
    interval === undefined
      ? ''
      : ` (${levelText(interval.level)} interval ${fixed(Math.sqrt(Math.max(0, interval.lower)), decimals)} to ${fixed(Math.sqrt(Math.max(0, interval.upper)), decimals)})`;
  return betweenStudyVariance > 0
    ? `Studies differ: between-study spread ${spread}${range} on ${scaleWords[scale]}; ${fixed(100 * iSquared, 0)}\u00a0% of the variation is beyond chance.`
    : `No spread between studies beyond chance was seen, which does not rule it out: between-study spread ${spread}${range} on ${scaleWords[scale]}.`;
}
