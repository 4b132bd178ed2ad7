import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { varianceEstimatorMethods } from '../pooling/varianceEstimatorMethods.ts';
import { levelHeading } from './ratesBySiteTable.ts';
import { percentDigits, percentLimits } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

/**
 * How much do the studies of each site differ beyond chance, and what would the next study show?
 *
 * Q, the between-study deviation and I² are those of the two-step pool, on its scale; the range for the next study is
 * that of the number that is told, and where this comes from a model of the counts the model's own deviation stands too.
 */
export function heterogeneityTable(pools: SitePools, options: { readonly caption?: string } = {}): Table {
  const level = levelHeading(pools.sites[0]?.pool.options.level ?? 0.95);
  const scale = pools.sites[0]?.pool.options.scale ?? 'logit';
  const oneStep = pools.sites.some(({ pool }) => pool.quoted !== undefined && isOneStep(pool));
  return table({
    caption: options.caption ?? 'How much studies differ at each site',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'arms', heading: 'Arms pooled', align: 'right' },
      { key: 'scatter', heading: 'Q (degrees of freedom)', align: 'right', shownIn: 'page' },
      { key: 'pText', heading: 'P', align: 'right', shownIn: 'page' },
      { key: 'deviation', heading: `Between-study SD (${scale} scale)`, align: 'right', shownIn: 'page' },
      { key: 'deviationInterval', heading: `${level} interval`, align: 'right', shownIn: 'page' },
      { key: 'share', heading: `I² (${level} interval)`, align: 'right', shownIn: 'page' },
      ...(oneStep
        ? [{ key: 'own', heading: 'SD in the quoted model (log odds)', align: 'right' } as const]
        : []),
      { key: 'next', heading: `Next study per 100 (${level})`, align: 'right', shownIn: 'page' },
      ...['q', 'degrees_of_freedom', 'p', 'between_study_variance', 'i_squared', 'h_squared'].map((key) => ({
        key,
        heading: key,
        shownIn: 'file' as const,
      })),
    ],
    sources: pools.sites.map(({ pool }) => pool.twoStep.estimates.flatMap(({ rows }) => rows)),
    rows: pools.sites.map(({ name, pool }): TableRow => {
      const { heterogeneity, estimates } = pool.twoStep;
      const next = pool.headline?.prediction;
      const common = {
        site: name,
        arms: estimates.length,
        ...(oneStep && isOneStep(pool) ? { own: pool.oneStep.betweenStudyDeviation?.toFixed(2) } : {}),
        next: next === undefined ? 'not given' : percentLimits(next),
      };
      if (heterogeneity === undefined) return { ...common, scatter: 'needs two arms' };
      const variance = heterogeneity.betweenStudyVarianceInterval;
      const share = heterogeneity.iSquaredInterval;
      return {
        ...common,
        scatter: `${heterogeneity.q.toFixed(1)} (${heterogeneity.degreesOfFreedom})`,
        pText: pValueText(heterogeneity.pValue),
        deviation: Math.sqrt(heterogeneity.betweenStudyVariance).toFixed(2),
        deviationInterval:
          variance === undefined
            ? 'none fits'
            : `${Math.sqrt(variance.lower).toFixed(2)} to ${Math.sqrt(variance.upper).toFixed(2)}`,
        share: `${Math.round(100 * heterogeneity.iSquared)}% (${Math.round(100 * share.lower)} to ${Math.round(100 * share.upper)})`,
        q: heterogeneity.q,
        degrees_of_freedom: heterogeneity.degreesOfFreedom,
        p: heterogeneity.pValue,
        between_study_variance: heterogeneity.betweenStudyVariance,
        i_squared: heterogeneity.iSquared,
        h_squared: heterogeneity.hSquared,
      };
    }),
    notes: [
      ...belongingNotes(pools),
      'I² is the share of the scatter beyond chance, not the size of the differences; the range for the next study shows that.',
    ],
  });
}

const isOneStep = ({ headline, arms }: PooledRate): boolean =>
  headline?.basis === 'one-step' && arms.length > 1;

/** To which number each column belongs, where something else is quoted than the two-step pool. */
function belongingNotes({ sites }: SitePools): readonly string[] {
  const quoted = sites.flatMap(({ pool }) => pool.quoted ?? []);
  const first = sites[0]?.pool.twoStep.options;
  if (quoted.length === 0 || first === undefined) return [];
  const { name } = varianceEstimatorMethods[first.betweenStudyVariance];
  const priors = quoted.find(({ predictionPriors }) => predictionPriors !== undefined)?.predictionPriors;
  return [
    `Arms pooled, Q, between-study SD and I² belong to the two-step pool (${name}), which stands beside the quoted rate.${priors === undefined ? '' : ` The next study’s range goes with the quoted rate: it is that of a posterior with ${priors}.`}`,
  ];
}

/** A P value as printed: three decimals, two from 0.1 up, and never a bare 0 or 1. */
export function pValueText(p: number): string {
  if (p < 0.001) return '<0.001';
  if (p > 0.99) return '>0.99';
  return p.toFixed(p < 0.0995 ? 3 : 2);
}

/** A share of one as whole per cent for prose. */
export function sharePercent(share: number): string {
  return `${percentDigits(share)}%`;
}
