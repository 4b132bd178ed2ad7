/**
 * Tenodesis against tenotomy, visible deformity: the pooled odds ratio of ten randomised trials and the absolute effect
 * printed beside it.
 *
 * Hartland AW, Islam R, Teoh KH, Rashid MS, BMJ Open 2022;12:e061954, Table 3 (seen on the page). The counts of each
 * trial are not printed, so the odds ratio is taken as it stands.
 */
export const tenodesisTenotomy = {
  source: 'Hartland et al. 2022, Table 3',
  tenodesis: { events: 41, total: 410, printedPercent: '10.0' },
  tenotomy: { events: 109, total: 401, printedPercent: '27.2' },
  oddsRatio: 0.29,
  lower: 0.19,
  upper: 0.45,
  printedFewerPer1000: { value: '174', most: '206', least: '128' },
} as const;
