import type { PeopleGroup } from '../../figures/peopleGrid.ts';
import type { FontFace } from '../../figures/textWidth.ts';

/** A box on a slide, in points from its top left corner. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** One paragraph, already broken into lines that fit its box. */
export interface PlacedParagraph {
  readonly text: string;
  readonly lines: readonly string[];
  readonly size: number;
  readonly face: Extract<FontFace, 'regular' | 'bold' | 'italic'>;
  readonly colour: string;
  readonly bullet: boolean;
  /** Space above, in points. */
  readonly before: number;
}

export type TextRole = 'title' | 'body' | 'label' | 'source' | 'notice' | 'caution' | 'number';

/** A cell of a placed table. */
export interface PlacedCell {
  readonly text: string;
  readonly lines: readonly string[];
  readonly bold: boolean;
  readonly align: 'left' | 'right';
}

/** One thing on a slide, where it stands. */
export type Placed =
  | {
      readonly kind: 'text';
      readonly role: TextRole;
      readonly box: Box;
      readonly paragraphs: readonly PlacedParagraph[];
      readonly align: 'left' | 'right';
    }
  | {
      readonly kind: 'table';
      readonly box: Box;
      readonly caption: string;
      readonly size: number;
      readonly columns: readonly number[];
      readonly rowHeights: readonly number[];
      /** The heading first. */
      readonly rows: readonly (readonly PlacedCell[])[];
    }
  | {
      readonly kind: 'people';
      readonly box: Box;
      readonly people: NonNullable<PeopleGroup['people']>;
      readonly colour: string;
      readonly description: string;
    }
  | { readonly kind: 'site'; readonly box: Box; readonly site: NonNullable<PeopleGroup['site']> }
  | {
      readonly kind: 'key';
      readonly box: Box;
      readonly mark: 'expected' | 'possible' | 'rest';
      readonly fine: boolean;
    }
  | { readonly kind: 'rule'; readonly box: Box };

/** A slide with everything in its place. One message may take several of them. */
export interface LaidOutSlide {
  readonly id: string;
  readonly title: string;
  readonly placed: readonly Placed[];
  readonly notes: readonly string[];
}
