import { checkCount } from '../../effects/checkCount.ts';
import type { Caution } from '../caution.ts';
import { binomialPosterior, meanTable, nextTable, studyTable } from './binomialPosterior.ts';
import { weaklyInformativeLogitMean } from './meanPrior.ts';
import { describePriors, percentOf, posteriorCautions, undefinedMoments } from './posteriorCautions.ts';
import { type PosteriorOptions, resolvePosteriorOptions } from './posteriorOptions.ts';
import { posteriorProperties } from './posteriorProperties.ts';
import type {
  PosteriorBinomialNormal,
  PosteriorNumerics,
  PosteriorRefused,
  PosteriorSummary,
  StudyCount,
  StudyRate,
} from './posteriorResult.ts';
import { type Moments, rateSummary, summarise, weightedMoments, withDensity } from './posteriorSummary.ts';
import { expectationOf, type TabulatedDensity } from './tabulatedDensity.ts';

/** The two rules of integration may differ by this much. */
export const binomialNormalTolerance = 1e-5;

/**
 * Given events out of totals and stated priors, what is the rate at the median hospital, at the next hospital,
 * and at each of these?
 *
 * x ~ binomial(n, logit⁻¹(θ)), θ ~ normal(μ, τ²), exactly: no correction at zero events and no normal
 * approximation of any study. μ and τ are integrated out by deterministic quadrature in both directions, and each
 * study's θ inside: no sampling, the same answer every time. Intervals are equal-tailed.
 *
 * Default priors: the mean normal with mean 0 and standard deviation 2.5 on the logit scale (see
 * {@link weaklyInformativeLogitMean} for why); the between-study standard deviation half-normal with scale 1 on
 * the logit scale, twice the scale proposed for log odds ratios (Röver et al. 2021), since single-arm rates differ
 * more than comparisons do.
 *
 * With no events anywhere the prior of the mean decides how low the rate can be: there is an answer under a
 * proper prior, with a caution, and a refusal under a flat one.
 *
 * Source: Spiegelhalter DJ, Abrams KR, Myles JP. Bayesian Approaches to Clinical Trials and Health-Care
 * Evaluation, 2004, section 3.17 (hierarchical models for counts) and chapter 7.
 *
 * @param counts one row an arm, rates of one outcome at one site
 * @returns the posterior, or a refusal with its reason when there is nothing to pool or the posterior is improper
 * @throws RangeError for unknown options or a count that is not whole, below 0, or above its total
 *
 * @example
 * posteriorBinomialNormal(arms, { deviationPrior: { kind: 'half-normal', scale: 1 } })
 */
