import { camelCase } from '../camelCase.ts';
import type { Review } from '../review.ts';
import type { RowAddress } from '../rowAddress.ts';
import { type SheetName, sheetNames, sheets } from '../sheets/sheets.ts';

/** One row of a sheet, with enough words to know it by. */
export interface ReviewRow {
  readonly sheet: SheetName;
  readonly row: RowAddress;
  /** Study id; undefined on sheets that are not about one study. */
  readonly study: string | undefined;
  /** Study as printed, or its id where studies.csv does not have it. */
  readonly label: string | undefined;
  readonly arm: string | undefined;
  /** The outcome or scale the row is about. */
  readonly outcome: string | undefined;
  /** What tells the row from others of its study: arm, outcome, definition, time. */
  readonly what: string;
}

const textOf = (value: unknown): string | undefined =>
  typeof value === 'string' || typeof value === 'number' ? String(value) : undefined;

/**
 * Every row of every sheet, in the order of the sheets.
 *
 * @example
 * reviewRows(review).find(({ row }) => row.file === 'events.csv' && row.line === 17)?.label
 */
export function reviewRows(review: Review): readonly ReviewRow[] {
  const labels = new Map(review.studies.map(({ study, label }) => [study, label]));
  return sheetNames.flatMap((sheet) => {
    const names = (sheets[sheet].key as readonly string[]).filter((key) => key !== 'study').map(camelCase);
    const rows = (review as unknown as Readonly<Record<string, readonly object[]>>)[sheet] ?? [];
    return rows.map((each): ReviewRow => {
      const values = each as Readonly<Record<string, unknown>> & { readonly row: RowAddress };
      const study = textOf(values.study);
      const told = names.flatMap((name) => {
        const text = textOf(values[name]);
        if (text === undefined || text === 'not reported') return [];
        return [name === 'followUpMonths' ? `${text} months` : text];
      });
      return {
        sheet,
        row: values.row,
        study,
        label: study === undefined ? undefined : (labels.get(study) ?? study),
        arm: textOf(values.arm),
        outcome: textOf(values.outcome) ?? textOf(values.scale),
        what: told.join(', '),
      };
    });
  });
}
