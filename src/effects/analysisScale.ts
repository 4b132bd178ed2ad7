/** Scales on which one arm's rate can be analysed. */
export const rateScales = ['raw', 'logit', 'log', 'arcsine', 'double-arcsine'] as const;
export type RateScale = (typeof rateScales)[number];

/** Is 0 on this scale "no difference", or for a value as reported the usual null? No rate is: 0 log odds is one in two. */
export const hasNullAtZero = (scale: AnalysisScale): boolean =>
  !(rateScales as readonly string[]).includes(scale);

/** Scales on which two arms can be compared. */
export const contrastScales = [
  'log-odds-ratio',
  'log-risk-ratio',
  'risk-difference',
  'mean-difference',
  'standardised-mean-difference',
  'log-ratio-of-means',
  'arcsine-difference',
] as const;
export type ContrastScale = (typeof contrastScales)[number];

/** Every scale an {@link Estimate} can be on. `plain` is a value analysed as it was reported. */
export const analysisScales = [...rateScales, ...contrastScales, 'plain'] as const;
export type AnalysisScale = (typeof analysisScales)[number];
