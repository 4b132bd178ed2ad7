const longer: Readonly<Record<string, string>> = { sd: 'standard deviation', se: 'standard error' };

/**
 * A column as people name it.
 *
 * @example
 * columnInWords('follow_up_months') // 'follow up months'
 */
export const columnInWords = (heading: string): string =>
  longer[heading] ?? heading.replaceAll('_sd_', ' standard deviation ').replaceAll('_', ' ');
