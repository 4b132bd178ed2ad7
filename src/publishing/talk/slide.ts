import type { PeopleGroup } from '../../figures/peopleGrid.ts';
import type { Table } from '../../tables/table.ts';

/** How a sentence of a slide is set. */
export const sentenceLooks = ['lead', 'plain', 'item', 'warning'] as const;
export type SentenceLook = (typeof sentenceLooks)[number];

export interface SlideSentence {
  readonly text: string;
  /** `lead` is larger and bold, `item` has a bullet, `warning` is in the colour of notices. Default `plain`. */
  readonly look?: SentenceLook;
}

/** One part of a slide, from top to bottom. */
export type SlideBlock =
  | { readonly kind: 'sentences'; readonly sentences: readonly SlideSentence[] }
  | { readonly kind: 'table'; readonly table: Table }
  | {
      readonly kind: 'people';
      readonly groups: readonly PeopleGroup[];
      /** The picture in words, for those who cannot see it. */
      readonly description: string;
    };

/** One message and what bears it out. */
export interface Slide {
  readonly kind: 'slide';
  /** Letters, digits and hyphens; unique within the talk. */
  readonly id: string;
  /** The message, as a sentence. */
  readonly title: string;
  readonly blocks: readonly SlideBlock[];
  /** One line: what it rests on. */
  readonly source: string | undefined;
  /** What the speaker should know: exact numbers, methods by name, rows, references. One paragraph each. */
  readonly notes: readonly string[];
}

/** A talk as data: every picture, page and presentation of it is drawn from this. */
export interface Talk {
  readonly kind: 'talk';
  readonly title: string;
  readonly language: 'en-GB';
  /** On every slide where the data are invented. */
  readonly notice: string | undefined;
  /** On every slide. */
  readonly caution: string;
  readonly slides: readonly Slide[];
}
