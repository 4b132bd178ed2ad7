import type { Review } from '../extraction/review.ts';
import type { ReportDocument } from '../tables/reportDocument.ts';
import type { Table } from '../tables/table.ts';
import type { BesideKind } from '../wording/beside.ts';
import type { Prose } from './prose.ts';

/** Options of {@link Notebook.show}. */
export interface ShowOptions {
  /** Name in the JSON file and of the download; default made from the caption. */
  readonly name?: string;
  /** The result (or results) the table was made from, for a table whose rows do not name their sheet rows. */
  readonly from?: object;
  /** What the numbers are, where they are not the review's answers but explore beside them; said below the caption. */
  readonly beside?: BesideKind;
}

/** Options of {@link Notebook.attach}. */
export interface AttachOptions {
  /** Name of the download; default made from the title. */
  readonly name?: string;
}

/** Options of {@link Notebook.draw}. */
export interface DrawOptions {
  /** Printed above the figure. */
  readonly title: string;
  /** Name of the download and of the file beside the companion; default made from the title. */
  readonly name?: string;
  /** The result (or results) drawn: the page then names the sheet rows behind the figure. */
  readonly from?: object;
  /** As in {@link ShowOptions.beside}. */
  readonly beside?: BesideKind;
}

/** Options of {@link Notebook.record}. */
export interface RecordOptions {
  /** Analyses beside the headline: their methods sentences stay in the JSON file. Default false. */
  readonly supporting?: boolean;
}

/** What a figure is told by the page it stands on; spread into the figure's options. */
export interface FigureFrame {
  readonly width: '90mm' | '190mm';
  /** Keeps the ids of several figures on one page apart. */
  readonly idPrefix: string;
  /** The invented-data notice, where the review's data are invented. */
  readonly notice?: string;
}

/** What a notebook's cells talk to. Everything shown lands under the cell whose line led to the call. */
export interface Notebook {
  readonly name: string;
  readonly review: Review;
  /** The review's folder as the person named it. */
  readonly folder: string;
  /** Puts a table or a piece of prose on the page. */
  show(item: Table | Prose, options?: ShowOptions): void;
  /**
   * Puts a figure on the page, with downloads. It is drawn twice, for two columns of a journal and for one;
   * a phone shows the narrow one.
   */
  draw(figure: (frame: FigureFrame) => string, options: DrawOptions): void;
  /** Offers a document on the page: as a Word file, and as Markdown. Its pictures are drawn when the page is written. */
  attach(document: ReportDocument, options?: AttachOptions): void;
  /** Puts a reading on the page: prose whose numbers are interpolated. */
  reading(words: TemplateStringsArray, ...values: readonly (string | number | Prose)[]): void;
  /**
   * Writes a result with its inputs and options into the notebook's JSON file, and its methods sentences
   * and departures from the protocol onto the page.
   */
  record(name: string, result: object, options?: RecordOptions): void;
  /** A headline that must hold whatever the data; the run stops when it does not. */
  claim(statement: string | Prose, holds: boolean): void;
  /**
   * A headline about the invented demo alone, every sheet of it as shipped; for any other review, a changed copy of the
   * demo among them, it is listed as not checked.
   */
  claimForDemo(statement: string | Prose, holds: () => boolean): void;
  /** Skips the notebook unless the protocol has these outcomes, counted as events, and an arm reports each. */
  needsOutcome(...outcomes: readonly string[]): void;
  /** Ends this notebook without a page, with a reason the run prints: say, an outcome the review lacks. */
  skip(reason: string): never;
}

/** Thrown by {@link Notebook.skip}: not a failure, but nothing to show for this review. */
export class NotebookSkipped extends Error {
  override readonly name = 'NotebookSkipped';
}

/** A headline claim that the results do not bear out. */
export class ClaimFailed extends Error {
  override readonly name = 'ClaimFailed';
}
