/**
 * BCG vaccine against tuberculosis: 13 trials, cases among vaccinated and not.
 *
 * Trials: Colditz GA et al., JAMA 1994;271:698-702. Counts and the printed results: Hothorn T, Everitt BS, A Handbook
 * of Statistical Analyses Using R, 3rd ed., 2014, chapter 17 (both seen on the page).
 */
export const bcgTrials = [
  { trial: 1, year: 1948, vaccinated: { events: 4, total: 123 }, control: { events: 11, total: 139 } },
  { trial: 2, year: 1949, vaccinated: { events: 6, total: 306 }, control: { events: 29, total: 303 } },
  { trial: 3, year: 1960, vaccinated: { events: 3, total: 231 }, control: { events: 11, total: 220 } },
  { trial: 4, year: 1977, vaccinated: { events: 62, total: 13598 }, control: { events: 248, total: 12867 } },
  { trial: 5, year: 1973, vaccinated: { events: 33, total: 5069 }, control: { events: 47, total: 5808 } },
  { trial: 6, year: 1953, vaccinated: { events: 180, total: 1541 }, control: { events: 372, total: 1451 } },
  { trial: 7, year: 1973, vaccinated: { events: 8, total: 2545 }, control: { events: 10, total: 629 } },
  { trial: 8, year: 1980, vaccinated: { events: 505, total: 88391 }, control: { events: 499, total: 88391 } },
  { trial: 9, year: 1968, vaccinated: { events: 29, total: 7499 }, control: { events: 45, total: 7277 } },
  { trial: 10, year: 1961, vaccinated: { events: 17, total: 1716 }, control: { events: 65, total: 1665 } },
  {
    trial: 11,
    year: 1974,
    vaccinated: { events: 186, total: 50634 },
    control: { events: 141, total: 27338 },
  },
  { trial: 12, year: 1969, vaccinated: { events: 5, total: 2498 }, control: { events: 3, total: 2341 } },
  { trial: 13, year: 1976, vaccinated: { events: 27, total: 16913 }, control: { events: 29, total: 17854 } },
] as const;

/** As printed in that chapter. */
export const bcgPrinted = {
  source: 'Hothorn and Everitt 2014, chapter 17',
  oddsRatio: '0.47',
  oddsRatioLower: '0.32',
  oddsRatioUpper: '0.69',
  heterogeneityQ: '163.16',
  betweenStudyVariance: '0.37',
} as const;
