import { z } from 'zod';
import { choice, date, number, reference, requiredChoice, text } from '../cells.ts';
import { pooledSites } from '../site.ts';
import { provenance } from './sharedColumns.ts';

// The certainty stage keeps these words too, because this stage comes first and imports none; a test holds the two together.
export const decidedQuestions = ['rate', 'comparison'] as const;
export const decidedBodies = [
  'arms at one site',
  'randomised trials',
  'non-randomised studies',
  'all comparative studies',
  'series against series',
  'network',
] as const;
export const decidedDomains = [
  'risk of bias',
  'inconsistency',
  'indirectness',
  'imprecision',
  'publication bias',
  'large effect',
  'dose-response',
  'opposing confounding',
] as const;
export type DecidedDomain = (typeof decidedDomains)[number];

/** What is decided on a network estimate itself (incoherence, intransitivity, imprecision); the rest is decided on its parts. */
export const decidedNetworkDomains = ['inconsistency', 'indirectness', 'imprecision'] as const;

/** Levels a decision on a domain may take: down for the first five, up for the others. */
export function decidedLevels(domain: DecidedDomain): readonly number[] {
  if (domain === 'large effect') return [0, 1, 2];
  return domain === 'dose-response' || domain === 'opposing confounding' ? [0, 1] : [0, -1, -2, -3];
}

/** certainty.csv: what people decided on the certainty of an answer, domain by domain. */
export const certaintyColumns = z.strictObject({
  outcome: reference({
    meaning: 'Outcome, by its id in protocol.json.',
    example: 'groove-pain',
    heading: 'required',
  }),
  question: requiredChoice(
    {
      meaning: 'How often it happens at one site (`rate`), or one site against another (`comparison`).',
      example: 'comparison',
      heading: 'required',
    },
    decidedQuestions,
  ),
  site: requiredChoice(
    { meaning: 'Site the answer is about.', example: 'suprapectoral', heading: 'required' },
    pooledSites,
  ),
  comparator: choice(
    {
      meaning: 'The other site of a comparison. Blank for a rate.',
      example: 'tenotomy',
      heading: 'optional',
    },
    pooledSites,
  ),
  body: choice(
    {
      meaning:
        'Body of evidence the decision is about. A rate has one, so blank is enough there; a decision on a comparison counts only where the body is named.',
      example: 'randomised trials',
      heading: 'optional',
    },
    decidedBodies,
  ),
  domain: requiredChoice(
    { meaning: 'Domain decided on.', example: 'risk of bias', heading: 'required' },
    decidedDomains,
  ),
  levels: number(
    {
      meaning:
        'Levels: 0, or -1 to -3 down; 1 or 2 up for `large effect`, 1 for `dose-response` and `opposing confounding`. Blank, with a blank reason: not decided yet.',
      unit: 'levels',
      example: '-1',
      heading: 'required',
    },
    { whole: true, minimum: -3, maximum: 2 },
  ),
  reason: text({
    meaning: 'Why, always when something is decided, also where the proposal was kept.',
    example: 'more than half of the weight has no blinded assessment',
    heading: 'required',
  }),
  proposed_then: number(
    {
      meaning:
        'Levels the data proposed when it was decided. Where they now propose something else, the decision is called stale.',
      unit: 'levels',
      example: '-1',
      heading: 'optional',
    },
    { whole: true, minimum: -3, maximum: 2 },
  ),
  decided_by: text({
    meaning: 'Role or initial of who decided; no names.',
    example: 'panel',
    heading: 'optional',
  }),
  decided_on: date({ meaning: 'Day of the decision.', example: '2026-07-14', heading: 'optional' }),
  held_when_decided: text({
    meaning:
      'Fingerprint of the studies, arms, counts and judgements the body held when it was decided, written by `npm run decide`. A decision counts only while the body still holds the same. Empty it after deciding again.',
    example: 'held-9f86d081884c',
    heading: 'optional',
  }),
  ...provenance(),
});
