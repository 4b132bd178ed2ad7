import type { Provenance } from '../extraction/provenance/provenance.ts';

/** What every page says about the review it was made from and the programs that made it. */
export interface PageFacts {
  readonly reviewTitle: string;
  /** The review's folder as the person named it. */
  readonly folder: string;
  readonly question: string;
  readonly inventedData: boolean;
  /** Is this the project's own demonstration, every sheet of it as it was shipped? */
  readonly isDemo?: boolean;
  /** The protocol's own notice, such as how invented data came about. */
  readonly notice: string | undefined;
  /** Date of the last search as the protocol gives it. */
  readonly lastSearch: string;
  /** For a page whose data are not the review's: where they come from. */
  readonly dataFrom: string | undefined;
  /** What the protocol changed since earlier versions of the review; empty where it changed nothing or is the first. */
  readonly amendments?: readonly string[];
  readonly tenositeVersion: string;
  readonly nodeVersion: string;
  /** What saved results followed from; undefined where the files were not at hand. */
  readonly provenance?: Provenance;
}

/** Are the data of this page made up? Not where a notebook brings published data of its own. */
export function showsInventedData(facts: PageFacts): boolean {
  return facts.inventedData && facts.dataFrom === undefined;
}

/** Title of the demonstration review. */
export const demoTitle = 'Where to fix the long head of the biceps: invented demonstration review';

/** What a page says about itself, term by term; the same words on every kind of page. */
export function factEntries(facts: PageFacts): readonly (readonly [term: string, text: string])[] {
  if (facts.dataFrom !== undefined) return [['Data', facts.dataFrom]];
  return [
    ['Review', facts.reviewTitle],
    ['Folder', facts.folder],
    ['Question', facts.question],
    ['Last search', facts.lastSearch],
    ...(facts.notice === undefined ? [] : [['Notice', facts.notice] as const]),
  ];
}

/** Printed on every page. */
export const clinicalCaution =
  'These results support clinical judgement and local guidance and never replace them. ' +
  'Treatment decisions rest with a licensed clinician and the patient.';

/** Printed on every page of a review whose data are invented. */
export const inventedDataWarning =
  'Invented data. The studies on this page do not exist; the numbers show what the page does and must ' +
  'not be used for any decision or quoted as evidence.';

/** The same within a figure, which travels alone. */
export const inventedDataNotice = 'Invented data: these studies do not exist.';
