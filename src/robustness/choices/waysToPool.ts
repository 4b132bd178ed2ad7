import type { RateScale } from '../../effects/analysisScale.ts';
import type { ZeroEvents } from '../../effects/zeroEvents.ts';
import type { MeanInterval } from '../../pooling/poolOptions.ts';
import type { ChoiceGrid, EstimatorChoice } from './choiceGrid.ts';
import { canGoTogether } from './fastRatePool.ts';

/** One way to pool a set of arms. */
export interface WayToPool {
  /** Which scale, zero-cell handling, estimator and interval of the grid. */
  readonly choices: readonly [scale: number, zeroEvents: number, estimator: number, interval: number];
  readonly scale: RateScale;
  readonly zeroEvents: ZeroEvents;
  readonly estimator: EstimatorChoice;
  readonly interval: MeanInterval;
}

/** Every way to pool the grid holds, without those that are impossible or the same as another. */
export function waysToPool(grid: ChoiceGrid): {
  readonly ways: readonly WayToPool[];
  readonly notRun: readonly { readonly reason: string; readonly combinations: number }[];
} {
  const ways: WayToPool[] = [];
  let same = 0;
  let impossible = 0;
  for (const [s, scale] of grid.scale.entries()) {
    const hasValueAtZero = scale === 'arcsine' || scale === 'double-arcsine';
    for (const [z, zeroEvents] of grid.zeroEvents.entries()) {
      for (const [e, estimator] of grid.estimator.entries()) {
        for (const [i, interval] of grid.interval.entries()) {
          if (!canGoTogether(estimator, interval)) impossible += 1;
          else if (z > 0 && hasValueAtZero) same += 1;
          else ways.push({ choices: [s, z, e, i], scale, zeroEvents, estimator, interval });
        }
      }
    }
  }
  const notRun = [
    {
      reason:
        'the arcsine scales have a value for arms without events, so what is done with them has no effect',
      combinations: same,
    },
    {
      reason: 'a profile-likelihood interval belongs to the maximum-likelihood estimator',
      combinations: impossible,
    },
  ];
  return { ways, notRun: notRun.filter(({ combinations }) => combinations > 0) };
}
