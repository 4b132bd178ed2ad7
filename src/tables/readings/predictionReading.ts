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
  const priors = pooled.find(({ pool }) => pool.quoted?.predictionPriors !== undefined)?.pool.quoted
    ?.predictionPriors;
  if (priors !== undefined)
    lines.push(
      `These ranges take in how uncertain the spread between studies is: they come from a posterior with ${priors}, whatever method the rate is quoted by.`,
    );
  return lines.length > 0 ? lines : ['No site has a pooled rate, so nothing is expected of the next study.'];
}

function spreadOf(pool: PooledRate): Spread {
  const { headline, twoStep, oneStep } = pool;
  if (headline?.prediction === undefined) return 'unknown';
  const deviation =
    headline.basis === 'one-step'
      ? oneStep.betweenStudyDeviation
      : twoStep.heterogeneity?.betweenStudyVariance;
  if (deviation === 0) return 'chance only';
  const width = ({ lower, upper }: { readonly lower: number; readonly upper: number }) => upper - lower;
  return width(headline.prediction) >= 2 * width(headline.interval) ? 'wide' : 'near';
}
