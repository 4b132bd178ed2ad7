import { z } from 'zod';
import { count, number, reference, requiredChoice } from '../cells.ts';
import { armColumn, provenance, studyColumn } from './sharedColumns.ts';

/** Which value of a score a row gives. */
export const scoreValueTypes = ['baseline', 'final', 'change'] as const;
export type ScoreValueType = (typeof scoreValueTypes)[number];

const points = { minimum: -10_000, maximum: 10_000 };

/** scores.csv: one row per study, arm, scale, value type and time point, with whatever was reported. */
export const scoresColumns = z.strictObject({
  study: reference(studyColumn),
  arm: reference(armColumn),
  scale: reference({
    meaning: 'Scale, by its id in protocol.json.',
    example: 'pain-vas',
    heading: 'required',
  }),
  value_type: requiredChoice(
    {
      meaning: 'Before the operation, at follow-up, or the change between the two.',
      example: 'final',
      heading: 'required',
    },
    scoreValueTypes,
  ),
  follow_up_months: number(
    {
      meaning: 'When it was measured; 0 before the operation.',
      unit: 'months',
      example: '24',
      heading: 'required',
    },
    { minimum: 0, maximum: 600 },
  ),
  scale_minimum: number(
    {
      meaning: 'Lowest score possible on the version the paper used.',
      unit: 'points',
      example: '0',
      heading: 'required',
    },
    points,
  ),
  scale_maximum: number(
    {
      meaning: 'Highest score possible on the version the paper used (10 or 100 for a pain line).',
      unit: 'points',
      example: '100',
      heading: 'required',
    },
    points,
  ),
  shoulders: count({ meaning: 'Shoulders scored.', unit: 'shoulders', example: '38', heading: 'required' }),
  mean: number({ meaning: 'Mean as printed.', unit: 'points', example: '22.4', heading: 'optional' }, points),
  sd: number(
    { meaning: 'Standard deviation.', unit: 'points', example: '11.3', heading: 'optional' },
    { minimum: 0, maximum: 10_000 },
  ),
  se: number(
    { meaning: 'Standard error of the mean.', unit: 'points', example: '1.8', heading: 'optional' },
    { minimum: 0, maximum: 10_000 },
  ),
  interval_lower: number(
    { meaning: 'Lower confidence limit of the mean.', unit: 'points', example: '18.7', heading: 'optional' },
    points,
  ),
  interval_upper: number(
    { meaning: 'Upper confidence limit of the mean.', unit: 'points', example: '26.1', heading: 'optional' },
    points,
  ),
  interval_percent: number(
    { meaning: 'Confidence of that interval.', unit: '%', example: '95', heading: 'optional' },
    { minimum: 50, maximum: 99.99 },
  ),
  median: number({ meaning: 'Median.', unit: 'points', example: '20', heading: 'optional' }, points),
  quartile_lower: number(
    { meaning: 'First quartile.', unit: 'points', example: '12', heading: 'optional' },
    points,
  ),
  quartile_upper: number(
    { meaning: 'Third quartile.', unit: 'points', example: '31', heading: 'optional' },
    points,
  ),
  minimum: number(
    { meaning: 'Lowest score seen.', unit: 'points', example: '2', heading: 'optional' },
    points,
  ),
  maximum: number(
    { meaning: 'Highest score seen.', unit: 'points', example: '64', heading: 'optional' },
    points,
  ),
  ...provenance(),
});
