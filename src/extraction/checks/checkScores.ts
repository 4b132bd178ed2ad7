import { armKey } from '../armKey.ts';
import { listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import type { ProtocolScale } from '../protocol.ts';
import type { PlacedRow } from '../readRow.ts';
import { isReported, type Reported } from '../reported.ts';
import type { ScoreRow } from '../review.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Scores their scale cannot give, spreads that contradict each other, and arms that are too small. */
export function checkScores(placed: PlacedSheets): readonly Problem[] {
  const arms = new Map(placed.arms.map((row) => [armKey(row.values), row.values]));
  const scales = new Map(placed.protocol?.scales.map((scale) => [scale.id, scale]));
  return placed.scores.flatMap((row) => {
    const scale = scales.get(row.values.scale);
    const problems = [...orderProblems(row), ...spreadProblems(row)];
    if (scale !== undefined) problems.push(...rangeProblems(row, scale));
    const enrolled = arms.get(armKey(row.values))?.shouldersEnrolled;
    const { shoulders } = row.values;
    if (enrolled !== undefined && isReported(enrolled) && isReported(shoulders) && shoulders > enrolled) {
      const cure = 'Check both numbers against the paper.';
      problems.push(row.problem('error', 'shoulders', `at most the ${enrolled} enrolled in the arm`, cure));
    }
    return problems;
  });
}

const located = [
  'mean',
  'interval_lower',
  'interval_upper',
  'median',
  'quartile_lower',
  'quartile_upper',
  'minimum',
  'maximum',
] as const;

const valueAt = (row: ScoreRow, heading: (typeof located)[number]): Reported<number> =>
  ({
    mean: row.mean,
    interval_lower: row.intervalLower,
    interval_upper: row.intervalUpper,
    median: row.median,
    quartile_lower: row.quartileLower,
    quartile_upper: row.quartileUpper,
    minimum: row.minimum,
    maximum: row.maximum,
  })[heading];

function rangeProblems(row: PlacedRow<ScoreRow>, scale: ProtocolScale): readonly Problem[] {
  const { scaleMinimum, scaleMaximum, valueType } = row.values;
  const ranges = scale.ranges.map((range) => `${range.minimum} to ${range.maximum}`);
  const range = scale.ranges.find(
    (each) =>
      (!isReported(scaleMinimum) || each.minimum === scaleMinimum) &&
      (!isReported(scaleMaximum) || each.maximum === scaleMaximum),
  );
  if (range === undefined) {
    const cure = `${scale.name} has the ranges ${listNames(ranges)}: correct scale_minimum and scale_maximum, or add the range to the protocol.`;
    return [row.problem('error', 'scale_maximum', 'a range of the scale', cure)];
  }
  if (!(isReported(scaleMinimum) && isReported(scaleMaximum)) && scale.ranges.length > 1) {
    const cure = `${scale.name} has the ranges ${listNames(ranges)}: say which one the paper used, or the score cannot be used.`;
    return [row.problem('warning', 'scale_maximum', 'the range the paper used', cure)];
  }
  const width = range.maximum - range.minimum;
  const [lowest, highest] = valueType === 'change' ? [-width, width] : [range.minimum, range.maximum];
  const problems: Problem[] = [];
  for (const heading of located) {
    const value = valueAt(row.values, heading);
    // The limits of an interval may run over the end of a scale when a normal curve made them.
    if (!isReported(value) || heading.startsWith('interval') || (value >= lowest && value <= highest))
      continue;
    const cure = 'Check the value and the range of the scale: the paper may have used another version.';
    problems.push(row.problem('error', heading, `a value from ${lowest} to ${highest}`, cure));
  }
  // No set of values on a bounded scale has a larger standard deviation than half at either end, n / (n - 1) corrected.
  const { sd, shoulders } = row.values;
  const people = isReported(shoulders) && shoulders > 1 ? shoulders : 2;
  const largest = ((highest - lowest) / 2) * Math.sqrt(people / (people - 1));
  if (isReported(sd) && sd > largest * (1 + 1e-12)) {
    const cure = 'Check the value: no spread on this scale can be so wide.';
    problems.push(row.problem('error', 'sd', `at most ${largest.toFixed(1)}`, cure));
  }
  return problems;
}

function orderProblems(row: PlacedRow<ScoreRow>): readonly Problem[] {
  const problems: Problem[] = [];
  for (const order of [
    ['minimum', 'quartile_lower', 'median', 'quartile_upper', 'maximum'],
    ['minimum', 'mean', 'maximum'],
    ['interval_lower', 'mean', 'interval_upper'],
  ] as const) {
    let last: { readonly heading: string; readonly value: number } | undefined;
    for (const heading of order) {
      const value = valueAt(row.values, heading);
      if (!isReported(value)) continue;
      if (last !== undefined && value < last.value) {
        const cure = 'Check both against the paper; they may be swapped.';
        problems.push(row.problem('error', heading, `at least ${last.value}, the ${last.heading}`, cure));
        break;
      }
      last = { heading, value };
    }
  }
  return problems;
}

function spreadProblems(row: PlacedRow<ScoreRow>): readonly Problem[] {
  const { sd, se, shoulders, intervalLower, intervalUpper, intervalPercent } = row.values;
  const problems: Problem[] = [];
  if (isReported(sd) && isReported(se) && isReported(shoulders) && shoulders > 0) {
    const expected = sd / Math.sqrt(shoulders);
    // Both were rounded in print; a fifth is far beyond rounding.
    if (Math.abs(se - expected) > 0.2 * expected + 0.05) {
      const cure =
        'The standard error is the standard deviation over the root of the number of shoulders: check which one the paper prints.';
      problems.push(row.problem('error', 'se', `about ${expected.toFixed(2)}`, cure));
    }
  }
  if (isReported(intervalLower) !== isReported(intervalUpper)) {
    const heading = isReported(intervalLower) ? 'interval_upper' : 'interval_lower';
    problems.push(
      row.problem(
        'warning',
        heading,
        'both ends of the interval',
        'Fill in the other end, or leave both blank.',
      ),
    );
  }
  if (isReported(intervalLower) && isReported(intervalUpper) && !isReported(intervalPercent)) {
    const cure = 'Without it the interval cannot be used: type 95 if the paper says so anywhere.';
    problems.push(row.problem('warning', 'interval_percent', 'the confidence of the interval', cure));
  }
  return problems;
}
