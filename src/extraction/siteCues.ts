import type { SiteEntry } from './siteEntry.ts';

/** Words of a methods section that tell a site. */
export interface SiteCue {
  readonly site: SiteEntry;
  /** The cue in words, for the reason given. */
  readonly cue: string;
  readonly pattern: RegExp;
  /** Words that name the site outright against words that only point to it. */
  readonly strength: 'plain' | 'hint';
}

/**
 * Cues, most specific first: a passage that matches one is taken out before the next is tried, so
 * that "top of the groove" is not also read as "in the groove".
 *
 * Approach words (open, arthroscopic, mini-open, percutaneous) are deliberately absent: open
 * suprapectoral and arthroscopic subpectoral operations are both in print. The wording is common
 * practice in methods sections, no source.
 */
export const siteCues: readonly SiteCue[] = [
  cue('unclassified', 'supra- or subpectoral', 'plain', /\bsupra[\s-]*(,|\/|and|or)\s*sub[\s-]*pectoral\w*/),
  cue('suprapectoral', 'suprapectoral', 'plain', /\bsupra[\s-]*pectoral\w*/),
  cue('subpectoral', 'subpectoral', 'plain', /\b(sub|infra)[\s-]*pectoral\w*/),
  cue(
    'suprapectoral',
    'proximal to the pectoralis',
    'plain',
    /\b(proximal to|above|superior to|over) the (upper |superior |proximal )?(border |edge |margin )?(of the )?pectoralis\b( major)?/,
  ),
  cue(
    'suprapectoral',
    'upper border of the pectoralis',
    'plain',
    /\b(upper|superior|proximal) (border|edge|margin) of (the )?pectoralis\b( major)?/,
  ),
  cue(
    'subpectoral',
    'distal or deep to the pectoralis',
    'plain',
    /\b(deep to|beneath|under|underneath|distal to|below|inferior to|behind) the (lower |inferior |distal )?(border |edge |margin )?(of the )?pectoralis\b( major)?/,
  ),
  cue(
    'subpectoral',
    'lower border of the pectoralis',
    'plain',
    /\b(lower|inferior|distal) (border|edge|margin) of (the )?pectoralis\b( major)?/,
  ),
  cue(
    'suprapectoral',
    'below the groove',
    'plain',
    /\b(below|distal to|out of|outside|beyond) the (bicipital |intertubercular )?(groove|sulcus)\b/,
  ),
  cue(
    'mid-groove-upper-half',
    'upper half of the groove',
    'plain',
    /\b(upper|proximal) half of the (bicipital |intertubercular )?(groove|sulcus)\b/,
  ),
  cue(
    'mid-groove-lower-half',
    'lower half of the groove',
    'plain',
    /\b(lower|distal) half of the (bicipital |intertubercular )?(groove|sulcus)\b/,
  ),
  cue(
    'suprapectoral',
    'distal groove',
    'plain',
    /\b(distal|lower|inferior|bottom|end)( part| portion| third| end)?( of the)? (bicipital |intertubercular )?(groove|sulcus)\b/,
  ),
  cue(
    'top-of-groove',
    'top of the groove',
    'plain',
    /\b(top|entrance|entry|inlet|opening|proximal (end|part|portion|aspect|third)|upper (end|part|portion|third)|high)( in| of| at| to)?( the)? (bicipital |intertubercular )?(groove|sulcus)( entrance)?\b/,
  ),
  cue('top-of-groove', 'groove entrance', 'plain', /\b(groove|sulcus) entrance\b/),
  cue(
    'top-of-groove',
    'articular margin',
    'plain',
    /\b(articular|cartilage|chondral) (margin|edge|border)\b/,
  ),
  cue(
    'mid-groove',
    'middle of the groove',
    'plain',
    /\b(mid|middle|centre|center|central)([\s-]+(part|portion|third))?([\s-]+of)?([\s-]+the)?[\s-]+(bicipital |intertubercular )?(groove|sulcus)\b/,
  ),
  cue(
    'mid-groove',
    'in the groove',
    'plain',
    /\b(in|within|inside|into|along) (the |its )?(bicipital |intertubercular )?(groove|sulcus)\b/,
  ),
  cue('mid-groove', 'transverse ligament opened', 'hint', /\btransverse( humeral)? ligament\b/),
  cue(
    'soft-tissue',
    'sutured to soft tissue',
    'plain',
    /\b(soft[\s-]+tissue|intra-?cuff|conjoint tendon|rotator interval|transtendon\w*|(sutured|stitched|incorporated|woven|fixed)\s+(in|into|to|with)\s+(the\s+)?(rotator\s+)?cuff(\s+repair)?)\b/,
  ),
  cue('tenotomy', 'auto-tenodesis', 'plain', /\bauto[\s-]*tenodesis\b/),
  cue(
    'tenotomy',
    'tenotomy',
    'plain',
    /\b(tenotom\w+|released? (at|from|off) (its|the) (origin|labrum|superior labrum|supraglenoid tubercle)|(simple|isolated) release)\b/,
  ),
  cue('top-of-groove', 'proximal', 'hint', /\b(proximal|intra-?articular)( biceps)? (tenodesis|fixation)\b/),
];

function cue(site: SiteEntry, words: string, strength: SiteCue['strength'], pattern: RegExp): SiteCue {
  return { site, cue: words, strength, pattern };
}
