// Pictures of influence, subsets and small studies, from the invented pools.
import { cumulativePlot } from '../../src/figures/cumulative.ts';
import { influencePull } from '../../src/figures/influencePull.ts';
import { influenceRows } from '../../src/figures/influenceRows.ts';
import { radialPlot } from '../../src/figures/radialPlot.ts';
import { subsetCloudPlot } from '../../src/figures/subsetCloud.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { cumulativePool } from '../../src/robustness/influence/cumulative.ts';
import { influence } from '../../src/robustness/influence/influence.ts';
import { leaveOneOut } from '../../src/robustness/influence/leaveOneOut.ts';
import { subsetCloud } from '../../src/robustness/subsets/subsetCloud.ts';
import { comparison, invented, nasty, oddsRatios, pairs, revision } from './inventedPools.ts';

const rates = nasty.many.sites[3]!.pool.twoStep.estimates;
/** The six trials, and one that says the opposite. */
const outlying = oddsRatios([
  ...pairs,
  ['Grenaa Bay 2022', 40, 90, 18, 92],
  ['Mirefield 2023', 9, 80, 24, 81],
]);
const ratios = outlying.estimates;
const none = poolEstimates([], { scale: 'logit' });

type Draw = (width: '90mm' | '190mm') => string;

export const robustnessPictures: Readonly<Record<string, Draw>> = {
  'influence-pull': (width) => influencePull(influence(ratios), { width, notice: invented }),
  'influence-pull-rates': (width) => influencePull(influence(rates), { width, notice: invented }),
  'influence-pull-nothing': (width) =>
    influencePull(influence([], { scale: 'logit' }), { width, notice: invented }),
  'influence-rows': (width) => influenceRows(leaveOneOut(ratios), { width, notice: invented }),
  'influence-rows-rates': (width) =>
    influenceRows(leaveOneOut(rates, { interval: 'hartung-knapp' }), { width, notice: invented }),
  'cumulative-year': (width) =>
    cumulativePlot(
      cumulativePool(ratios, { by: ({ label }) => Number(/\d{4}/.exec(label)?.[0]), byName: 'year' }),
      { width, notice: invented },
    ),
  'cumulative-precision': (width) =>
    cumulativePlot(cumulativePool(rates, 'precision'), { width, notice: invented }),
  'cloud-ratios': (width) => subsetCloudPlot(subsetCloud(ratios), { width, notice: invented }),
  'cloud-rates': (width) => subsetCloudPlot(subsetCloud(rates), { width, notice: invented }),
  'cloud-sample': (width) =>
    subsetCloudPlot(subsetCloud(rates, { sample: { subsets: 3000, seed: 1 } }), {
      width,
      study: 0,
      notice: invented,
    }),
  'cloud-two': (width) =>
    subsetCloudPlot(subsetCloud(comparison.estimates.slice(0, 2)), { width, notice: invented }),
  'radial-ratios': (width) => radialPlot(outlying, { width, notice: invented }),
  'radial-rates': (width) =>
    radialPlot(revision.sites[3]!.pool.twoStep, {
      width,
      title: 'Revision after tenotomy',
      notice: invented,
    }),
  'radial-nothing': (width) => radialPlot(none, { width, notice: invented }),
};
