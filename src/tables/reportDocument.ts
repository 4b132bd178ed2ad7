import type { Table } from './table.ts';

/** One part of a document, in reading order. Text is plain: `**` and the like are not markup here. */
export type DocumentBlock =
  | { readonly kind: 'heading'; readonly level: 1 | 2 | 3; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly emphasis?: 'lead' | 'note' | 'warning' }
  | { readonly kind: 'list'; readonly items: readonly string[]; readonly numbered?: boolean }
  | { readonly kind: 'table'; readonly table: Table }
  | {
      readonly kind: 'figure';
      readonly title: string;
      /** What the picture shows, in words, for those who cannot see it. */
      readonly description: string;
      /** The 190 mm picture. */
      readonly svg: string;
    }
  | { readonly kind: 'page-break' };

/** A document made of the same blocks wherever it is read: as a Word file, a page or plain Markdown. */
export interface ReportDocument {
  readonly kind: 'report-document';
  readonly title: string;
  /** Language of the text, as a tag such as `en`. */
  readonly language: string;
  /** Printed at the top and on every page: the notice of invented data, where the data are invented. */
  readonly notice: string | undefined;
  /** Printed at the foot of every page: supports and does not replace licensed judgement and local guidance. */
  readonly caution: string;
  readonly blocks: readonly DocumentBlock[];
}
