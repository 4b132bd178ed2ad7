import type { HomogeneityTest } from '../pooling/homogeneityTest.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { varianceEstimatorMethods } from '../pooling/varianceEstimatorMethods.ts';
import { levelHeading } from './ratesBySiteTable.ts';
import { percentDigits, percentLimits } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

/**
 * How much do the studies of each site differ beyond chance, and what would the next study show?
 *
 * Q, the between-study deviation and variance and I² are those of the two-step pool, on its scale. The likelihood ratio is
 * that of the one-step model, which takes all arms as counts, those without events too. The range for the next study is that
 * of the number that is told; where this comes from a model of the counts the model's own deviation stands too.
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
      {
        key: 'variance',
        heading: 'Between-study variance (standard error)',
        align: 'right',
        shownIn: 'page',
      },
      { key: 'share', heading: `I² (${level} interval)`, align: 'right', shownIn: 'page' },
      { key: 'ratio', heading: 'Likelihood ratio, all arms as counts (P)', align: 'right', shownIn: 'page' },
      ...(oneStep
        ? [{ key: 'own', heading: 'SD in the quoted model (log odds)', align: 'right' } as const]
        : []),
      { key: 'next', heading: `Next study per 100 (${level})`, align: 'right', shownIn: 'page' },
      ...[
        'q',
        'degrees_of_freedom',
        'p',
        'between_study_variance',
        'between_study_variance_standard_error',
        'log_likelihood',
        'likelihood_ratio',
        'likelihood_ratio_p',
        'i_squared',
        'h_squared',
        'one_step_between_study_sd',
        'one_step_between_study_sd_standard_error',
        'one_step_log_likelihood',
        'one_step_likelihood_ratio',
        'one_step_likelihood_ratio_p',
        'one_step_mean_of_studies',
      ].map((key) => ({
        key,
        heading: key,
        shownIn: 'file' as const,
      })),
    ],
    sources: pools.sites.map(({ pool }) => pool.twoStep.estimates.flatMap(({ rows }) => rows)),
    rows: pools.sites.map(({ name, pool }): TableRow => {
      const { heterogeneity, estimates } = pool.twoStep;
      const next = pool.headline?.prediction;
      const model = pool.oneStep;
      const common = {
        site: name,
        arms: estimates.length,
        ...(oneStep && isOneStep(pool) ? { own: model.betweenStudyDeviation?.toFixed(2) } : {}),
        next: next === undefined ? 'not given' : percentLimits(next),
        ratio: pool.arms.length < 2 ? undefined : ratioText(model.likelihoodRatio),
        one_step_between_study_sd: model.betweenStudyDeviation,
        one_step_between_study_sd_standard_error: model.deviationStandardError,
        one_step_log_likelihood: model.logLikelihood,
        one_step_likelihood_ratio: model.likelihoodRatio?.statistic,
        one_step_likelihood_ratio_p: model.likelihoodRatio?.pValue,
        one_step_mean_of_studies: model.meanOfStudies?.rate,
      };
      if (heterogeneity === undefined) return { ...common, scatter: 'needs two arms' };
      const variance = heterogeneity.betweenStudyVarianceInterval;
      const share = heterogeneity.iSquaredInterval;
      const error = heterogeneity.betweenStudyVarianceStandardError;
      return {
        ...common,
        scatter: `${heterogeneity.q.toFixed(1)} (${heterogeneity.degreesOfFreedom})`,
        pText: pValueText(heterogeneity.pValue),
        deviation: Math.sqrt(heterogeneity.betweenStudyVariance).toFixed(2),
        variance: `${heterogeneity.betweenStudyVariance.toFixed(2)}${error === undefined ? '' : ` (${error.toFixed(2)})`}`,
        deviationInterval:
          variance === undefined
            ? 'none fits'
            : `${Math.sqrt(variance.lower).toFixed(2)} to ${Math.sqrt(variance.upper).toFixed(2)}`,
        share: `${Math.round(100 * heterogeneity.iSquared)}% (${Math.round(100 * share.lower)} to ${Math.round(100 * share.upper)})`,
        q: heterogeneity.q,
        degrees_of_freedom: heterogeneity.degreesOfFreedom,
        p: heterogeneity.pValue,
        between_study_variance: heterogeneity.betweenStudyVariance,
        between_study_variance_standard_error: error,
        log_likelihood: heterogeneity.logLikelihood,
        likelihood_ratio: heterogeneity.likelihoodRatio?.statistic,
        likelihood_ratio_p: heterogeneity.likelihoodRatio?.pValue,
        i_squared: heterogeneity.iSquared,
        h_squared: heterogeneity.hSquared,
      };
    }),
    notes: [
      ...belongingNotes(pools),
      'I² is the share of the scatter beyond chance, not the size of the differences; the range for the next study shows that.',
      'The likelihood ratio asks whether the studies share one rate. Its P value, like that of Q, says nothing of how much they differ, and with few studies it misses much.',
    ],
  });
}

const ratioText = (test: HomogeneityTest | undefined): string =>
  test === undefined ? 'no answer' : `${test.statistic.toFixed(1)} (${pValueText(test.pValue)})`;
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
