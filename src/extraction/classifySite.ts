import { type MidGrooveRule, midGrooveRules, type SiteRule } from './protocol.ts';
import type { Reported } from './reported.ts';
import { isReported } from './reported.ts';
import type { Landmark } from './sheets/armsSheet.ts';
import type { ClassifiedSite } from './site.ts';
import { siteCues } from './siteCues.ts';
import type { SiteEntry } from './siteEntry.ts';
import { landmarkMillimetres, rulerTolerance, siteZones } from './siteRuler.ts';

/** What of an arm decides its site. The approach is deliberately absent. */
export interface SiteEvidence {
  readonly siteAsReported: Reported<string>;
  readonly siteAsClassified: Reported<SiteEntry>;
  readonly distanceMm: Reported<number>;
  readonly distanceFrom: Reported<Landmark>;
}

/** How far to trust a classification. */
export type SiteConfidence = 'high' | 'moderate' | 'low' | 'none';

export interface SiteClassification {
  readonly site: ClassifiedSite;
  /** One sentence. */
  readonly why: string;
  readonly confidence: SiteConfidence;
}

/** The rules for the middle of the groove, ready to be run one after another. */
export const siteRules: readonly SiteRule[] = midGrooveRules.map((midGroove) => ({ midGroove }));

/** Each rule in words. */
export const siteRuleMeanings: Readonly<Record<MidGrooveRule, string>> = {
  'with-top-of-groove': 'mid-groove counts with top of groove, because the tendon stays in the groove',
  'with-suprapectoral':
    'mid-groove counts with suprapectoral, because it lies below the entrance and above the pectoralis',
  'split-by-half':
    'the upper half of the groove counts with top of groove, the lower half with suprapectoral',
};

interface Reading {
  readonly entry: SiteEntry;
  readonly why: string;
  readonly confidence: SiteConfidence;
}

/**
 * At which site was the tendon fixed?
 *
 * The extractor's own reading goes first; then the words of the methods section, checked against
 * the distance where there is one; then the distance alone. Words that name two sites, words the
 * distance contradicts, and words that name none leave the arm unclassified. The rule then places
 * the middle of the groove. The surgical approach plays no part.
 *
 * @param rule Where mid-groove counts; see {@link siteRules}.
 * @example
 * classifySite(arm, { midGroove: 'split-by-half' }).site // 'suprapectoral'
 */
export function classifySite(arm: SiteEvidence, rule: SiteRule): SiteClassification {
  const reading = readSite(arm);
  const placed = placeMidGroove(reading.entry, rule.midGroove, arm);
  const why = placed.note === undefined ? reading.why : `${reading.why} ${placed.note}`;
  return { site: placed.site, why, confidence: placed.site === 'unclassified' ? 'none' : reading.confidence };
}

const general = (entry: SiteEntry): SiteEntry => (entry.startsWith('mid-groove') ? 'mid-groove' : entry);

function readSite(arm: SiteEvidence): Reading {
  if (isReported(arm.siteAsClassified)) {
    return {
      entry: arm.siteAsClassified,
      why: `The extractor classified it as ${arm.siteAsClassified}.`,
      confidence: 'high',
    };
  }
  const words = readWords(arm.siteAsReported);
  const height = heightOf(arm);
  if (words.entry === 'unclassified') {
    // Words that contradict each other are not settled by a mean ruler; words that say nothing may be.
    if (words.found || height === undefined) return words;
    const entry = siteZones.find((zone) => height >= zone.from && height < zone.to)?.site;
    if (entry === undefined) return words;
    const why = `${words.why} The distance, ${height.toFixed(1)} mm below the articular margin, lies in the ${entry} zone.`;
    return { entry, why, confidence: 'low' };
  }
  if (height === undefined) return words;
  const zones = siteZones.filter((zone) => general(zone.site) === general(words.entry));
  if (zones.length === 0) return words;
  const fits = zones.some(
    (zone) => height >= zone.from - rulerTolerance && height < zone.to + rulerTolerance,
  );
  if (!fits) {
    const why = `${words.why} But the distance, ${height.toFixed(1)} mm below the articular margin, contradicts it.`;
    return { entry: 'unclassified', why, confidence: 'none' };
  }
  const half =
    words.entry === 'mid-groove'
      ? zones.find((zone) => height >= zone.from && height < zone.to)?.site
      : undefined;
  return { entry: half ?? words.entry, why: `${words.why} The distance agrees.`, confidence: 'high' };
}

