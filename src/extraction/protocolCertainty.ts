import { z } from 'zod';

// Words and names of the certainty stage's options, which this stage may not import; a test holds them together.
export const protocolNewcastleOttawaForms = ['any', 'all'] as const;
export const protocolNonRandomisedStarts = ['low', 'high-with-robins-i'] as const;

const share = z.number().min(0).max(1);

const cuts = z
  .strictObject({
    lowFrom: share.describe('Share of the maximum from which concern is low.'),
    someFrom: share.describe('Share from which it is no more than some.'),
  })
  .refine(({ lowFrom, someFrom }) => someFrom <= lowFrom, 'someFrom no larger than lowFrom');

/** How quality is read and certainty proposed, where a review wants other rules than the library's own. */
export const protocolCertainty = z.strictObject({
  minorsCuts: cuts.optional().describe('Reading of MINORS sums; without it 0.75 and 0.5, which are ours.'),
  colemanCuts: cuts
    .optional()
    .describe('Reading of the modified Coleman; without it 0.85 and 0.55, which are ours.'),
  newcastleOttawaForm: z
    .enum(protocolNewcastleOttawaForms)
    .optional()
    .describe('Poor when any of the three groups is short of stars, or only when all are; without it `any`.'),
  nonRandomisedStart: z
    .enum(protocolNonRandomisedStarts)
    .optional()
    .describe('Where non-randomised comparisons start; without it `low`.'),
  highShareForTwo: share
    .optional()
    .describe('Risk of bias: two levels above this share of the weight of high concern; without it 0.5.'),
  highShareForOne: share.optional().describe('One level above this share of high concern; without it 0.25.'),
  concernShareForOne: share
    .optional()
    .describe('One level above this share not of low concern; without it 0.5.'),
  apartShare: share
    .optional()
    .describe('Inconsistency: share of pairs of study intervals apart before two levels; without it 0.1.'),
  indirectShare: share
    .optional()
    .describe('Indirectness: share of the weight from which a difference counts; without it 1/3.'),
  fewFraction: share
    .optional()
    .describe(
      'Imprecision: share of the optimal information size below which its lack counts two levels; without it 0.3.',
    ),
  smallStudyP: share
    .optional()
    .describe('Publication bias: p of a small-study test below which it counts; without it 0.1.'),
});
