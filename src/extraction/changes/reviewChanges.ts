import type { ReviewFingerprint } from '../provenance/fingerprint.ts';
import type { Reported } from '../reported.ts';
import type { SheetName } from '../sheets/sheets.ts';
import type { NamePair } from './matchStudies.ts';

/** What became of a cell: a number the paper gave all along is told apart from one that was missing. */
export const cellChangeKinds = ['corrected', 'now reported', 'no longer reported'] as const;
export type CellChangeKind = (typeof cellChangeKinds)[number];

/** A line of a version, and where in the paper it was read. */
export interface LinePlace {
  readonly line: number;
  readonly locator: Reported<string>;
}

/** One cell that says something else now. */
export interface CellChange {
  readonly kind: CellChangeKind;
  readonly sheet: SheetName;
  readonly file: string;
  /** The row in words: study, arm, outcome and what else names it, as in the later version. */
  readonly rowName: string;
  /** The study by its later name, where the sheet has studies. */
  readonly study: string | undefined;
  readonly heading: string;
  readonly before: string;
  readonly after: string;
  readonly placeBefore: LinePlace;
  readonly placeAfter: LinePlace;
}

/** A row that only one version has, of a study both have (or of a sheet without studies). */
export interface RowChange {
  readonly sheet: SheetName;
  readonly file: string;
  readonly rowName: string;
  readonly study: string | undefined;
  readonly place: LinePlace;
}

/** A study that only one version has, with all its rows. */
export interface StudyChange {
  readonly study: string;
  readonly label: string;
  readonly year: number;
  readonly design: string;
  readonly arms: number;
  /** Rows of every sheet that speak of it. */
  readonly rows: number;
  readonly place: LinePlace & { readonly file: string };
}

/** A study or arm under another name. */
export interface Renamed extends NamePair {
  readonly what: 'study' | 'arm';
  /** The study an arm belongs to, by its later name. */
  readonly study: string;
}

/** What kind of key of the protocol changed: `rule` can move a number, `wording` cannot. */
export type RuleChangeKind = 'rule' | 'wording' | 'search date';

/** One key of protocol.json that says something else now. */
export interface RuleChange {
  readonly kind: RuleChangeKind;
  /** `outcomes[groove-pain].windowMonths.minimum`. */
  readonly path: string;
  /** As JSON; undefined for a key that was not there. */
  readonly before: string | undefined;
  readonly after: string | undefined;
  readonly lineBefore: number | undefined;
  readonly lineAfter: number | undefined;
}

/** One version in a line. */
export interface VersionFacts {
  readonly name: string;
  readonly title: string;
  readonly lastSearch: string;
  readonly studies: number;
  readonly arms: number;
  readonly fingerprint: ReviewFingerprint;
}

/** Everything that differs between two versions of a review. */
export interface ReviewChanges {
  readonly kind: 'review-changes';
  readonly before: VersionFacts;
  readonly after: VersionFacts;
  /** Both fingerprints are equal. */
  readonly sameFiles: boolean;
  /** Nothing below: the two say the same, even where they are written differently. */
  readonly nothingChanged: boolean;
  readonly studiesAdded: readonly StudyChange[];
  readonly studiesRemoved: readonly StudyChange[];
  readonly renamed: readonly Renamed[];
  readonly rowsAdded: readonly RowChange[];
  readonly rowsRemoved: readonly RowChange[];
  readonly cells: readonly CellChange[];
  readonly rules: readonly RuleChange[];
  /** Studies of both versions, for putting one version's rows in place of the other's. */
  readonly studiesOfBoth: readonly NamePair[];
}
