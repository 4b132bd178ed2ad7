import { z } from 'zod';
import { choice, identifier, number, reference, requiredChoice, text } from '../cells.ts';
import { pooledSites } from '../site.ts';
import { provenance } from './sharedColumns.ts';

/** What a recommendation takes for granted of one site against another: where the difference lies. */
export const comparisonClaims = [
  'fewer',
  'not more',
  'no difference that matters',
  'not fewer',
  'more',
] as const;
/** What it takes for granted of a rate: where it lies against a bound. */
export const rateClaims = ['at most', 'at least'] as const;
export const recommendationClaims = [...comparisonClaims, ...rateClaims] as const;
export type RecommendationClaim = (typeof recommendationClaims)[number];

/** recommendations.csv: one row for each thing a recommendation rests on. */
export const recommendationsColumns = z.strictObject({
  recommendation: identifier({
    meaning: 'Short name of the recommendation; several rows of one name are all needed for it.',
    example: 'deformity-matters',
    heading: 'required',
  }),
  statement: text({
    meaning: 'The recommendation as it is printed; once for each recommendation is enough.',
    example: 'To patients who mind a bulge, offer tenodesis rather than release.',
    heading: 'required',
  }),
  outcome: reference({
    meaning: 'Outcome it rests on, by its id in protocol.json; one counted as events.',
    example: 'cosmetic-deformity',
    heading: 'required',
  }),
  site: requiredChoice(
    { meaning: 'Site it speaks of.', example: 'suprapectoral', heading: 'required' },
    pooledSites,
  ),
  comparator: choice(
    {
      meaning: 'Site it is set against; blank for a claim about a rate.',
      example: 'tenotomy',
      heading: 'optional',
    },
    pooledSites,
  ),
  claim: requiredChoice(
    {
      meaning:
        "What must hold. Against a comparator, by the protocol's smallest difference that matters: `fewer` and `more` by that much or more, `not more` and `not fewer` by that much, `no difference that matters` either way. Of a rate: `at most` or `at least` the number in per_100.",
      example: 'fewer',
      heading: 'required',
    },
    recommendationClaims,
  ),
  per_100: number(
    {
      meaning: 'Bound of the rate, with `at most` and `at least`.',
      unit: 'events per 100 shoulders',
      example: '',
      heading: 'optional',
    },
    { minimum: 0, maximum: 100 },
  ),
  ...provenance(),
});
