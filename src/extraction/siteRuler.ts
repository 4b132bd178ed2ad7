import type { Landmark } from './sheets/armsSheet.ts';
import type { SiteEntry } from './siteEntry.ts';

/**
 * Landmarks on one ruler: mm along the tendon from the articular margin, distal positive.
 * Means of 21 shoulders, Denard 2012, Arthroscopy 28 (PMID 22925883): tendon origin to margin 24.9,
 * to the lower subscapularis 56.1, to the upper pectoralis border 73.8, to the lower 118.4.
 * The top of the humeral head is a radiographic point with no published place on this ruler.
 */
export const landmarkMillimetres: Readonly<Partial<Record<Landmark, number>>> = {
  'tendon origin': -24.9,
  'articular margin': 0,
  'lower subscapularis': 31.2,
  'upper pectoralis border': 48.9,
  'lower pectoralis border': 93.5,
};

/** A stretch of the ruler. */
export interface SiteZone {
  readonly site: SiteEntry;
  readonly from: number;
  readonly to: number;
}

/**
 * Zones on that ruler. Where the top of the groove ends, 10 mm below the margin, is a convention of
 * this project; the half of the groove lies midway between margin and lower subscapularis.
 */
export const siteZones: readonly SiteZone[] = [
  { site: 'top-of-groove', from: -10, to: 10 },
  { site: 'mid-groove-upper-half', from: 10, to: 15.6 },
  { site: 'mid-groove-lower-half', from: 15.6, to: 31.2 },
  { site: 'suprapectoral', from: 31.2, to: 48.9 },
  { site: 'subpectoral', from: 48.9, to: 120 },
];

/**
 * How far a distance may lie outside a zone before it contradicts the words: two cadaver studies
 * differ by 12 mm on the length of the suprapectoral zone alone (Denard 2012; Neviaser, JSES).
 */
export const rulerTolerance = 12;
