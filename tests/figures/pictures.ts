// Every picture that has a committed snapshot.
import { coverageRows } from '../../src/figures/coverageRows.ts';
import { forestPlot } from '../../src/figures/forestPlot.ts';
import { funnelPlot } from '../../src/figures/funnelPlot.ts';
import { intervalRows } from '../../src/figures/intervalRows.ts';
import { peopleGrid } from '../../src/figures/peopleGrid.ts';
import { sitesOverview } from '../../src/figures/sitesOverview.ts';
import { peopleOfPools } from '../../src/tables/plainWords/peopleOfPools.ts';
import { agreementPictures } from './agreementPictures.ts';
import { certaintyPictures } from './certaintyPictures.ts';
import { changePictures } from './changePictures.ts';
import { flowPictures } from './flowPictures.ts';
import {
  comparison,
  deformity,
  invented,
  nasty,
  quoted,
  quotedPair,
  revision,
  words,
} from './inventedPools.ts';
import { moderatorPictures } from './moderatorPictures.ts';
import { picturesOfChoices } from './picturesOfChoices.ts';

const limits = (lower: number, upper: number) => ({ lower, upper, level: 0.95 });

import { robustnessPictures } from './robustnessPictures.ts';

const both = (name: string, draw: (width: '90mm' | '190mm') => string) => ({
  [`${name}-90mm`]: () => draw('90mm'),
  [`${name}-190mm`]: () => draw('190mm'),
});

