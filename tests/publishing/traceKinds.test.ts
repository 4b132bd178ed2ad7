// Every kind of result the notebooks keep carries its rows, and only rows that exist.
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { rowKey } from '../../src/extraction/trace/traceOf.ts';
import {
  armModerators,
  certaintyOfReview,
  compareMethods,
  comparePairs,
  contrastSingleArms,
  cumulativePool,
  estimateMeans,
  estimateRates,
  estimateScoreContrasts,
  fitMetaRegression,
  fitNetwork,
  flowCounts,
  missingBounds,
  moderatorRows,
  networkFromCounts,
  penalisedNetwork,
  poolBySite,
  poolEstimates,
  pooledSites,
  poolOneArm,
  posteriorBinomialNormal,
  priorSensitivity,
  protocolOptions,
  type Review,
  readReviewFolder,
  regressArms,
  reviewRows,
  selectEvents,
  selectScores,
  studyQuality,
  traceOf,
  tradeOffBySite,
  usualDeviationPriors,
  whatWouldChange,
} from '../../src/index.ts';
import { projectRoot } from './helpers/runScript.ts';

let review: Review;
let lines: ReadonlySet<string>;
let kinds: Readonly<Record<string, () => unknown>>;

beforeAll(async () => {
  const reading = await readReviewFolder(join(projectRoot, 'data-extraction/demo'));
  review = reading.review!;
  lines = new Set(reviewRows(review).map(({ row }) => rowKey(row)));
  const selection = selectEvents(review, 'cosmetic-deformity');
  const options = protocolOptions(review.protocol, selection.outcome);
  const pools = poolBySite(selection.arms, options);
  const pool = pools.sites.find(({ site }) => site === 'tenotomy')!.pool;
  const { zeroEvents = 'leave-out', level = 0.95 } = options;
  const arms = selection.arms.filter(({ site }) => pooledSites.some((each) => each === site));
  const rates = estimateRates(arms, { scale: 'logit', zeroEvents });
  const regressionRows = moderatorRows(review, arms, rates.estimates);
  const network = () => {
    const { studies, leftOut } = networkFromCounts(selection.arms, { zeroEvents });
    return fitNetwork(studies, { level, leftOut, order: pooledSites });
  };
  const scores = selectScores(review, 'pain');
  const pain = scores.arms.filter(({ scale }) => scale === 'pain-vas');
  kinds = {
    'event selection': () => selection,
    'score selection': () => scores,
    estimates: () => rates,
    'pooled rate': () => pool,
    'site pools': () => pools,
    'pooled result': () => pool.twoStep,
    'pooled means': () =>
      poolEstimates(estimateMeans(pain, { scale: 'pain-vas' }).estimates, { scale: 'plain' }),
    'score contrasts': () =>
      estimateScoreContrasts(pain, { treated: 'suprapectoral', comparator: 'tenotomy', scale: 'pain-vas' }),
    'one-arm fit': () => poolOneArm(pool.arms, { method: 'binomial-normal-logit', level }),
    'methods compared': () => compareMethods(pool.arms, options),
    posterior: () => posteriorBinomialNormal(pool.arms, { level }),
    'prior sensitivity': () => priorSensitivity(pool.arms, usualDeviationPriors, { level }),
    'pairs of sites': () => comparePairs(selection.arms),
    'single arms against single arms': () => contrastSingleArms(pools),
    network,
    'network of counts': () => penalisedNetwork(selection.arms, { level, order: pooledSites }),
    'meta-regression': () =>
      fitMetaRegression(regressionRows, [armModerators.cuffRepair.covariate], { level }),
    'regression of arms': () => regressArms(regressionRows, [armModerators.site.covariate], { level }),
    'trade-off': () =>
      tradeOffBySite(
        { name: 'a', arms },
        { name: 'b', arms: selectEvents(review, 'groove-pain').arms },
        { level },
      ),
    'what would change': () => whatWouldChange(pool, { exhaustiveUpTo: 2 }),
    cumulative: () => cumulativePool(pool.twoStep.estimates, { by: () => 1, byName: 'year' }, {}),
    'missing bounds': () => missingBounds(review, 'cosmetic-deformity', 'tenotomy', options),
    quality: () => studyQuality(review),
    'certainty rating': () =>
      certaintyOfReview(review, { kind: 'rate', outcome: 'cosmetic-deformity', site: 'tenotomy' }),
    flow: () => flowCounts(review.flow, review.studies),
  };
});

/** Kinds that keep no address of their own: their page names the rows of what they were made from. */
const silent = ['prior sensitivity', 'network of counts'];

describe('every kind of result', () => {
  it('is traced to rows that exist, or is known to carry none', () => {
    const without: string[] = [];
    for (const [kind, make] of Object.entries(kinds)) {
      const { rows, leftOut } = traceOf(make());
      if (rows.length === 0) without.push(kind);
      for (const row of [...rows, ...leftOut.map((left) => left.row)])
        expect(lines.has(rowKey(row)), `${kind} ${rowKey(row)}`).toBe(true);
      const keys = rows.map(rowKey);
      expect(new Set(keys).size, kind).toBe(keys.length);
    }
    expect(without).toEqual(silent);
  });

  it('names the same rows for one pool, whatever is asked of it', () => {
    const own = traceOf(kinds['pooled rate']!()).rows.map(rowKey);
    expect(traceOf(kinds['pooled result']!()).rows.map(rowKey)).toEqual(own);
    expect(traceOf(kinds['methods compared']!()).rows.map(rowKey)).toEqual(own);
    expect(traceOf(kinds['what would change']!()).rows.map(rowKey)).toEqual(own);
  });
});
