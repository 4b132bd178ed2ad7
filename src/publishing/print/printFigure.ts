import type { FigureFrame } from '../notebook.ts';

/** Kinds of figure a paper needs, in the order they are drawn. */
export const printFigureNames = [
  'overview',
  'forest',
  'funnel',
  'network',
  'site-against-site',
  'pairs',
  'reporting',
  'quality',
  'flow',
] as const;
export type PrintFigureName = (typeof printFigureNames)[number];

/** A width, and what a figure needs from its frame otherwise. */
export interface PrintFrame extends Omit<FigureFrame, 'width'> {
  readonly width: '90mm' | '190mm';
}

/** A figure before it is drawn, with what is printed under it. */
export interface PlannedFigure {
  readonly name: PrintFigureName;
  /** File name without width and ending. */
  readonly file: string;
  /** Id of the outcome it shows; undefined where it shows several. */
  readonly outcome: string | undefined;
  readonly title: string;
  readonly draw: (frame: PrintFrame) => string;
  /** Sentences of the legend: what the marks are, how many, by which method. */
  readonly legend: readonly string[];
  /** The same figure in parts, for where the whole is taller than a page. */
  readonly parts?: readonly PlannedFigure[];
}
