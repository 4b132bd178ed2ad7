import type { QuotedEstimand } from './rateMethods.ts';

/** What a quoted rate is a number of, as it stands in a sentence. */
export const estimandWords: Readonly<Record<QuotedEstimand, string>> = {
  'mean of studies': 'the mean over studies of their rates',
  'median study': 'the rate of the median study',
  'centre on the scale': 'the centre of the studies on the scale of analysis',
  'common effect': 'one rate the studies share',
  'one series': 'all shoulders as one series',
};

/** The same of a comparison. */
export const effectEstimandWords: Readonly<Record<QuotedEstimand, string>> = {
  'mean of studies': 'the mean over studies of their effects',
  'median study': 'the effect in the median study',
  'centre on the scale': 'the centre of the studies on the scale of analysis',
  'common effect': 'one effect the studies share',
  'one series': 'all shoulders as one series',
};

/** What a row with the quoted number is called where there is room for three words. */
export const estimandLabels: Readonly<Record<QuotedEstimand, string>> = {
  'mean of studies': 'Mean of studies',
  'median study': 'Median study',
  'centre on the scale': 'Pooled',
  'common effect': 'Common effect',
  'one series': 'One series, exact',
};
