/**
 * Intervals of one proportion: four cases by two methods.
 *
 * Newcombe RG, Stat Med 1998;17:857-872, Table I, methods 3 (Wilson) and 5 (Clopper-Pearson); the digits were seen as
 * quoted with the table reference in public test files.
 */
export const singleProportions = [
  { events: 81, total: 263, method: 'wilson', lower: '0.2553', upper: '0.3662' },
  { events: 15, total: 148, method: 'wilson', lower: '0.0624', upper: '0.1605' },
  { events: 0, total: 20, method: 'wilson', lower: '0.0000', upper: '0.1611' },
  { events: 1, total: 29, method: 'wilson', lower: '0.0061', upper: '0.1718' },
  { events: 81, total: 263, method: 'clopper-pearson', lower: '0.2527', upper: '0.3676' },
  { events: 15, total: 148, method: 'clopper-pearson', lower: '0.0578', upper: '0.1617' },
  { events: 0, total: 20, method: 'clopper-pearson', lower: '0.0000', upper: '0.1684' },
  { events: 1, total: 29, method: 'clopper-pearson', lower: '0.0009', upper: '0.1776' },
] as const;
