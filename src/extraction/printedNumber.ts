/** A number with the decimals it was printed with, so that its rounding is known. */
export interface PrintedNumber {
  readonly value: number;
  /** Digits after the decimal point or comma. */
  readonly decimals: number;
}

/** What is wrong with a cell: words for "expected …" and a cure. */
export interface CellFault {
  readonly expected: string;
  readonly cure: string;
}

/** Reading a number gives the number or a cure for what stands there instead. */
export type NumberReading =
  | { readonly number: PrintedNumber; readonly cure?: never }
  | { readonly number?: never; readonly cure: string };

const months = 'jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec';

/** Things people type where a number belongs, each with what to do instead. Order matters. */
const lookalikes: readonly (readonly [RegExp, string])[] = [
  [/^=/, 'The file holds a formula, not its result: copy the cell and paste it as a value.'],
  [
    /^#(ref|n\/a|div\/0|value|name|num|null)[!?]?/i,
    'The spreadsheet could not work this out: type the value from the paper.',
  ],
  [/^#+$/, 'The column was too narrow when it was saved: widen it and save again.'],
  [
    new RegExp(
      `^\\d{1,2}[-/. ](${months})|^(${months})[a-z]*[-/. ]\\d|^\\d{1,4}[-/]\\d{1,2}[-/]\\d{1,4}$`,
      'i',
    ),
    'The spreadsheet turned a number into a date: format the column as text and type it again.',
  ],
  [/^\d+\s*\/\s*\d+$/, 'Type the two numbers in their own columns, events and eligible shoulders.'],
  [/^\d+([.,]\d+)?\s*\(.*\)$/, 'Type one number here and the number in brackets in its own column.'],
  [/±|\+\/-|\+-/, 'Type the mean here and the spread in the column for its standard deviation or error.'],
  [/^[<>≤≥~≈]/, 'A bound is not a value: leave the cell NR and copy the printed words into the notes.'],
  [
    /^-?\d+([.,]\d+)?\s*(-|–|—|to)\s*-?\d+([.,]\d+)?$/,
    'This is a range: type its ends in the columns for ranges, or NR here.',
  ],
  [/^\d{1,3}([ \u00a0\u202f'’]\d{3})+([.,]\d+)?$/, 'Type the digits without a thousands separator.'],
  [/^-?\d+([.,]\d+)?\s*[a-z%°]+\.?$/i, 'Type the number alone; the unit stands in the heading.'],
];

/**
 * Which number stands in the cell?
 *
 * A point or a comma may mark the decimals. `1,083` and `1.083` could be one thousand or one and a
 * bit: with `whole` they are refused, because either guess could be a thousandfold error; without,
 * the comma form is refused and the point form read as a decimal.
 *
 * @example
 * readPrintedNumber('12,5', false) // { number: { value: 12.5, decimals: 1 } }
 */
export function readPrintedNumber(text: string, whole: boolean): NumberReading {
  const plain = text.replace(/^[−–]/, '-');
  const digits = plain.replace(/[.,]/g, '');
  if (whole && /^[+-]?[1-9]\d{0,2}([.,]\d{3})+$/.test(plain)) {
    return { cure: `Type ${digits} without a thousands separator, if that is the count.` };
  }
  if (/^[+-]?[1-9]\d{0,2}(,\d{3})+$/.test(plain)) {
    return { cure: `This could be ${digits} or a decimal: write it without the comma.` };
  }
  const match = /^([+-]?\d{1,15})(?:[.,](\d{1,15}))?$/.exec(plain);
  if (match !== null) {
    const value = Number(match[2] === undefined ? match[1] : `${match[1]}.${match[2]}`);
    // Minus zero prints as 0 and would still differ from it in strict comparisons.
    return { number: { value: value === 0 ? 0 : value, decimals: match[2]?.length ?? 0 } };
  }
  for (const [pattern, cure] of lookalikes) if (pattern.test(plain)) return { cure };
  return { cure: 'Type digits only, or NR when the paper does not say.' };
}
