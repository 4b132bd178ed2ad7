import { z } from 'zod';

/** What a column of an extraction sheet means: the source of the codebook and of the template. */
export interface ColumnMeaning {
  /** One or two sentences for the person who fills the sheet in. */
  readonly meaning: string;
  /** Unit, where the value has one. */
  readonly unit?: string;
  /** A cell as it would be typed. */
  readonly example: string;
  /** `required`: the sheet cannot be read without this heading. */
  readonly heading: 'required' | 'optional';
}

/** What a cell holds, for those who compare cells: `name` is a short name, `choice` one word of a list. */
export const cellKinds = ['text', 'name', 'number', 'choice', 'date'] as const;
export type CellKind = (typeof cellKinds)[number];

/** A meaning with what the kind of cell adds to it. */
export interface RegisteredMeaning extends ColumnMeaning {
  /** Values the cell may hold, in words. */
  readonly allowed: string;
  readonly kind: CellKind;
  /** What a blank cell means. */
  readonly blank: string;
}

/** Meanings of all columns, keyed by the zod schema of the column. */
export const columnMeanings = z.registry<RegisteredMeaning>();
