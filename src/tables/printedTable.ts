import { agreesWithPrinted, digitsLike } from './printedDigits.ts';
import { type Table, table } from './table.ts';

/** A figure in print and the same quantity computed here. */
export interface PrintedFigure {
  readonly quantity: string;
  readonly printed: string;
  readonly value: number;
  readonly source: string;
}

/** Published figures beside the same quantities computed here, and whether each agrees to its last digit. */
export function printedTable(
  figures: readonly PrintedFigure[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'As printed, and as computed here',
    columns: [
      { key: 'quantity', heading: 'Quantity' },
      { key: 'printed', heading: 'Printed', align: 'right' },
      { key: 'computed', heading: 'Computed', align: 'right', shownIn: 'page' },
      { key: 'value', heading: 'computed', shownIn: 'file' },
      { key: 'agrees', heading: 'To the last digit' },
      { key: 'source', heading: 'Printed in' },
    ],
    rows: figures.map(({ quantity, printed, value, source }) => ({
      quantity,
      printed,
      computed: digitsLike(printed, value),
      value,
      agrees: agreesWithPrinted(printed, value) ? 'agrees' : 'differs',
      source,
    })),
  });
}
