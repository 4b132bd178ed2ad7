// Every network picture that has a committed snapshot, from invented studies and from one published network.
import { answersOf } from '../../../src/answers/answersOf.ts';
import { layersOfEvidence } from '../../../src/answers/layersOfEvidence.ts';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../../src/comparison/network/networkFromCounts.ts';
import { rankTreatments } from '../../../src/comparison/network/rankTreatments.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import type { Transitivity } from '../../../src/comparison/network/transitivity.ts';
import { notReported } from '../../../src/extraction/reported.ts';
import { type PooledSite, pooledSites } from '../../../src/extraction/site.ts';
import { networkAgreement } from '../../../src/figures/networkAgreement.ts';
import { networkLayers } from '../../../src/figures/networkLayers.ts';
import { networkMap } from '../../../src/figures/networkMap.ts';
import { networkRanks } from '../../../src/figures/networkRanks.ts';
import { networkTransitivity } from '../../../src/figures/networkTransitivity.ts';
import { reviewOf } from '../../answers/reviewOf.ts';
import { armsOf, glucose } from '../../comparison/network/examples.ts';

export const notice = 'INVENTED DATA. For demonstration only.';

export const arms = armsOf([
  ['a', 'suprapectoral', 9, 44],
  ['a', 'tenotomy', 12, 46],
  ['b', 'suprapectoral', 2, 38],
  ['b', 'subpectoral', 3, 37],
  ['b', 'tenotomy', 9, 39],
  ['c', 'subpectoral', 1, 34],
  ['c', 'tenotomy', 11, 33],
  ['d', 'top-of-groove', 7, 120],
  ['d', 'suprapectoral', 6, 131],
  ['e', 'top-of-groove', 9, 140],
  ['e', 'subpectoral', 5, 144],
  ['f', 'suprapectoral', 7, 61],
  ['f', 'subpectoral', 3, 80],
]).map((arm) => (['a', 'b', 'c'].includes(arm.study) ? { ...arm, design: 'randomised trial' } : arm));

export const network = fitNetwork(networkFromCounts(arms).studies, { order: pooledSites });
export const splits = network.parts.flatMap((part) => splitNodes(part, network.options));
export const ranking = rankTreatments(network.parts[0]!, { better: 'lower', draws: 2000 });
// Four times the shoulders, so that not every answer is left open; the studies with two fixations are not randomised.
const counted = reviewOf(
  arms.map(({ study, site, events, total, design }) => ({
    study,
    site: site as PooledSite,
    events: 4 * events,
    total: 4 * total,
    design: design === 'randomised trial' ? design : 'retrospective cohort',
  })),
  {
    judgements: [...new Set(arms.map(({ study }) => study))].map((study) => ({
      study,
      tool: ['a', 'b', 'c'].includes(study) ? 'RoB 2' : 'ROBINS-I',
      judgement: 'low',
    })),
  },
);
export const layers = layersOfEvidence(answersOf(counted), 'groove-pain').layers;
const drugs = fitNetwork(glucose());
const parted = fitNetwork(
  networkFromCounts(
    armsOf([
      ['s', 'top-of-groove', 3, 50],
      ['s', 'suprapectoral', 5, 55],
      ['t', 'subpectoral', 4, 400],
      ['t', 'tenotomy', 6, 410],
    ]),
  ).studies,
  { order: pooledSites },
);
const pairs = pooledSites.flatMap((treatment, i) =>
  pooledSites.slice(i + 1).map((comparator) => ({ treatment, comparator })),
);
const points = (values: readonly (number | 'not reported')[]) =>
  values.map((value, i) => ({ study: `s${i}`, label: `Study ${i}`, shoulders: 40 + 60 * i, value }));
export const modifiers: Transitivity = {
  kind: 'transitivity',
  comparisons: pairs.map((pair, i) => ({ ...pair, studies: 1 + (i % 3) })),
  modifiers: (
    [
      ['age', 'Mean age', 'years', 50],
      ['year', 'Year', '', 2010],
      ['cuff', 'Cuff repaired', '% of shoulders', undefined],
    ] as const
  ).map(([id, name, unit, base]) => ({
    id,
    name,
    unit,
    spreadOfMeans: 3,
    comparisons: pairs.map((pair, i) => {
      const values = Array.from({ length: 1 + (i % 3) }, (_, s) =>
        base === undefined || (i + s) % 4 === 3 ? notReported : base + i + 2 * s,
      );
      const told = values.filter((value) => value !== notReported);
      return {
        ...pair,
        points: points(values),
        reported: told.length,
        mean: told.length > 0 ? told.reduce((a, b) => a + b, 0) / told.length : undefined,
        range: told.length > 0 ? ([Math.min(...told), Math.max(...told)] as const) : undefined,
      };
    }),
  })),
};

const both = (
  name: string,
  draw: (frame: { readonly width: '90mm' | '190mm'; readonly notice: string }) => string,
) => ({
  [`${name}-90mm`]: () => draw({ width: '90mm', notice }),
  [`${name}-190mm`]: () => draw({ width: '190mm', notice }),
});

export const networkPictures: Readonly<Record<string, () => string>> = {
  ...both('map', (frame) => networkMap(network, { ...frame, title: 'Studies that compare two sites' })),
  ...both('map-drugs', (frame) => networkMap(drugs, frame)),
  ...both('map-parted', (frame) => networkMap(parted, frame)),
  ...both('map-nothing', (frame) => networkMap(fitNetwork([]), frame)),
  ...both('ranks', (frame) => networkRanks(ranking, { ...frame, order: pooledSites })),
  ...both('agreement', (frame) => networkAgreement(network, { ...frame, splits, axisTitle: 'Odds ratio' })),
  ...both('agreement-differences', (frame) =>
    networkAgreement(drugs, { ...frame, allPairs: false, axisTitle: 'Difference' }),
  ),
  ...both('layers', (frame) => networkLayers(layers, frame)),
  ...both('transitivity', (frame) => networkTransitivity(modifiers, frame)),
};
