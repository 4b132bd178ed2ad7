import { agreeing, counted } from '../../wording/words.ts';
import type { Caution } from '../caution.ts';
import { type DeviationPrior, describeDeviationPrior } from './deviationPrior.ts';
import { describeMeanPrior, type MeanPrior } from './meanPrior.ts';
import type { PosteriorDistribution, PosteriorNumerics } from './posteriorResult.ts';
import { densityAt } from './tabulatedDensity.ts';

/** What both models may warn of: few studies, several arms, missing moments, a prior's bound, the arithmetic. */
export function posteriorCautions(parts: {
  readonly studies: number;
  readonly rows: number;
  /** Rows that say something about the spread: with both events and non-events, in the binomial model. */
  readonly informative: number;
  readonly deviationPrior: DeviationPrior;
  readonly betweenStudyDeviation: PosteriorDistribution;
  readonly momentsUndefined: readonly string[];
  readonly numerics: PosteriorNumerics;
}): Caution[] {
  const { studies, rows, informative, deviationPrior, betweenStudyDeviation, momentsUndefined, numerics } =
    parts;
  const cautions: Caution[] = [];
  if (studies === 1) {
    cautions.push({
      code: 'one-study',
      message:
        'There is one study, which says nothing about how far studies differ: the spread, and with it the next study, rests on its prior.',
    });
  }
  if (studies >= 5 && informative < 5) {
    cautions.push({
      code: 'prior-decides-spread',
      message: `Only ${informative} of ${counted(rows, 'arm')} had both events and non-events: the between-study standard deviation rests largely on its prior (${describeDeviationPrior(deviationPrior)}). Show the answer under other priors beside it.`,
    });
  }
  if (studies > 1 && studies < 5) {
    cautions.push({
      code: 'prior-decides-spread',
      message: `With ${counted(studies, 'study', 'studies')} the between-study standard deviation rests largely on its prior (${describeDeviationPrior(deviationPrior)}): show the answer under other priors beside it.`,
    });
  }
  if (rows > studies) {
    cautions.push({
      code: 'several-arms-of-one-study',
      message: `${counted(rows, 'arm')} ${agreeing(rows, 'comes', 'come')} from ${counted(studies, 'study', 'studies')} and ${agreeing(rows, 'was', 'were')} taken as independent.`,
    });
  }
  if (momentsUndefined.length > 0) {
    cautions.push({
      code: 'posterior-moment-undefined',
      message: `The tails are so heavy that no mean or standard deviation exists for: ${momentsUndefined.join(', ')}. Read the median and the interval.`,
    });
  }
  if (deviationPrior.kind === 'uniform') {
    const { density, median } = betweenStudyDeviation;
    const atBound = densityAt(density, deviationPrior.upper * (1 - 1e-9));
    if (atBound > 0.1 * densityAt(density, median)) {
      cautions.push({
        code: 'posterior-at-prior-bound',
        message: `The prior's upper end (${deviationPrior.upper}) cuts off values of the between-study standard deviation that the data still support.`,
      });
    }
  }
  if (!numerics.agreed) {
    cautions.push({
      code: 'quadrature-disagrees',
      message: `A finer and a coarser rule of integration differ by ${numerics.disagreement.toExponential(1)}, more than the ${numerics.tolerance} allowed: trust fewer digits.`,
    });
  }
  return cautions;
}

/** Names what has no mean or no standard deviation. */
export function undefinedMoments(parts: Readonly<Record<string, PosteriorDistribution>>): string[] {
  return Object.entries(parts)
    .filter(([, summary]) => summary.mean === undefined || summary.standardDeviation === undefined)
    .map(([name]) => name);
}

/** Both priors in words, as a methods sentence says them. */
export function describePriors(deviationPrior: DeviationPrior, meanPrior: MeanPrior): string {
  return `prior of the between-study standard deviation ${describeDeviationPrior(deviationPrior)}, prior of the mean ${describeMeanPrior(meanPrior)}`;
}

/** Coverage as printed in a sentence, such as "95 %". */
export function percentOf(level: number): string {
  return `${Number((100 * level).toPrecision(6))} %`;
}
