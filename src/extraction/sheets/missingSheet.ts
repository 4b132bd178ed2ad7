import { z } from 'zod';
import { reference, requiredChoice, requiredText } from '../cells.ts';
import { provenance } from './sharedColumns.ts';

// The robustness stage keeps these answers too; a test holds the two together.
export const missingRecordQuestions = [
  'known missing results',
  'likely missing studies',
  'pattern of results',
  'overall',
] as const;
export const missingRecordAnswers = ['low', 'some concerns', 'high'] as const;

/** missing.csv: reviewers' judgement of the risk of bias from results that never reached the review. */
export const missingColumns = z.strictObject({
  outcome: reference({
    meaning: 'Outcome, by its id in protocol.json.',
    example: 'groove-pain',
    heading: 'required',
  }),
  question: requiredChoice(
    {
      meaning:
        'What is judged: results known to exist and not reported, studies likely to exist and not found, whether the results at hand look like a selected part; `overall` overrides the least favourable of the three.',
      example: 'pattern of results',
      heading: 'required',
    },
    missingRecordQuestions,
  ),
  answer: requiredChoice(
    { meaning: 'Answer.', example: 'some concerns', heading: 'required' },
    missingRecordAnswers,
  ),
  reason: requiredText({
    meaning: 'Why, always.',
    example: 'two registered trials gave no result',
    heading: 'required',
  }),
  ...provenance(),
});
