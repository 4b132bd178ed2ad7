import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { type ArithmeticCheck, halfUnit, likePrinted, printsAs } from './arithmeticCheck.ts';

/** A scale whose answers are a fixed step apart. */
export interface SteppedScale {
  /** Distance between neighbouring answers: 1 for whole numbers. */
  readonly step: number;
  readonly minimum?: number;
  readonly maximum?: number;
}

/** Sums, in steps above the minimum, whose mean prints as this. */
function sumsFor(printed: PrintedStatistic, n: number, scale: SteppedScale): readonly number[] {
  const { step, minimum = 0, maximum } = scale;
  const half = halfUnit(printed);
  const slack = 1e-9 * Math.max(1, n);
  const from = Math.ceil(((printed.value - half - minimum) / step) * n - slack);
  const to = Math.floor(((printed.value + half - minimum) / step) * n + slack);
  const lowest = scale.minimum === undefined ? from : Math.max(0, from);
  const highest = maximum === undefined ? to : Math.min(to, Math.round(((maximum - minimum) / step) * n));
  const sums: number[] = [];
  for (let sum = lowest; sum <= highest; sum += 1) sums.push(sum);
  return sums;
}

/**
 * Is there any set of answers on the scale whose mean prints as this?
 *
 * n answers that are whole steps apart have a sum of whole steps, so that their mean is a whole number of steps over n.
 * With more people than printed decimals can tell apart, every mean fits and the check says nothing.
 *
 * @see Brown NJL, Heathers JAJ, Soc Psychol Personal Sci 2017;8:363.
 * @example
 * checkMeanGranularity({ relation: '=', value: 5.19, decimals: 2, text: '5.19' }, 28, { step: 1 }) // does not fit
 */
export function checkMeanGranularity(
  printed: PrintedStatistic,
  n: number,
  scale: SteppedScale,
): ArithmeticCheck {
  if (printed.relation !== '=')
    return { verdict: 'cannot be checked', reason: 'A bound is not the value of a mean.' };
  const { step, minimum = 0 } = scale;
  if (sumsFor(printed, n, scale).length > 0)
    return { verdict: 'fits', by: `some ${n} answers in steps of ${step}` };
  const below = Math.floor(((printed.value - minimum) / step) * n);
  const meanOf = (sum: number, people: number): number => minimum + (sum * step) / people;
  const near = Array.from({ length: Math.max(2, Math.floor(n / 4)) }, (_, at) => [n - at - 1, n + at + 1])
    .flat()
    .find((people) => people > 0 && sumsFor(printed, people, scale).length > 0);
  return {
    verdict: 'does not fit',
    kind: 'granularity',
    strength: 'contradiction',
    counts: `No ${n} answers in steps of ${step} have this mean: the nearest are ${likePrinted(printed, meanOf(below, n))} and ${likePrinted(printed, meanOf(below + 1, n))}.`,
    wouldFit: near === undefined ? [] : [`${near} answers could have it.`],
  };
}

/**
 * Smallest and largest sum of squares of n whole numbers with this sum; between 0 and `top` where the scale has ends.
 * Where it has none the origin does not matter: moving every answer changes neither spread nor parity.
 */
function squaresFor(sum: number, n: number, top: number | undefined): readonly [number, number] {
  const each = Math.floor(sum / n);
  const more = sum - each * n;
  const least = more * (each + 1) ** 2 + (n - more) * each ** 2;
  if (top === undefined) return [least, Number.POSITIVE_INFINITY];
  if (top === 0) return [0, 0];
  const full = Math.floor(sum / top);
  return [least, full * top ** 2 + (sum - full * top) ** 2];
}

/**
 * Is there any set of answers on the scale whose mean and standard deviation print as these?
 *
 * In steps above the minimum the answers are whole numbers, so that their squares add up to a whole number Q, even or odd as
 * their sum S is, with Q − S²/n = (n − 1)·SD². A finding only when no such Q exists for any S whose mean prints as the mean,
 * between the squares of the most equal and, on a scale with an end, the most unequal answers. The conditions are necessary:
 * what is flagged cannot be; some of what is not flagged cannot be either. Tried with n in place of n − 1 as well.
 *
 * @see Anaya J, PeerJ Preprints 2016;4:e2400v1 and Allard A, 2018 (parity of the squares), from memory; the conditions
 *   above follow from the definition of the standard deviation.
 * @example
 * checkDeviationGranularity(mean, deviation, 25, { step: 1, minimum: 0, maximum: 10 })
 */
export function checkDeviationGranularity(
  mean: PrintedStatistic,
  deviation: PrintedStatistic,
  n: number,
  scale: SteppedScale,
): ArithmeticCheck {
  if (mean.relation !== '=' || deviation.relation !== '=')
    return {
      verdict: 'cannot be checked',
      reason: 'A bound is not the value of a mean or standard deviation.',
    };
  if (n < 2) return { verdict: 'cannot be checked', reason: 'One answer has no standard deviation.' };
  const sums = sumsFor(mean, n, scale);
  if (sums.length === 0)
    return { verdict: 'cannot be checked', reason: 'The mean itself fits no set of answers.' };
  if (possible(sums, deviation, n, n - 1, scale))
    return { verdict: 'fits', by: `some ${n} answers in steps of ${scale.step}` };
  const population = possible(sums, deviation, n, n, scale);
  return {
    verdict: 'does not fit',
    kind: 'granularity',
    strength: population ? 'question' : 'contradiction',
    counts: `No ${n} answers in steps of ${scale.step} with a mean of ${mean.value.toFixed(mean.decimals)} have this standard deviation.`,
    wouldFit: population ? [`It fits if the squares were divided by ${n} instead of ${n - 1}.`] : [],
  };
}

function possible(
  sums: readonly number[],
  deviation: PrintedStatistic,
  n: number,
  divisor: number,
  { step, minimum, maximum }: SteppedScale,
): boolean {
  const half = halfUnit(deviation);
  const [low, high] = [Math.max(0, deviation.value - half) / step, (deviation.value + half) / step];
  const top =
    minimum === undefined || maximum === undefined ? undefined : Math.round((maximum - minimum) / step);
  return sums.some((sum) => {
    const [least, most] = squaresFor(sum, n, top);
    const base = sum ** 2 / n;
    const slack = 1e-9 * Math.max(1, base);
    let squares = Math.max(least, Math.ceil(divisor * low ** 2 + base - slack));
    if ((squares - sum) % 2 !== 0) squares += 1;
    return squares <= Math.min(most, divisor * high ** 2 + base + slack);
  });
}

/** Does this mean lie on the scale, rounding allowed for? */
export function checkMeanOnScale(
  printed: PrintedStatistic,
  scale: { readonly minimum: number; readonly maximum: number },
): ArithmeticCheck {
  const half = printed.relation === '=' ? halfUnit(printed) : 0;
  if (printed.value + half >= scale.minimum && printed.value - half <= scale.maximum)
    return { verdict: 'fits', by: 'the range of the scale' };
  const scaled = printed.value / 10;
  const slipped =
    scaled >= scale.minimum && scaled <= scale.maximum && printsAs({ ...printed, value: scaled }, scaled);
  return {
    verdict: 'does not fit',
    kind: 'mean',
    strength: 'contradiction',
    counts: `The scale runs from ${scale.minimum} to ${scale.maximum}.`,
    wouldFit: slipped
      ? [
          `${String(Number(scaled.toPrecision(12)))} would lie on it: the decimal point may have slipped, or another version of the scale was used.`,
        ]
      : [],
  };
}
