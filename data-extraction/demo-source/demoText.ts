import type { DemoSite } from './demoStudies.ts';

/** Ways a methods section words each site; some are left to the words, some classified by the extractor. */
export const siteWordings: Readonly<Record<DemoSite, readonly string[]>> = {
  top: [
    'at the articular margin, seen from inside the joint',
    'at the top of the bicipital groove',
    'at the entrance of the groove, 5 mm below the cartilage edge',
  ],
  supra: [
    'just proximal to the pectoralis major tendon',
    'suprapectoral, below the groove',
    'in the distal groove above the pectoralis major',
    'open suprapectoral through a small anterior incision',
  ],
  sub: [
    'deep to the pectoralis major through an axillary incision',
    'subpectoral, at the inferior border of the pectoralis major',
    'arthroscopic subpectoral',
  ],
  teno: [
    'tenotomy at the labrum, no tenodesis',
    'released at its origin and left to retract',
    'simple tenotomy',
  ],
  mid: ['in the middle of the bicipital groove', 'within the groove after opening the transverse ligament'],
  'mid-upper': ['upper half of the groove'],
  'mid-lower': ['lower half of the groove'],
  soft: ['sutured to the rotator cuff during its repair'],
  unclear: ['arthroscopic tenodesis with an interference screw'],
};

/** Notes of an extractor that a page or a spreadsheet must show as text and never act on. */
export const awkwardNotes = [
  'reads "4 of 38" in the text, <38 in the table & nothing in the figure',
  'denominator from the flow chart;\nthe abstract gives another',
  'âge moyen 54 ± 9 (sic)',
] as const;
