// Every picture that has a committed snapshot.
import { forestPlot } from '../../src/figures/forestPlot.ts';
import { funnelPlot } from '../../src/figures/funnelPlot.ts';
import { sitesOverview } from '../../src/figures/sitesOverview.ts';
import { comparison, deformity, invented, nasty, revision, words } from './inventedPools.ts';
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
  ...Object.assign({}, ...Object.entries(robustnessPictures).map(([name, draw]) => both(name, draw))),
};
