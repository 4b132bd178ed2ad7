import { describe, expect, it } from 'vitest';
import {
  classifySite,
  type SiteEvidence,
  siteRuleMeanings,
  siteRules,
} from '../../src/extraction/classifySite.ts';
import { midGrooveRules, type SiteRule } from '../../src/extraction/protocol.ts';
import { notReported } from '../../src/extraction/reported.ts';
import { classifiedSites } from '../../src/extraction/site.ts';
import { siteEntries } from '../../src/extraction/siteEntry.ts';
import { landmarkMillimetres } from '../../src/extraction/siteRuler.ts';

const arm = (siteAsReported: string, more: Partial<SiteEvidence> = {}): SiteEvidence => ({
  siteAsReported,
  siteAsClassified: notReported,
  distanceMm: notReported,
  distanceFrom: notReported,
  ...more,
});
const rule: SiteRule = { midGroove: 'with-suprapectoral' };
const siteOf = (words: string, more: Partial<SiteEvidence> = {}): string =>
  classifySite(arm(words, more), rule).site;

// Wording cues of methods sections: common practice, no source.
const wordings: Readonly<Record<string, readonly string[]>> = {
  'top-of-groove': [
    'at the articular margin',
    'Proximal tenodesis at the entrance of the groove',
    'at the top of the bicipital groove',
    'high in the groove, intra-articular view',
    'immediately below the cartilage edge',
    'proximal part of the groove',
  ],
  suprapectoral: [
    'suprapectoral',
    'supra-pectoral',
    'just proximal to the pectoralis major tendon',
    'immediately above the superior border of the pectoralis major',
    'distal groove',
    'below the groove in the subdeltoid space',
    'open suprapectoral',
    'tenotomy followed by arthroscopic suprapectoral tenodesis',
  ],
  subpectoral: [
    'subpectoral',
    'arthroscopic subpectoral',
    'sub-pectoral, mini-open',
    'deep to the pectoralis major',
    'at the inferior border of the pectoralis major through an axillary incision',
    'under the lower edge of the pectoralis',
  ],
  tenotomy: [
    'tenotomy',
    'biceps released at its origin',
    'tenotomy without tenodesis',
    'auto-tenodesis',
    'simple release',
  ],
  'soft-tissue': [
    'sutured to the rotator cuff',
    'intracuff tenodesis',
    'incorporated in the cuff repair',
    'to the conjoint tendon',
    'percutaneous transtendon technique',
  ],
  unclassified: [
    'arthroscopic tenodesis with a screw',
    'open tenodesis',
    'mini-open approach',
    'suprapectoral or subpectoral',
    'supra- or subpectoral',
    'proximal tenodesis (suprapectoral)',
    'suprapectoral intra-articular tenodesis',
    'tenotomy or tenodesis',
    '',
  ],
};

describe('site from the words', () => {
  for (const [site, examples] of Object.entries(wordings)) {
    it.each(examples)(`${site}: %s`, (words) => {
      expect(siteOf(words)).toBe(site);
    });
  }

  it('does not take the approach for the site', () => {
    for (const approach of [
      'open',
      'arthroscopic',
      'mini-open',
      'percutaneous',
      'arthroscopically assisted',
    ]) {
      expect(siteOf(`${approach} tenodesis`)).toBe('unclassified');
      expect(siteOf(`${approach} subpectoral tenodesis`)).toBe('subpectoral');
      expect(siteOf(`${approach} suprapectoral tenodesis`)).toBe('suprapectoral');
    }
  });

  it('has nothing to go by when the paper does not say', () => {
    const { site, why, confidence } = classifySite({ ...arm(''), siteAsReported: notReported }, rule);
    expect([site, why, confidence]).toEqual(['unclassified', 'The paper does not say where.', 'none']);
  });
});