export function posteriorBinomialNormal(
  counts: readonly StudyCount[],
  options: PosteriorOptions = {},
): PosteriorBinomialNormal | PosteriorRefused {
  for (const row of counts) checkCount(row, row.label);
  const resolved = resolvePosteriorOptions(
    options,
    { deviationPrior: { kind: 'half-normal', scale: 1 }, meanPrior: weaklyInformativeLogitMean },
    'logit',
  );
  const { deviationPrior, meanPrior, level } = resolved;
  const events = counts.reduce((sum, row) => sum + row.events, 0);
  const total = counts.reduce((sum, row) => sum + row.total, 0);
  const refuse = (code: PosteriorRefused['code'], reason: string, cautions: Caution[] = []) =>
    ({
      kind: 'posterior-refused',
      status: 'refused',
      model: 'binomial-normal',
      code,
      reason,
      options: resolved,
      estimates: [],
      counts,
      cautions,
    }) as const satisfies PosteriorRefused;
  if (counts.length === 0) return refuse('nothing-to-pool', 'There are no counts to pool.');
  const extreme = extremeCaution(events, total, meanPrior.kind === 'normal');
  if (extreme && meanPrior.kind === 'flat') {
    return refuse(
      'mean-not-identified',
      `${events === 0 ? 'No event was' : 'Only events were'} seen in any arm: under a flat prior of the mean the logit runs off without end and there is no posterior. Give the mean a proper prior, or read the exact limit over the combined shoulders.`,
      [extreme],
    );
  }
  const informative = counts.filter((row) => row.events > 0 && row.events < row.total).length;
  const properties = posteriorProperties(informative, deviationPrior, meanPrior);
  if (!properties.proper) {
    return refuse(
      'posterior-not-proper',
      `With ${describePriors(deviationPrior, meanPrior)}, ${informative} of ${counts.length} arms having both events and non-events, the posterior is improper: give the between-study standard deviation a proper prior.`,
      extreme ? [extreme] : [],
    );
  }

  const posterior = binomialPosterior(counts, deviationPrior, meanPrior, properties.deviationMoments);
  const { nodes, density: deviationTable } = posterior.deviation;
  const weights = nodes.map((node) => node.weight);
  const sliceMeans = nodes.map((node) => node.payload.mean);
  const spread = (withTau: boolean): Moments => {
    const existing = meanPrior.kind === 'normal' && !withTau ? 2 : properties.deviationMoments;
    const between = weightedMoments(sliceMeans, weights, 2);
    let within = 0;
    nodes.forEach((node, index) => {
      within += weights[index]! * (node.payload.deviation ** 2 + (withTau ? node.deviation ** 2 : 0));
    });
    return {
      mean: existing >= 1 ? between.mean : undefined,
      deviation: existing >= 2 ? Math.sqrt(between.deviation! ** 2 + within) : undefined,
    };
  };
  const mean = withDensity(meanTable(posterior), spread(false), level);
  const prediction = withDensity(nextTable(posterior), spread(true), level);
  const betweenStudyDeviation = withDensity(
    deviationTable,
    weightedMoments(
      nodes.map((node) => node.deviation),
      weights,
      properties.deviationMoments,
    ),
    level,
  );
  const numerics: PosteriorNumerics = {
    deviationNodes: nodes.length,
    disagreement: posterior.disagreement,
    tolerance: binomialNormalTolerance,
    agreed: posterior.disagreement <= binomialNormalTolerance,
  };
  const studies = new Set(counts.map((row) => row.study)).size;
  return {
    kind: 'posterior-binomial-normal',
    status: 'computed',
    options: resolved,
    studies,
    counts,
    events,
    total,
    mean,
    betweenStudyDeviation,
    prediction,
    rate: rateSummary(mean.density, mean),
    nextRate: rateSummary(prediction.density, prediction),
    studyRates: resolved.studyEffects
      ? counts.map((row, index) =>
          studyRate(row, studyTable(posterior, index), properties.deviationMoments, level),
        )
      : [],
    numerics,
    cautions: [
      ...(extreme ? [extreme] : []),
      ...posteriorCautions({
        studies,
        rows: counts.length,
        informative,
        deviationPrior,
        betweenStudyDeviation,
        momentsUndefined: undefinedMoments({
          'the mean logit': mean,
          'the between-study standard deviation': betweenStudyDeviation,
          'the logit at the next hospital': prediction,
        }),
        numerics,
      }),
    ],
    methodsSentence: `Events were pooled in a Bayesian binomial model with normal random effects on the logit scale (${describePriors(deviationPrior, meanPrior)}), integrated by deterministic quadrature without any correction at zero; intervals are equal-tailed with probability ${percentOf(level)}.`,
  };
}

function extremeCaution(events: number, total: number, answered: boolean): Caution | undefined {
  if (events > 0 && events < total) return undefined;
  const seen = events === 0 ? `No event was seen among ${total}` : `All ${total} had the event`;
  if (!answered) return { code: events === 0 ? 'no-events' : 'all-events', message: `${seen}.` };
  return {
    code: 'prior-decides-mean',
    message: `${seen}: the data bound the rate on one side only, and the prior of the mean decides how far it reaches on the other. Read the limit, not the median.`,
  };
}

function studyRate(row: StudyCount, table: TabulatedDensity, moments: number, level: number): StudyRate {
  // Events and non-events hold a study's logit on both sides; without either its tail is that of τ.
  const existing = row.events > 0 && row.events < row.total ? 2 : moments;
  const mean = expectationOf(table, (x) => x);
  const deviation = Math.sqrt(expectationOf(table, (x) => (x - mean) ** 2));
  const logit: PosteriorSummary = summarise(
    table,
    { mean: existing >= 1 ? mean : undefined, deviation: existing >= 2 ? deviation : undefined },
    level,
  );
  return {
    study: row.study,
    label: row.label,
    ...(row.arm === undefined ? {} : { arm: row.arm }),
    events: row.events,
    total: row.total,
    logit,
    rate: rateSummary(table, logit),
  };
}
