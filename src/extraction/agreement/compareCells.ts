import type { z } from 'zod';
import { type CellKind, columnMeanings } from '../columnMeaning.ts';
import type { PrintedNumber } from '../printedNumber.ts';
import { isReported, type Reported } from '../reported.ts';
import { type SheetName, sheets } from '../sheets/sheets.ts';

/** A cell's value as its schema reads it. */
export type CellValue = Reported<string | number | PrintedNumber>;

/** How two readings of one cell differ. */
export const cellDifferences = ['number', 'category', 'wording', 'reported by one'] as const;
export type CellDifference = (typeof cellDifferences)[number];

/** What a column is compared as: a judgement is a word of its instrument's list, though the sheet takes text. */
export function comparedAs(sheet: SheetName, heading: string): 'number' | 'category' | 'text' {
  if (sheet === 'judgements' && heading === 'judgement') return 'category';
  const kind: CellKind | undefined = columnMeanings.get(schemaOf(sheet, heading))?.kind;
  return kind === 'number' ? 'number' : kind === 'choice' ? 'category' : 'text';
}

/** The schema that reads a column. */
export function schemaOf(sheet: SheetName, heading: string): z.ZodType {
  const schema = (sheets[sheet].columns.shape as Readonly<Record<string, z.ZodType>>)[heading];
  if (schema === undefined) throw new RangeError(`${sheets[sheet].file} has no column "${heading}"`);
  return schema;
}

/** Text without case, composed, with single blanks: what two people need not agree on. */
export const foldText = (text: string): string =>
  text.normalize('NFC').toLowerCase().replace(/\s+/g, ' ').trim();

const printed = (value: CellValue): value is PrintedNumber => typeof value === 'object';

/** The number in a cell, or undefined. */
export const numberIn = (value: CellValue): number | undefined =>
  typeof value === 'number' ? value : printed(value) ? value.value : undefined;

/**
 * How do two readings of one cell differ? Undefined where they agree.
 *
 * Numbers by value, printed percentages also by their decimals; words without regard to case and blanks.
 */
export function compareCells(
  sheet: SheetName,
  heading: string,
  first: CellValue,
  second: CellValue,
): CellDifference | undefined {
  if (!isReported(first) && !isReported(second)) return undefined;
  if (!isReported(first) || !isReported(second)) return 'reported by one';
  const [one, other] = [numberIn(first), numberIn(second)];
  if (one !== undefined && other !== undefined) {
    const decimals = printed(first) && printed(second) && first.decimals !== second.decimals;
    return one === other && !decimals ? undefined : 'number';
  }
  if (foldText(String(first)) === foldText(String(second))) return undefined;
  return comparedAs(sheet, heading) === 'category' ? 'category' : 'wording';
}
