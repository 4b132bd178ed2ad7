import type { z } from 'zod';
import { columnMeanings } from './columnMeaning.ts';
import { sheetNames, sheets } from './sheets/sheets.ts';

/** A sheet to fill in: its headings, and one example row that readers skip. */
export interface SheetTemplate {
  readonly file: string;
  readonly headings: readonly string[];
  /** Starts with `# `, which makes it a comment. */
  readonly example: readonly string[];
}

/** Which sheets does a new review start from? Made from the schemas that read them. */
export function sheetTemplates(): readonly SheetTemplate[] {
  return sheetNames.map((name) => {
    const { file, columns } = sheets[name];
    const entries = Object.entries(columns.shape as Readonly<Record<string, z.ZodType>>);
    const example = entries.map(([, schema]) => columnMeanings.get(schema)?.example ?? '');
    return {
      file,
      headings: entries.map(([heading]) => heading),
      example: example.map((cell, index) => (index === 0 ? `# ${cell}` : cell)),
    };
  });
}
