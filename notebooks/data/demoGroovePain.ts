/**
 * What the invented demo was drawn from, for groove pain: the rate in the median study at each site with the reference
 * share of cuff repairs, and how the logit rises with that share. A test holds it to the generator.
 */
export const demoGroovePain = {
  medianRates: { 'top-of-groove': 0.08, suprapectoral: 0.08, subpectoral: 0.05, tenotomy: 0.09 },
  referencePercent: 30,
  logitPerPercent: 0.02,
} as const;
