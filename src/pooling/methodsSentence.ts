import type { AnalysisScale } from '../effects/analysisScale.ts';
import { meanIntervalMethods } from './meanIntervalMethods.ts';
import type { MeanInterval, ResolvedPoolOptions } from './poolOptions.ts';
import { predictionIntervalMethods } from './predictionIntervalMethods.ts';
import { varianceEstimatorMethods } from './varianceEstimatorMethods.ts';
import { varianceIntervalMethods } from './varianceIntervalMethods.ts';

/** What is pooled, as printed. */
export const scaleNames: Readonly<Record<AnalysisScale, string>> = {
  raw: 'untransformed rates',
  logit: 'logit-transformed rates',
  log: 'log-transformed rates',
  arcsine: 'arcsine-transformed rates',
  'double-arcsine': 'double-arcsine-transformed rates',
  'log-odds-ratio': 'log odds ratios',
  'log-risk-ratio': 'log risk ratios',
  'risk-difference': 'risk differences',
  'mean-difference': 'mean differences',
  'standardised-mean-difference': 'standardised mean differences',
  'log-ratio-of-means': 'log ratios of means',
  'arcsine-difference': 'differences of arcsine-transformed risks',
  plain: 'values as reported',
};

/** A coverage as printed, 0.95 as `95 %`. */
export function levelText(level: number): string {
  return `${Number((100 * level).toPrecision(10))} %`;
}

/** The part of the sentence that names model and variance estimator. */
export function modelText(options: ResolvedPoolOptions): string {
  return options.model === 'common-effect'
    ? 'by inverse-variance weighting under a common-effect model'
    : `by inverse-variance weighting under a random-effects model whose between-study variance was estimated by the ${varianceEstimatorMethods[options.betweenStudyVariance].name}`;
}

/** What was done about zero cells, or nothing when nothing was. */
export function correctionText(addedToEachCell: number, corrected: number, estimates: number): string {
  if (corrected === 0) return '';
  const where =
    corrected === estimates ? 'of every estimate' : `of ${corrected} of the ${estimates} estimates`;
  return `, after adding ${addedToEachCell} to each cell ${where}`;
}

/** Which interval stands around the mean, and which prediction beside it. */
export function intervalText(options: ResolvedPoolOptions, used: MeanInterval, predicted: boolean): string {
  const level = levelText(options.level);
  const interval = `a ${level} ${meanIntervalMethods[used].name} interval for the mean`;
  if (!predicted) return interval;
  return `${interval} and a ${level} prediction interval for the next study from ${predictionIntervalMethods[options.prediction].name}`;
}

/** Facts the sentence is made from. */
export interface SentenceFacts {
  readonly scale: AnalysisScale;
  readonly options: ResolvedPoolOptions;
  readonly estimates: number;
  readonly studies: number;
  readonly imputed: number;
  readonly intervalUsed: MeanInterval;
  readonly predicted: boolean;
  readonly addedToEachCell: number;
  readonly corrected: number;
  readonly harmonicTotal: number | undefined;
}

/** One sentence naming every choice of a pool, ready for a methods section. */
export function methodsSentence(facts: SentenceFacts): string {
  const { estimates, studies, imputed, options } = facts;
  if (estimates === 0) return `No ${scaleNames[facts.scale]} were available to be pooled with tenosite.`;
  const reported = estimates - imputed;
  const what = `${capital(scaleNames[facts.scale])} from ${studies} ${studies === 1 ? 'study' : 'studies'}${
    reported === studies ? '' : ` (${reported} estimates)`
  }${imputed === 0 ? '' : `, to which ${imputed} imputed ${imputed === 1 ? 'study was' : 'studies were'} added,`}`;
  if (estimates === 1) {
    return `${what} were summarised with tenosite by the study's own estimate${correctionText(facts.addedToEachCell, facts.corrected, 1)} and ${intervalText(options, facts.intervalUsed, false)}, there being nothing to pool it with.`;
  }
  const back =
    facts.scale === 'double-arcsine' && facts.harmonicTotal !== undefined
      ? `, transformed back with the harmonic mean of the totals (${Number(facts.harmonicTotal.toPrecision(4))})`
      : '';
  return (
    `${what} were pooled with tenosite ${modelText(options)}${correctionText(facts.addedToEachCell, facts.corrected, estimates)}, ` +
    `with ${intervalText(options, facts.intervalUsed, facts.predicted)}${back}; ` +
    `heterogeneity was described by Cochran's Q, by the between-study variance with its ${varianceIntervalMethods[options.varianceInterval].name} interval, ` +
    'and by I² and H² with their test-based intervals.'
  );
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
