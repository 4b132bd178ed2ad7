import type { Count } from '../effects/estimate.ts';
import type { ClassifiedSite } from '../extraction/site.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Axis } from './axis.ts';

/** One line of a forest plot on the scale a reader knows. */
export interface ForestRow {
  readonly label: string;
  readonly counts: readonly (Count | undefined)[];
  readonly estimate: number;
  readonly interval: Interval | undefined;
  /** Share of the weight, 0 to 1; undefined for a line that carries none. */
  readonly weight: number | undefined;
}

export interface ForestSummary {
  readonly label: string;
  readonly counts: readonly (Count | undefined)[];
  readonly estimate: number;
  readonly interval: Interval;
  /** What it is a number of, as it stands in a sentence. */
  readonly meaning: string;
  /** Id of the answer whose number this is. */
  readonly answer?: string | undefined;
}

/** Another method's answer under the one that is told. */
export interface ForestBeside {
  readonly label: string;
  /** The method in full. */
  readonly meaning: string;
  readonly estimate: number;
  readonly interval: Interval | undefined;
}

/** Lines that belong together, with what they add up to. */
export interface ForestGroup {
  readonly site: ClassifiedSite | undefined;
  readonly heading: string | undefined;
  readonly detail: string | undefined;
  readonly colour: string;
  readonly rows: readonly ForestRow[];
  readonly pooled: ForestSummary | undefined;
  readonly prediction: Interval | undefined;
  /** What other methods say, drawn as triangles. */
  readonly beside: readonly ForestBeside[];
  /** How much the studies differ, and what to be careful about. */
  readonly sentences: readonly string[];
}

/** Everything a forest plot says, before it has a size. */
export interface ForestModel {
  readonly groups: readonly ForestGroup[];
  readonly axis: (tickCount: number) => Axis;
  /** The value that means no difference. */
  readonly reference: number | undefined;
  readonly directions: { readonly lower: string; readonly higher: string } | undefined;
  readonly countHeadings: readonly string[];
  readonly estimateHeading: string;
  readonly level: number;
  readonly format: (value: number) => string;
  readonly between: string;
  readonly notes: readonly string[];
  readonly description: string;
  readonly defaultTitle: string;
}

export const forestSorts = ['estimate', 'size', 'year', 'given'] as const;
export type ForestSort = (typeof forestSorts)[number];

/** What the lines under the studies are called. */
export const summaryLabels = {
  pooled: 'Pooled',
  pooledExact: 'Pooled, exact',
  derSimonianLaird: 'DerSimonian-Laird',
  mantelHaenszel: 'Mantel-Haenszel',
  prediction: 'A new study',
  check: 'One-step check',
} as const;
