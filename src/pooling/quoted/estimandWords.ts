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

/**
 * What a number is of and by which method, within a sentence: nothing said twice, no capital but that of a name.
 *
 * @example
 * numberByMethod('the mean over studies of their rates', 'Beta-binomial model, mean of studies, profile likelihood')
 * // 'the mean over studies of their rates, by beta-binomial model, profile likelihood'
 */
export function numberByMethod(words: string, methodName: string): string {
  const method = methodWithin(methodName).replace(/, (?:mean of studies|median study)(?=,|$)/, '');
  return method.startsWith(words) ? method : `${words}, by ${method}`;
}

/** The name of a method within a sentence; those called after people keep their capital. */
export const methodWithin = (methodName: string): string =>
  /^(?:DerSimonian|Mantel|Peto|Hartung|Paule)/.test(methodName)
    ? methodName
    : methodName.charAt(0).toLowerCase() + methodName.slice(1);