describe('the three rules for mid-groove', () => {
  it('lists every rule, with its meaning', () => {
    expect(siteRules).toEqual(midGrooveRules.map((midGroove) => ({ midGroove })));
    expect(Object.keys(siteRuleMeanings)).toEqual([...midGrooveRules]);
  });

  const expected: readonly (readonly [string, Partial<SiteEvidence>, string, string, string])[] = [
    ['in the middle of the groove', {}, 'top-of-groove', 'suprapectoral', 'unclassified'],
    ['within the groove', {}, 'top-of-groove', 'suprapectoral', 'unclassified'],
    ['after opening the transverse ligament', {}, 'top-of-groove', 'suprapectoral', 'unclassified'],
    ['upper half of the groove', {}, 'top-of-groove', 'suprapectoral', 'top-of-groove'],
    ['lower half of the groove', {}, 'top-of-groove', 'suprapectoral', 'suprapectoral'],
    [
      'in the groove',
      { distanceMm: 12, distanceFrom: 'articular margin' },
      'top-of-groove',
      'suprapectoral',
      'top-of-groove',
    ],
    [
      'in the groove',
      { distanceMm: 50, distanceFrom: 'tendon origin' },
      'top-of-groove',
      'suprapectoral',
      'suprapectoral',
    ],
    [
      'whatever',
      { siteAsClassified: 'mid-groove-lower-half' },
      'top-of-groove',
      'suprapectoral',
      'suprapectoral',
    ],
    ['whatever', { siteAsClassified: 'mid-groove' }, 'top-of-groove', 'suprapectoral', 'unclassified'],
  ];
  it.each(expected)('places "%s" %j', (words, more, withTop, withSupra, split) => {
    const sites = siteRules.map((each) => classifySite(arm(words, more), each).site);
    expect(sites).toEqual([withTop, withSupra, split]);
  });

  it('leaves every other site where it is under every rule', () => {
    for (const entry of siteEntries.filter((each) => !each.startsWith('mid-groove'))) {
      for (const each of siteRules) {
        expect(classifySite(arm('whatever', { siteAsClassified: entry }), each).site).toBe(entry);
      }
    }
  });

  it('always answers with a classified site and a sentence, and refuses a rule it does not know', () => {
    for (const words of Object.values(wordings).flat()) {
      for (const each of siteRules) {
        const { site, why, confidence } = classifySite(arm(words), each);
        expect(classifiedSites).toContain(site);
        expect(why).toMatch(/^[A-Z].*\.$/);
        expect(confidence === 'none').toBe(site === 'unclassified');
      }
    }
    const unknown = { midGroove: 'by-mood' } as unknown as SiteRule;
    expect(() => classifySite(arm('within the groove'), unknown)).toThrow(
      'siteRule.midGroove must be one of "with-top-of-groove", "with-suprapectoral", "split-by-half"; received "by-mood"',
    );
  });
});

describe('site from the distance', () => {
  it('measures from the landmarks of the published ruler', () => {
    // Denard 2012, Arthroscopy 28 (PMID 22925883), 21 shoulders: millimetres from the tendon's origin.
    const fromOrigin = {
      'articular margin': 24.9,
      'lower subscapularis': 56.1,
      'upper pectoralis border': 73.8,
      'lower pectoralis border': 118.4,
    } as const;
    for (const [landmark, millimetres] of Object.entries(fromOrigin)) {
      const placed = landmarkMillimetres[landmark as keyof typeof fromOrigin];
      expect(Math.abs((placed ?? Number.NaN) - (millimetres - 24.9))).toBeLessThan(1e-9);
    }
    expect(landmarkMillimetres['top of humeral head']).toBeUndefined();
  });

  it.each([
    [0, 'articular margin', 'top-of-groove'],
    [24.9, 'tendon origin', 'top-of-groove'],
    [-6, 'upper pectoralis border', 'suprapectoral'],
    [-10, 'lower pectoralis border', 'subpectoral'],
    [20, 'articular margin', 'suprapectoral'],
    [200, 'articular margin', 'unclassified'],
    [32, 'top of humeral head', 'unclassified'],
  ] as const)('%d mm from the %s, without words, is %s', (distanceMm, distanceFrom, site) => {
    expect(siteOf('arthroscopic tenodesis', { distanceMm, distanceFrom })).toBe(site);
  });

  it('raises confidence when it agrees, and takes the site away when it contradicts', () => {
    const distance = { distanceMm: 40, distanceFrom: 'articular margin' } as const;
    expect(classifySite(arm('suprapectoral'), rule).confidence).toBe('moderate');
    expect(classifySite(arm('suprapectoral', distance), rule).confidence).toBe('high');
    const contradicted = classifySite(arm('at the articular margin', distance), rule);
    expect(contradicted.site).toBe('unclassified');
    expect(contradicted.why).toContain('contradicts');
  });

  it('does not settle words that name two sites', () => {
    expect(siteOf('suprapectoral or subpectoral', { distanceMm: 40, distanceFrom: 'articular margin' })).toBe(
      'unclassified',
    );
  });
});
