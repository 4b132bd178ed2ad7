import type { Count } from '../effects/estimate.ts';
import { normalQuantile, studentTQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import { type BinomialNormalFit, oneStudyOnly } from './binomialNormalFit.ts';
import { checkCounts } from './checkCounts.ts';
import { type BinomialNormalMaximum, maximiseBinomialNormal } from './maximiseBinomialNormal.ts';
import { checkLevel, checkOptionNames, show } from './optionChecks.ts';

export interface BinomialNormalOptions {
  /** Points of the adaptive Gauss-Hermite rule, 7 to 100, default 25. */
  readonly quadraturePoints?: number;
  /** Coverage of the intervals, default 0.95. */
  readonly level?: number;
}

/**
 * What is the rate, and how do studies differ, judged from the counts themselves?
 *
 * Maximum likelihood of the binomial-normal model with logit link: `events ~ binomial(total, p)`,
 * `logit p ~ normal(mean, deviation²)`. No count needs a correction. The mean's interval is Wald's, from the
 * observed information of mean and deviation together; the prediction interval is
 * `mean ± t(k-2) sqrt(deviation² + SE²)`, turned back into rates, for three or more counts.
 *
 * The likelihood can have two peaks, for example with a giant arm; the highest is reported and the other named.
 * A maximum at a deviation of zero is reported as `boundary`; a likelihood that keeps rising is reported as
 * `not-converged`, without numbers. One study (one count, or counts that name one study, which are then added up) has a
 * rate of its own and no deviation: `one-study`.
 *
 * Sources: Hamza TH et al., J Clin Epidemiol 2008;61:41-51 (model); Pinheiro JC, Bates DM, J Comput Graph Stat
 * 1995;4:12-35 (quadrature); Stijnen T et al., Stat Med 2010;29:3046-3067, section 2 (one-step pooling of rates).
 *
 * @param counts events and totals, whole numbers with 0 <= events <= total and total above 0
 * @throws RangeError for an unknown option or an impossible count, naming the bound and the value received
 *
 * @example
 * fitBinomialNormal([{ events: 3, total: 40 }, { events: 9, total: 52 }, { events: 0, total: 18 }]).rate
 */
export function fitBinomialNormal(
  counts: readonly (Count & { readonly study?: string })[],
  options: BinomialNormalOptions = {},
): BinomialNormalFit {
  checkOptionNames(options, ['quadraturePoints', 'level']);
  const level = checkLevel(options.level ?? 0.95);
  const quadraturePoints = options.quadraturePoints ?? 25;
  if (!(Number.isInteger(quadraturePoints) && quadraturePoints >= 7 && quadraturePoints <= 100)) {
    throw new RangeError(
      `quadraturePoints must be a whole number from 7 to 100, received ${show(quadraturePoints)}`,
    );
  }
  checkCounts(counts);
  const unfitted = (status: BinomialNormalFit['status'], reason: string): BinomialNormalFit => ({
    kind: 'binomial-normal-fit',
    status,
    reason,
    mean: undefined,
    standardError: undefined,
    betweenStudyDeviation: undefined,
    logLikelihood: undefined,
    rate: undefined,
    interval: undefined,
    prediction: undefined,
    quadrature: 'gauss-hermite',
    quadraturePoints,
    level,
  });
  let events = 0;
  let total = 0;
  for (const count of counts) {
    events += count.events;
    total += count.total;
  }
  if (counts.length === 0) return unfitted('nothing-to-pool', 'There are no counts to fit.');
  if (events === 0) {
    return unfitted(
      'no-events',
      'No shoulder had an event: the likelihood keeps rising as the rate falls towards 0.',
    );
  }
  if (events === total) {
    return unfitted(
      'all-events',
      'Every shoulder had an event: the likelihood keeps rising as the rate nears 1.',
    );
  }
  const [{ study }] = counts as [(typeof counts)[number]];
  const one = counts.length === 1 || (study !== undefined && counts.every((count) => count.study === study));
  const best = maximiseBinomialNormal(one ? [{ events, total }] : counts, quadraturePoints);
  if (best === undefined) {
    return unfitted(
      'not-converged',
      'The likelihood has no maximum that could be found: it keeps rising as the variation between studies grows, as it does when arms have either no events or nothing but events.',
    );
  }
  const { mean, deviation, at } = best;
  const determinant = at.curvatureMean * at.curvatureDeviation - at.curvatureMixed ** 2;
  const variance = deviation === 0 ? -1 / at.curvatureMean : -at.curvatureDeviation / determinant;
  if (!(variance > 0 && Number.isFinite(variance)) || (deviation > 0 && !(determinant > 0))) {
    return unfitted(
      'not-converged',
      'The likelihood is too flat around its maximum to give a standard error.',
    );
  }
  const standardError = Math.sqrt(variance);
  const tail = (1 - level) / 2;
  const around = (margin: number): Interval => ({
    lower: rateOf(mean - margin),
    upper: rateOf(mean + margin),
    level,
  });
  return {
    kind: 'binomial-normal-fit',
    status: one ? 'one-study' : deviation === 0 ? 'boundary' : 'converged',
    reason: one ? oneStudyOnly : reasonOf(best),
    mean,
    standardError,
    betweenStudyDeviation: one ? undefined : deviation,
    logLikelihood: at.logLikelihood,
    rate: rateOf(mean),
    interval: around(-normalQuantile(tail) * standardError),
    prediction:
      one || counts.length < 3
        ? undefined
        : around(-studentTQuantile(tail, counts.length - 2) * Math.hypot(deviation, standardError)),
    quadrature: best.refined ? 'trapezoidal' : 'gauss-hermite',
    quadraturePoints,
    level,
  };
}

function reasonOf({ deviation, second, refined }: BinomialNormalMaximum): string | undefined {
  const parts: string[] = [];
  if (deviation === 0) {
    parts.push(
      'The likelihood is highest when the studies share one rate: the between-study deviation is estimated as 0.',
    );
  }
  if (second !== undefined) {
    parts.push(
      `The likelihood has a second, lower peak at a between-study deviation of ${second.toPrecision(3)}: the highest is reported.`,
    );
  }
  if (refined) {
    parts.push(
      'Studies differ so much that Gauss-Hermite quadrature was too coarse: the likelihood was integrated by the trapezoidal rule.',
    );
  }
  return parts.length > 0 ? parts.join(' ') : undefined;
}

const rateOf = (logOdds: number): number => 1 / (1 + Math.exp(-logOdds));