/** Millimetres below the articular margin. */
function heightOf(arm: SiteEvidence): number | undefined {
  if (!isReported(arm.distanceMm) || !isReported(arm.distanceFrom)) return undefined;
  const landmark = landmarkMillimetres[arm.distanceFrom];
  return landmark === undefined ? undefined : landmark + arm.distanceMm;
}

function readWords(reported: Reported<string>): Reading & { readonly found: boolean } {
  if (!isReported(reported)) {
    return { entry: 'unclassified', why: 'The paper does not say where.', confidence: 'none', found: false };
  }
  let rest = reported.toLowerCase().replace(/\s+/g, ' ');
  const found: (typeof siteCues)[number][] = [];
  for (const cue of siteCues) {
    const match = cue.pattern.exec(rest);
    if (match === null) continue;
    found.push(cue);
    rest = rest.replace(new RegExp(cue.pattern.source, 'g'), ' · ');
  }
  // Every tenodesis begins with a tenotomy, so the release counts only where nothing was fixed.
  const fixedSomewhere =
    found.some((cue) => cue.site !== 'tenotomy') || /\b(?<!without |no )tenodes[ie]s\b/.test(rest);
  const telling = fixedSomewhere ? found.filter((cue) => cue.site !== 'tenotomy') : found;
  const plain = telling.filter((cue) => cue.strength === 'plain');
  const used =
    telling.some((cue) => cue.strength === 'hint') && plain.length > 0 ? agreeing(plain, telling) : telling;
  const sites = [...new Set(used.map((cue) => cue.site))];
  const cues = used.map((cue) => `"${cue.cue}"`).join(' and ');
  const [entry] = sites;
  if (entry === undefined) {
    return { entry: 'unclassified', why: 'The words name no site.', confidence: 'none', found: false };
  }
  if (sites.length > 1 || entry === 'unclassified') {
    return {
      entry: 'unclassified',
      why: `The words name more than one site: ${cues}.`,
      confidence: 'none',
      found: true,
    };
  }
  const confidence = plain.length > 0 ? 'moderate' : 'low';
  return { entry, why: `The words say ${cues}.`, confidence, found: true };
}

/** Opening the transverse ligament is said of many sites; "proximal" beside another site is a contradiction. */
function agreeing(
  plain: readonly (typeof siteCues)[number][],
  all: readonly (typeof siteCues)[number][],
): readonly (typeof siteCues)[number][] {
  return [...plain, ...all.filter((cue) => cue.strength === 'hint' && cue.site !== 'mid-groove')];
}

function placeMidGroove(
  entry: SiteEntry,
  rule: MidGrooveRule,
  arm: SiteEvidence,
): { readonly site: ClassifiedSite; readonly note?: string } {
  if (entry !== 'mid-groove' && entry !== 'mid-groove-upper-half' && entry !== 'mid-groove-lower-half')
    return { site: entry };
  const note = `Rule: ${siteRuleMeanings[rule]}.`;
  switch (rule) {
    case 'with-top-of-groove':
      return { site: 'top-of-groove', note };
    case 'with-suprapectoral':
      return { site: 'suprapectoral', note };
    case 'split-by-half': {
      const half = entry === 'mid-groove' ? halfFromHeight(heightOf(arm)) : entry;
      if (half === 'mid-groove-upper-half') return { site: 'top-of-groove', note };
      if (half === 'mid-groove-lower-half') return { site: 'suprapectoral', note };
      return { site: 'unclassified', note: `${note} The paper does not tell the half.` };
    }
    default:
      throw new RangeError(
        `siteRule.midGroove must be one of ${midGrooveRules.map((name) => `"${name}"`).join(', ')}; received "${String(rule)}"`,
      );
  }
}

function halfFromHeight(height: number | undefined): SiteEntry | undefined {
  if (height === undefined) return undefined;
  return siteZones.find(
    (zone) => zone.site.startsWith('mid-groove') && height >= zone.from && height < zone.to,
  )?.site;
}
