import type { ReportingItem } from '../../extraction/reportingItems.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';

/** What a sentence was written from. */
export interface SentenceSources {
  /** Rows of the sheets. */
  readonly rows: readonly RowAddress[];
  /** Places in the results given, such as `outcomes.0.pools.sites.2.pool`. */
  readonly results: readonly string[];
  /** Keys of protocol.json, such as `analysis.model`. */
  readonly protocol: readonly string[];
}

/** One sentence of a manuscript, traceable. */
export interface Sentence {
  readonly text: string;
  /** The item of the reporting guideline it answers. */
  readonly item: ReportingItem;
  readonly sources: SentenceSources;
  /** What the author must put in place of the square brackets; empty for a finished sentence. */
  readonly toSupply: readonly string[];
  /** A new paragraph begins with it, under the same heading. */
  readonly startsParagraph?: true;
}

/** Sentences under one heading, in the order they are read. */
export interface ManuscriptParagraph {
  readonly part: 'Methods' | 'Results' | 'Other information';
  readonly heading: string;
  readonly sentences: readonly Sentence[];
}

/** Methods and results of a review as text. */
export interface Manuscript {
  readonly kind: 'manuscript';
  readonly title: string;
  readonly paragraphs: readonly ManuscriptParagraph[];
  /** Cited works in the order they are first cited; the number in the text is the place in this list, from 1. */
  readonly references: readonly string[];
}
