import type { ArmEvents } from '../extraction/armEvents.ts';
import { counted } from '../wording/words.ts';
import { type ArmNotInNumber, countsOf, notInNumberList } from './armsInNumber.ts';
import type { BinomialNormalFit } from './binomialNormalFit.ts';
import { correctionText, intervalText, levelText, modelText, scaleNames } from './methodsSentence.ts';
import { harmonicMeanTotal } from './naturalSummary.ts';
import type { RateHeadline } from './pooledRate.ts';
import type { PooledResult } from './pooledResult.ts';
import type { ResolvedRatePoolOptions } from './ratePoolOptions.ts';

/** One sentence naming every choice behind a pooled rate, ready for a methods section. */
export function rateMethodsSentence(facts: {
  readonly options: ResolvedRatePoolOptions;
  readonly arms: readonly ArmEvents[];
  readonly armsInNumber: readonly ArmEvents[];
  readonly armsNotInNumber: readonly ArmNotInNumber[];
  readonly twoStep: PooledResult;
  readonly oneStep: BinomialNormalFit;
  readonly headline: RateHeadline | undefined;
}): string {
  const { options, twoStep, oneStep, headline } = facts;
  const level = levelText(options.level);
  if (facts.arms.length === 0) return 'No arm reported this outcome, so tenosite pooled nothing.';
  const named = headline === undefined ? facts.arms : facts.armsInNumber;
  const counts = countsOf(named);
  const studies = counted(counts.studies, 'study', 'studies');
  const from = named.length === counts.studies ? studies : `${counted(named.length, 'arm')} of ${studies}`;
  if (headline?.basis === 'exact') {
    return `As ${headline.rate === 1 ? 'all' : 'none'} of the ${counted(counts.shoulders, 'shoulder')} in ${from} had the event, the shoulders were combined with tenosite and described by an exact (Clopper-Pearson) ${level} interval instead of a pooled rate.`;
  }
  const list = headline === undefined ? '' : notInNumberList(facts.armsNotInNumber.map(({ arm }) => arm));
  const leftOut =
    twoStep.leftOut.length > 0
      ? `, leaving out ${counted(twoStep.leftOut.length, 'arm')} without a finite value on that scale${list === '' ? '' : ` (${list})`},`
      : '';
  const quadrature =
    oneStep.quadrature === 'trapezoidal'
      ? 'the trapezoidal rule (Gauss-Hermite quadrature being too coarse here)'
      : `${oneStep.quadraturePoints}-point adaptive Gauss-Hermite quadrature`;
  const check = `a one-step binomial-normal model with logit link, fitted by maximum likelihood with ${quadrature}, served as a check that needs no correction`;
  const pooled = twoStep.estimates.length;
  if (pooled === 0 || !twoStep.mean) {
    return `The rates of ${from} could not be pooled with tenosite as ${scaleNames[options.scale]}${leftOut.replace(/,$/, '')}; ${check}.`;
  }
  const corrected = twoStep.estimates.filter((estimate) => estimate.addedToEachCell > 0);
  const correction = correctionText(corrected[0]?.addedToEachCell ?? 0, corrected.length, pooled);
  const interval = intervalText(options, twoStep.mean.intervalMethod, twoStep.prediction !== undefined);
  if (pooled === 1) {
    return `The rate of ${from} was described with tenosite as ${scaleNames[options.scale]}${correction}${leftOut || ','} with ${interval}; ${check}.`;
  }
  return (
    `The rates of ${from} were pooled with tenosite as ${scaleNames[options.scale]}${leftOut} ${modelText(options)}${correction}, ` +
    `with ${interval}, turned back into rates${backText(options, twoStep)}; heterogeneity was described by Cochran's Q, by the between-study variance with its ` +
    `Q-profile interval, and by I² and H² with their test-based intervals; ${check}.`
  );
}

function backText(options: ResolvedRatePoolOptions, twoStep: PooledResult): string {
  const total = options.scale === 'double-arcsine' ? harmonicMeanTotal(twoStep.estimates) : undefined;
  return total === undefined ? '' : ` with the harmonic mean of the totals (${Number(total.toPrecision(4))})`;
}
