import type { Review } from '../../../extraction/review.ts';
import type { Table } from '../../../tables/table.ts';
import type { BesideKind } from '../../../wording/beside.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import type { LiveView } from '../state/liveState.ts';

/** What a figure is told by the page: its width, its notice, and the document to draw in. */
export interface LiveFrame {
  readonly width: '90mm' | '190mm';
  readonly idPrefix: string;
  readonly notice?: string;
  /** In what the picture departs from the protocol. */
  readonly subtitle?: string;
  readonly document?: Document;
}

/** A piece of a view, from top to bottom. */
export type ViewBlock =
  | {
      readonly kind: 'sentences';
      readonly heading?: string;
      readonly sentences: readonly string[];
      readonly beside?: BesideKind;
    }
  | { readonly kind: 'caution'; readonly text: string }
  | {
      readonly kind: 'figure';
      readonly name: string;
      readonly title: string;
      readonly draw: (frame: LiveFrame) => string;
      /** Set where the numbers are not the answers of the view but stand beside them. */
      readonly beside?: BesideKind;
    }
  | {
      readonly kind: 'table';
      readonly name: string;
      readonly table: Table;
      /** Shown only when asked for. */
      readonly folded?: boolean;
      readonly beside?: BesideKind;
    };

/** One way to look at an analysis. */
export interface ViewDefinition {
  readonly id: LiveView;
  /** On its button. */
  readonly name: string;
  readonly heading: string;
  readonly blocks: (analysis: LiveAnalysis, review: Review) => readonly ViewBlock[];
}
