/** What every page says about the review it was made from and the programs that made it. */
export interface PageFacts {
  readonly reviewTitle: string;
  /** The review's folder as the person named it. */
  readonly folder: string;
  readonly question: string;
  readonly inventedData: boolean;
  /** The protocol's own notice, such as how invented data came about. */
  readonly notice: string | undefined;
  /** Date of the last search as the protocol gives it. */
  readonly lastSearch: string;
  readonly tenositeVersion: string;
  readonly nodeVersion: string;
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
