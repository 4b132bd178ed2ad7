/**
 * Deaths after heart operations on infants in 12 hospitals.
 *
 * Spiegelhalter DJ et al., BUGS Examples volume 1, "Surgical: institutional ranking" (counts and results seen on the
 * page). The printed results are Bayesian, with a vague prior on the precision between hospitals.
 */
export const hospitals = [
  { hospital: 'A', events: 0, total: 47 },
  { hospital: 'B', events: 18, total: 148 },
  { hospital: 'C', events: 8, total: 119 },
  { hospital: 'D', events: 46, total: 810 },
  { hospital: 'E', events: 8, total: 211 },
  { hospital: 'F', events: 13, total: 196 },
  { hospital: 'G', events: 9, total: 148 },
  { hospital: 'H', events: 31, total: 215 },
  { hospital: 'I', events: 14, total: 207 },
  { hospital: 'J', events: 8, total: 97 },
  { hospital: 'K', events: 29, total: 256 },
  { hospital: 'L', events: 24, total: 360 },
] as const;

/** As printed there: posterior mean of the mean log odds, and posterior median of the spread between hospitals. */
export const hospitalsPrinted = {
  source: 'Spiegelhalter et al., BUGS Examples volume 1',
  meanLogOdds: '-2.558',
  spreadBetweenHospitals: '0.3835',
} as const;
