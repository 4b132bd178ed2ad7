import { mixtureNote } from '../../certainty/bodyInWords.ts';
import type { CheckedSiteClaim, SiteClaimVerdict } from '../../claims/checkSiteClaim.ts';
import type { SiteClaim } from '../../claims/siteClaim.ts';
import { peopleBaseFor } from '../../effects/peopleAmong.ts';
import { siteNames } from '../../extraction/site.ts';
import { startLarge, wholeText } from './aboutInHundred.ts';
import { pairInWords } from './pairInWords.ts';
import { poolInWords } from './poolInWords.ts';
import { afterSite, siteInSentence } from './siteWords.ts';

/** A checked sentence in words for a room. */
export interface ClaimInWords {
  /** The verdict in a sentence, without a full stop. */
  readonly title: string;
  readonly reason: string;
  /** What stands above the sentences below. */
  readonly heading: string;
  /** What the numbers bear out, absolute first; a ratio only after them. */
  readonly instead: readonly string[];
}

const titles: Readonly<Record<SiteClaimVerdict, string>> = {
  'borne out': 'The numbers bear this sentence out',
  'direction only': 'The direction of this sentence holds, its number is not settled',
  'cannot tell': 'This sentence should not be said: we cannot tell',
  contradicted: 'The numbers contradict this sentence',
};

/** What may be said in place of a claim, or with it. */
export function claimInWords(checked: CheckedSiteClaim): ClaimInWords {
  const { claim, verdict, reason, evidence, count } = checked;
  const { outcome, pair, pool } = evidence;
  if (count !== undefined || claim.kind === 'count')
    return {
      title: verdict === 'direction only' ? 'A count like this leaves a wide range open' : titles[verdict],
      reason: count?.sentence ?? reason,
      heading: 'What goes with it:',
      instead: count?.further.slice(0, 3) ?? [],
    };
  const heading = verdict === 'cannot tell' ? 'What the studies saw:' : 'What may be said:';
  if (claim.kind === 'rate') {
    const words = pool === undefined ? undefined : poolInWords(pool, { base: peopleBaseFor([claim.rate]) });
    return {
      title: verdict === 'direction only' ? 'This rate is one of several that fit' : titles[verdict],
      reason,
      heading,
      instead: [
        `${outcome.name} ${afterSite[claim.site]}: ${words === undefined ? 'nothing known' : lowerFirst(words.sentence)}`,
        'The rate is pooled from series and says nothing of another site.',
      ],
    };
  }
  if (pair === undefined) return { title: titles[verdict], reason, heading, instead: [] };
  const words = pairInWords(pair, outcome);
  const ratio =
    pair.ratio !== undefined && claim.kind === 'ratio' && pair.risks !== undefined
      ? [
          `As a ratio: ${ratioText(pair.ratio.value)} times, likely between ${ratioText(pair.ratio.lower, Math.floor)} and ${ratioText(pair.ratio.upper, Math.ceil)}${mixtureNote(pair.answer.body)}.`,
        ]
      : [];
  return {
    title: titles[verdict],
    reason,
    heading,
    instead: [
      ...(words.risks.length === 0
        ? [words.opening]
        : [
            `${outcome.name}. ${words.opening} ${words.risks.join('; ')}.`,
            `${siteNames[claim.site]}: ${words.difference === undefined ? '' : lowerFirst(words.difference)}`,
          ]),
      ...ratio,
      ...(evidence.certainty === undefined ? [] : [`How sure: ${evidence.certainty} certainty.`]),
    ].map(startLarge),
  };
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/**
 * How a sentence was understood, so that a speaker sees it when it was not meant so.
 *
 * @example
 * claimAsRead(claim) // 'about 2 times as many after tenotomy as after subpectoral fixation'
 */
export function claimAsRead(claim: SiteClaim): string {
  if (claim.kind === 'count') {
    const { events, total, comparator, limit } = claim.count;
    return `${wholeText(events)} of ${wholeText(total)}${comparator === undefined ? '' : ` against ${wholeText(comparator.events)} of ${wholeText(comparator.total)}`}${limit === undefined ? '' : `, claimed to be under ${hundredText(limit)}`}`;
  }
  const after = afterSite[claim.site];
  if (claim.kind === 'rate') return `${claim.bound} ${hundredText(claim.rate)} ${after}`;
  const other = afterSite[claim.comparator];
  switch (claim.kind) {
    case 'ratio':
      return `${claim.bound} ${Number(claim.factor.toPrecision(3))} times as many ${after} as ${other}`;
    case 'difference': {
      const fewer = claim.difference < 0;
      const bound = fewer ? opposite[claim.bound] : claim.bound;
      return `${bound} ${hundredText(Math.abs(claim.difference)).replace(' in', ` ${fewer ? 'fewer' : 'more'} in`)} ${after} than ${other}`;
    }
    case 'direction':
      return `${claim.direction} ${after} than ${other}`;
    case 'alike':
      return `no difference that matters between ${siteInSentence[claim.site]} and ${siteInSentence[claim.comparator]}`;
  }
}

const opposite = { about: 'about', 'at least': 'at most', 'at most': 'at least' } as const;

const hundredText = (rate: number): string => `${Number((100 * rate).toPrecision(6))} in 100`;

/** A ratio as it is said: two figures, limits with three and rounded outwards. */
function ratioText(ratio: number, rounded?: (value: number) => number): string {
  if (ratio >= 100) return 'more than 100';
  if (ratio < 0.01) return 'less than 0.01';
  const digits = rounded === undefined ? 2 : 3;
  const unit = 10 ** (Math.floor(Math.log10(ratio)) - digits + 1);
  return String(Number(((rounded ?? Math.round)(ratio / unit) * unit).toPrecision(digits)));
}
