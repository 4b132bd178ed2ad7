import type { SitePools } from '../../pooling/poolBySite.ts';
import { percentLimits } from '../rateText.ts';

/**
 * What the next study at each site might show, and whether that is much less certain than the mean: said
 * wherever the range for the next study is at least twice as wide as the interval of the mean.
 */
export function predictionReading(pools: SitePools): readonly string[] {
  return pools.sites
    .filter(({ pool }) => pool.headline?.basis === 'two-step')
    .map(({ name, pool }) => {
      const { headline, twoStep } = pool;
      if (headline?.prediction === undefined) {
        return `${name}: too few studies to say how much they differ, so no range is given for the next one.`;
      }
      const wide = headline.prediction.upper - headline.prediction.lower;
      const narrow = headline.interval.upper - headline.interval.lower;
      const range = `${percentLimits(headline.prediction)} in 100`;
      if (twoStep.heterogeneity?.betweenStudyVariance === 0) {
        return `${name}: the studies scatter no more than chance would make them; the next one would be expected within ${range}, although a few studies cannot show that differences are absent.`;
      }
      return wide >= 2 * narrow
        ? `${name}: studies differ by more than the mean lets on; the next one could show anything from ${range}.`
        : `${name}: the next study would be expected within ${range}.`;
    });
}