export const pictures: Readonly<Record<string, () => string>> = {
  ...both('forest-deformity', (width) =>
    forestPlot(deformity, {
      width,
      title: 'Cosmetic deformity by fixation site',
      subtitle: 'Seen by the examiner, 12 months or later',
      notice: invented,
    }),
  ),
  ...both('forest-revision', (width) =>
    forestPlot(revision, { width, title: 'Revision for any cause by fixation site', notice: invented }),
  ),
  ...both('forest-quoted', (width) =>
    forestPlot(quoted.revision, { width, title: 'Revision by fixation site, as quoted', notice: invented }),
  ),
  ...both('forest-quoted-pair', (width) =>
    forestPlot(quotedPair, {
      width,
      title: 'Revision: subpectoral against tenotomy',
      notice: invented,
      words: { treated: 'Subpectoral', comparator: 'Tenotomy' },
    }),
  ),
  ...both('funnel-quoted', (width) =>
    funnelPlot(quoted.revision, { width, title: 'Revision: small and large arms', notice: invented }),
  ),
  ...both('overview-quoted', (width) =>
    sitesOverview(
      [
        { outcome: 'Cosmetic deformity', pools: quoted.deformity },
        { outcome: 'Revision for any cause', pools: quoted.revision },
      ],
      { width, notice: invented },
    ),
  ),
  ...both('forest-odds-ratio', (width) =>
    forestPlot(comparison, {
      width,
      words,
      title: 'Deformity: tenodesis against tenotomy',
      notice: invented,
    }),
  ),
  ...both('forest-many', (width) => forestPlot(nasty.many, { width, sort: 'size', notice: invented })),
  ...both('forest-long-names', (width) => forestPlot(nasty.longNames, { width, notice: invented })),
  ...both('forest-no-events', (width) => forestPlot(nasty.noEvents, { width, notice: invented })),
  ...both('forest-one-arm', (width) => forestPlot(nasty.oneArm, { width, notice: invented })),
  ...both('forest-all-events', (width) => forestPlot(nasty.allEvents, { width, notice: invented })),
  ...both('forest-nothing', (width) => forestPlot(nasty.nothing, { width, notice: invented })),
  ...both('forest-wide-ratios', (width) => forestPlot(nasty.wideRatios, { width, words, notice: invented })),
  ...both('forest-logit-axis', (width) =>
    forestPlot(revision, { width, spacing: 'logit', title: 'Revision, even log odds', notice: invented }),
  ),
  ...both('funnel-odds-ratio', (width) =>
    funnelPlot(comparison, { width, words, title: 'Deformity: small and large studies', notice: invented }),
  ),
  ...both('funnel-rates', (width) =>
    funnelPlot(deformity, { width, title: 'Deformity: small and large arms', notice: invented }),
  ),
  ...both('funnel-one-site', (width) =>
    funnelPlot(nasty.many.sites[3]!.pool, {
      width,
      title: 'Tenotomy: small and large arms',
      notice: invented,
    }),
  ),
  ...both('funnel-wide-ratios', (width) => funnelPlot(nasty.wideRatios, { width, words, notice: invented })),
  ...both('funnel-nothing', (width) => funnelPlot(nasty.nothing, { width, notice: invented })),
  ...both('overview', (width) =>
    sitesOverview(
      [
        { outcome: 'Cosmetic deformity', detail: 'Seen by the examiner', pools: deformity },
        { outcome: 'Revision for any cause', pools: revision },
        { outcome: 'Groove pain', detail: 'Reported nowhere', pools: nasty.nothing },
      ],
      { width, notice: invented },
    ),
  ),
  ...both('people-deformity', (width) =>
    peopleGrid(peopleOfPools(deformity), {
      width,
      title: 'Cosmetic deformity, seen as people',
      notice: invented,
      notes: [deformity.notAComparison],
    }),
  ),
  ...both('people-rare', (width) =>
    peopleGrid(peopleOfPools(revision), { width, title: 'Revision, seen as people', notice: invented }),
  ),
  ...both('people-nasty', (width) =>
    peopleGrid(
      [
        ...peopleOfPools(nasty.nothing).slice(0, 1),
        {
          name: '<img onerror=alert(1)> and a name far too long for the room there is for it',
          people: { base: 100, filled: 100, upTo: 100 },
          lines: ['all of 40', 'the true rate may be as low as 91 in 100'],
        },
        { name: 'None', people: { base: 100, filled: 0, upTo: 9 }, lines: ['none of 40'] },
        { name: 'No words', people: { base: 1000, filled: 0, upTo: 0 }, lines: [] },
        {
          name: 'Fifth',
          site: 'soft-tissue',
          people: { base: 100, filled: 3, upTo: 5 },
          lines: ['about 3 in 100'],
        },
      ],
      { width, notice: invented },
    ),
  ),
  ...picturesOfChoices,
  ...agreementPictures,
  ...changePictures,
  ...certaintyPictures,
  ...both('interval-rows-rates', (width) =>
    intervalRows(
      [
        {
          heading: 'Interval for the mean',
          rows: [
            {
              label: 'Wald',
              chosen: true,
              value: 0.21,
              interval: limits(0.157, 0.279),
              prediction: limits(0.07, 0.48),
            },
            {
              label: 'Truncated Hartung-Knapp',
              detail: 'never narrower',
              value: 0.21,
              interval: limits(0.15, 0.29),
            },
          ],
        },
        {
          heading: 'Names are text',
          rows: [
            {
              label: '<img onerror=alert(1)> and a name far too long for the room there is for it',
              value: 0.2,
            },
            { label: 'No answer', detail: 'no events', value: undefined },
          ],
        },
      ],
      {
        width,
        title: 'One question, several methods',
        notice: invented,
        reference: 0.21,
        referenceMeaning: "the protocol's answer",
      },
    ),
  ),
  ...both('interval-rows-ratios', (width) =>
    intervalRows(
      [{ heading: 'Odds ratio', rows: [{ label: 'Peto', value: 0.4, interval: limits(0.001, 90) }] }],
      { width, values: 'ratio', axisTitle: 'Odds ratio', reference: 1, notice: invented },
    ),
  ),
  ...both('interval-rows-points', (width) =>
    intervalRows(
      [
        {
          heading: '0 to 100, higher is better',
          rows: [
            { label: 'Subpectoral', value: 84, interval: limits(80.7, 87.3), prediction: limits(72.7, 95.3) },
            { label: 'Tenotomy', value: 84.5, interval: limits(82.2, 86.9) },
          ],
        },
      ],
      { width, values: 'points', axisTitle: 'Points', notice: invented },
    ),
  ),
  ...both('coverage-rows', (width) =>
    coverageRows(
      (['wald', 'student-t', 'hartung-knapp', 'truncated-hartung-knapp'] as const).flatMap(
        (interval, index) =>
          [3, 20].map((studies) => ({
            betweenStudyVariance: 'dersimonian-laird' as const,
            interval,
            studies,
            iSquared: 0.9,
            sizes: 'equal' as const,
            reviews: 1000,
            level: 0.95,
            coverage: 0.83 + 0.05 * index - (studies === 20 ? 0.005 * index : 0),
            monteCarloError: 0.01,
          })),
      ),
      { width, notice: invented },
    ),
  ),
  ...Object.assign({}, ...Object.entries(robustnessPictures).map(([name, draw]) => both(name, draw))),
  ...moderatorPictures,
  ...Object.assign({}, ...Object.entries(flowPictures).map(([name, draw]) => both(name, draw))),
};
