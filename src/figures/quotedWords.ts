import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { estimandLabels, estimandWords } from '../pooling/quoted/estimandWords.ts';
import { derSimonianLairdBeside } from '../pooling/quoteSites.ts';
import { type ForestBeside, summaryLabels } from './forestModel.ts';

/** What the row of the told rate is called, and what it is a number of. */
export function toldAs({ quoted, headline }: PooledRate): {
  readonly label: string;
  readonly meaning: string;
} {
  if (quoted === undefined)
    return {
      label: headline?.basis === 'exact' ? summaryLabels.pooledExact : summaryLabels.pooled,
      meaning: 'pooled rate',
    };
  return { label: estimandLabels[quoted.estimand], meaning: estimandWords[quoted.estimand] };
}

/**
 * What stands under the told rate: DerSimonian-Laird wherever it is not told itself and has an answer, the mean of the
 * studies where it is; under a pool that nobody quotes from, the one-step model as a check.
 */
export function besideTold(pool: PooledRate): readonly ForestBeside[] {
  const { quoted, oneStep, headline } = pool;
  if (quoted === undefined)
    return oneStep.rate === undefined || headline?.basis === 'exact'
      ? []
      : [
          {
            label: summaryLabels.check,
            meaning: 'one-step model, as a check',
            estimate: oneStep.rate,
            interval: oneStep.interval,
          },
        ];
  const row = (label: string, other: PooledRate['quoted'] | ReturnType<typeof derSimonianLairdBeside>) =>
    other?.rate === undefined
      ? []
      : [{ label, meaning: other.methodName, estimate: other.rate, interval: other.interval }];
  const told = quoted.method.startsWith('dersimonian-laird');
  return [
    ...row(summaryLabels.derSimonianLaird, derSimonianLairdBeside(pool)),
    ...(told
      ? row(
          estimandLabels['mean of studies'],
          quoted.others.find(({ estimand }) => estimand === 'mean of studies'),
        )
      : []),
  ];
}

/** What the told rates of a picture are, for its notes: "the mean over studies of their rates; one series: …". */
export function toldKey(sites: readonly Pick<SitePools['sites'][number], 'pool'>[]): string {
  const told = sites.flatMap(({ pool }) => (pool.headline === undefined ? [] : [pool]));
  if (told.every(({ quoted }) => quoted === undefined)) return 'pooled rate with its interval';
  const meanings = [...new Set(told.map((pool) => toldAs(pool).meaning))];
  return `quoted rate with its interval: ${meanings.join(', or ')}`;
}
