import type { Trace } from '../extraction/trace/traceOf.ts';
import type { ReportDocument } from '../tables/reportDocument.ts';
import type { Table } from '../tables/table.ts';
import type { BesideKind } from '../wording/beside.ts';
import type { NotebookSource } from './notebookSource.ts';
import type { PageFacts } from './pageFacts.ts';

/** What a cell can put on the page. */
export type NotebookOutput =
  | {
      readonly kind: 'table';
      readonly name: string;
      readonly table: Table;
      /** Sheet rows behind it. */
      readonly trace: Trace;
      /** Set where the numbers are not the review's answers. */
      readonly beside?: BesideKind;
    }
  | {
      readonly kind: 'figure';
      readonly name: string;
      readonly title: string;
      /** SVG for 190 mm and for 90 mm. */
      readonly wide: string;
      readonly narrow: string;
      readonly trace: Trace;
      readonly beside?: BesideKind;
    }
  | {
      /** A document the page offers for download. */
      readonly kind: 'document';
      readonly name: string;
      readonly document: ReportDocument;
      readonly trace: Trace;
    }
  | { readonly kind: 'prose'; readonly markdown: string; readonly beside?: BesideKind }
  | { readonly kind: 'claim'; readonly claim: Claim }
  | { readonly kind: 'result'; readonly name: string; readonly value: object; readonly trace: Trace };

/** A headline statement the notebook's last cell checks. */
export interface Claim {
  readonly statement: string;
  /** Whether it must hold for every review, or is a fact about the data the notebook was written with. */
  readonly about: 'any review' | 'the demo only';
  readonly status: 'holds' | 'not checked';
}

/** One notebook, run: its source, and what each cell showed. Pages are written from this alone. */
export interface NotebookRun {
  readonly name: string;
  readonly source: NotebookSource;
  readonly facts: PageFacts;
  readonly outputs: readonly { readonly cell: number; readonly output: NotebookOutput }[];
  /** Method sentences of the results shown or recorded, each once. */
  readonly methods: readonly string[];
  /** Where the analysis left the protocol. */
  readonly departures: readonly string[];
  /** Where results beside the page's answer were made otherwise than the protocol has it, to see what a rule does. */
  readonly sensitivityAnalyses: readonly string[];
  /** Study as printed, of every sheet row that is about one, by `file:line`. */
  readonly studyOfRow: ReadonlyMap<string, string>;
}

/** Outputs of one cell, in the order they were made. */
export function outputsOfCell(run: NotebookRun, cell: number): readonly NotebookOutput[] {
  return run.outputs.filter((made) => made.cell === cell).map((made) => made.output);
}

/** Departures of the page's answers from the protocol, and what the protocol itself changed since earlier versions. */
export const departuresOfRun = ({ departures, facts }: NotebookRun): readonly string[] =>
  facts.dataFrom === undefined ? [...departures, ...(facts.amendments ?? [])] : departures;
