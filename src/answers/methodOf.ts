import { meanIntervalMethods } from '../pooling/meanIntervalMethods.ts';
import { correctionText, levelText, scaleNames } from '../pooling/methodsSentence.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import { varianceEstimatorMethods } from '../pooling/varianceEstimatorMethods.ts';

/** Model, scale, interval and what was added to cells, in a few words. */
export function methodOf({ options, scale, mean, estimates }: PooledResult): string {
  const corrected = estimates.filter(({ addedToEachCell }) => addedToEachCell > 0);
  const model =
    options.model === 'common-effect'
      ? 'common effect'
      : `random effects (${varianceEstimatorMethods[options.betweenStudyVariance].name})`;
  const interval = meanIntervalMethods[mean?.intervalMethod ?? options.interval].name;
  return `${scaleNames[scale]}, ${model}, ${interval} ${levelText(options.level)} interval${correctionText(corrected[0]?.addedToEachCell ?? 0, corrected.length, estimates.length)}`;
}
