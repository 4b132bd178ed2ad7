import type { ScoreArm } from './scoreArm.ts';
import type { ScoreSelection } from './scoreSelection.ts';

/**
 * How were these scores come by, in words for a methods section?
 *
 * Counts the arms whose mean and spread stand in the paper, those converted, by which method, those
 * rescaled, and those whose conversion or distribution is in doubt.
 *
 * @example
 * scoreMethodsSentence(selectScores(review, 'pain'))
 */
export function scoreMethodsSentence(selection: Pick<ScoreSelection, 'arms' | 'outcome'>): string {
  const { arms, outcome } = selection;
  if (arms.length === 0) return `No arm has a usable score for ${outcome.name.toLowerCase()}.`;
  const converted = arms.filter((arm) => arm.conversions.length > 0);
  const methods = new Map<string, number>();
  for (const method of converted.flatMap((arm) => [...new Set(arm.conversions.map(kindOfConversion))])) {
    methods.set(method, (methods.get(method) ?? 0) + 1);
  }
  const list = [...methods]
    .sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1))
    .map(([method, n]) => `${n} ${method}`);
  const rescaled = count(arms, (arm) => arm.line.multiply !== 1 || arm.line.add !== 0);
  const skewed = count(arms, (arm) => arm.cautions.some(({ code }) => code === 'converted-although-skewed'));
  const atEnd = count(arms, (arm) => arm.cautions.some(({ code }) => code === 'at-the-end-of-the-scale'));
  return [
    `${outcome.name}: ${arms.length - converted.length} of ${plural(arms.length, 'arm')} with mean and standard deviation as printed`,
    converted.length > 0 ? `, ${converted.length} converted (${list.join('; ')})` : '',
    rescaled > 0 ? `; ${rescaled} rescaled to the range of the protocol` : '',
    skewed > 0 ? `; ${skewed} converted although skewed` : '',
    atEnd > 0
      ? `; in ${atEnd} the mean lies within one standard deviation of an end of the scale, where means describe scores badly`
      : '',
    '.',
  ].join('');
}

/** The long sentence of a conversion shortened to what it started from. */
function kindOfConversion({ inputs, method }: ScoreArm['conversions'][number]): string {
  if ('correlation' in inputs) return 'to a change with a stated correlation';
  if ('standardError' in inputs) return 'from the standard error';
  if ('level' in inputs) return 'from the confidence interval';
  return `from a summary by quantiles: ${method}`;
}

const count = (arms: readonly ScoreArm[], test: (arm: ScoreArm) => boolean): number =>
  arms.filter(test).length;
const plural = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? '' : 's'}`;
