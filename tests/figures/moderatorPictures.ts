// Pictures of regressions and trade-offs, from invented numbers.
import type { Covariate } from '../../src/comparison/moderators/covariate.ts';
import { fitMetaRegression } from '../../src/comparison/moderators/fitMetaRegression.ts';
import { regressionLine } from '../../src/comparison/moderators/regressionLine.ts';
import { tradeOffBySite } from '../../src/comparison/multivariate/tradeOffBySite.ts';
import { estimateRates } from '../../src/effects/estimateRates.ts';
import { bubblePlot } from '../../src/figures/bubblePlot.ts';
import { tradeOffPlot } from '../../src/figures/tradeOffPlot.ts';
import { armsOf, comparison, deformityLines, invented } from './inventedPools.ts';

const both = (name: string, draw: (width: '90mm' | '190mm') => string) => ({
  [`${name}-90mm`]: () => draw('90mm'),
  [`${name}-190mm`]: () => draw('190mm'),
});

const share: Covariate = {
  id: 'share',
  name: 'Share with cuff repair',
  kind: 'continuous',
  unit: 'percentage point',
};
const lines = deformityLines.filter(([, site]) => site !== 'soft-tissue' && site !== 'unclassified');
const arms = armsOf(lines);
const { estimates } = estimateRates(arms, { scale: 'logit', zeroEvents: { addToEachCell: 0.5 } });
const rows = estimates.map((estimate, index) => ({
  estimate,
  covariates: { share: (index * 37) % 101, site: arms[index]!.site },
}));
const comparisonRows = comparison.estimates.map((estimate, index) => ({
  estimate,
  covariates: { year: 2005 + ((index * 7) % 18) },
}));
const year: Covariate = { id: 'year', name: 'Year of publication', kind: 'continuous' };
const pain = armsOf(
  lines.map(([label, site, , total], index) => [
    label,
    site,
    Math.round(total * (0.03 + 0.02 * ((index * 3) % 5))),
    total,
  ]),
).map((arm, index) => ({ ...arm, arm: arms[index]!.arm }));
const zeroEvents = { addToEachCell: 0.5 };
const trade = tradeOffBySite(
  { name: 'Cosmetic deformity', arms },
  { name: 'Groove pain', arms: pain },
  { zeroEvents, correlationWithinStudy: 0.3 },
);

export const moderatorPictures: Readonly<Record<string, () => string>> = {
  ...both('bubble-rates', (width) =>
    bubblePlot(regressionLine(fitMetaRegression(rows, [share]), 'share'), {
      width,
      title: 'Deformity against share with cuff repair',
      notice: invented,
    }),
  ),
  ...both('bubble-odds-ratio', (width) =>
    bubblePlot(regressionLine(fitMetaRegression(comparisonRows, [year]), 'year'), {
      width,
      notice: invented,
    }),
  ),
  ...both('bubble-nothing', (width) =>
    bubblePlot(regressionLine(fitMetaRegression([], [{ ...share }]), 'share'), { width, notice: invented }),
  ),
  ...both('trade-off', (width) =>
    tradeOffPlot(trade, { width, title: 'Deformity against groove pain', notice: invented }),
  ),
  ...both('trade-off-nothing', (width) =>
    tradeOffPlot(
      tradeOffBySite({ name: 'Cosmetic deformity', arms: [] }, { name: 'Groove pain', arms: [] }),
      { width, notice: invented },
    ),
  ),
};
