import type { SitePools } from '../../pooling/poolBySite.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { percentLimits } from '../rateText.ts';

/** How the range for the next study stands to the interval of the mean. */
type Spread = 'wide' | 'near' | 'chance only' | 'unknown';

/**
 * What the next study at each site might show, and whether that is much less certain than the mean: said
 * wherever the range for the next study is at least twice as wide as the interval of the mean.
 */
export function predictionReading(pools: SitePools): readonly string[] {
  const pooled = pools.sites.filter(
    ({ pool }) => pool.headline !== undefined && pool.headline.basis !== 'exact',
  );
  const ranges = (spread: Spread): string =>
    pooled
      .filter(({ pool }) => spreadOf(pool) === spread)
      .map(({ name, pool }) =>
        pool.headline?.prediction === undefined ? name : `${name} ${percentLimits(pool.headline.prediction)}`,
      )
      .join('; ');
  const sentences: readonly (readonly [Spread, string])[] = [
    ['wide', 'Studies differ by more than the mean lets on. In 100 shoulders, the next study could show:'],
    ['near', 'The next study would be expected not far from the mean, in 100 shoulders:'],
    [
      'chance only',
      'The studies scatter no more than chance would make them, although a few studies cannot show that they agree. Expected in 100 shoulders of the next one:',
    ],
    ['unknown', 'Too few studies to say how much they differ, so no range is given for the next one:'],
  ];
  const lines = sentences.flatMap(([spread, opening]) => {
    const where = ranges(spread);
    return where === '' ? [] : [`${opening} ${where}.`];
  });
  return lines.length > 0 ? lines : ['No site has a pooled rate, so nothing is expected of the next study.'];
}

function spreadOf(pool: PooledRate): Spread {
  const { headline, twoStep } = pool;
  if (headline?.prediction === undefined) return 'unknown';
  if (twoStep.heterogeneity?.betweenStudyVariance === 0) return 'chance only';
  const width = ({ lower, upper }: { readonly lower: number; readonly upper: number }) => upper - lower;
  return width(headline.prediction) >= 2 * width(headline.interval) ? 'wide' : 'near';
}
