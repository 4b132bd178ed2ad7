import { ratioDigits } from './numbers.ts';
import { signedFixed } from './words.ts';

/** A log ratio as a ratio by the rule of every product. */
export const ratioText = (log: number): string => ratioDigits(Math.exp(log));

/** A relative effect with its limits, of any stage. */
interface Ratio {
  readonly measure: 'odds-ratio' | 'risk-ratio' | 'risk-difference';
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

const measureNames: Readonly<Record<Ratio['measure'], string>> = {
  'odds-ratio': 'Odds ratio',
  'risk-ratio': 'Risk ratio',
  'risk-difference': 'Risk difference',
};

/** A measure within a sentence: `odds ratio`. */
export const measureName = (measure: Ratio['measure']): string => measureNames[measure].toLowerCase();

/** The same with its article: `an odds ratio`, `a risk ratio`. */
export const oneMeasure = (measure: Ratio['measure']): string =>
  `${measure === 'odds-ratio' ? 'an' : 'a'} ${measureName(measure)}`;

/** The value of a measure where the sites do not differ. */
export const noDifference = (measure: Ratio['measure']): 0 | 1 => (measure === 'risk-difference' ? 0 : 1);

/**
 * A relative effect with its limits, as printed.
 *
 * @example
 * relativeText({ measure: 'odds-ratio', value: 0.29, lower: 0.19, upper: 0.45 }) // 'Odds ratio 0.29 (0.19 to 0.45)'
 */
export function relativeText({ measure, value, lower, upper }: Ratio): string {
  const write = measure === 'risk-difference' ? (each: number) => signedFixed(each, 3) : ratioDigits;
  return `${measureNames[measure]} ${write(value)} (${write(lower)} to ${write(upper)})`;
}
