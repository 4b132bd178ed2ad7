import type { Reported } from './reported.ts';

/** Where a number came from: the line of the sheet it was typed in, and the page or table of the paper. */
export interface RowAddress {
  /** File name within the review's folder, such as `events.csv`. */
  readonly file: string;
  /** Line in that file, counted from 1 as a text editor does (a quoted cell may span several). */
  readonly line: number;
  /** Page, table or figure of the paper, as typed by the extractor. */
  readonly locator: Reported<string>;
}
