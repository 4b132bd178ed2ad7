import type { Answer } from '../../../answers/answer.ts';
import { peopleAmong } from '../../../effects/peopleAmong.ts';
import type { EventsOutcome } from '../../../extraction/protocol.ts';
import type { Review } from '../../../extraction/review.ts';
import type { PooledSite } from '../../../extraction/site.ts';
import type { SitePool, SitePools } from '../../../pooling/poolBySite.ts';
import { aboutInHundred, wholeText } from '../../../tables/plainWords/aboutInHundred.ts';
import { peopleOfPools } from '../../../tables/plainWords/peopleOfPools.ts';
import { baseForPools, poolInWords } from '../../../tables/plainWords/poolInWords.ts';
import { afterSite, dayInWords } from '../../../tables/plainWords/siteWords.ts';
import { quotedNotes } from '../../../tables/ratesBySiteTable.ts';
import { describePooledRate } from '../../../tables/rateText.ts';
import { counted } from '../../../wording/words.ts';
import type { Slide } from '../slide.ts';
import { studiesOf } from '../talkEvidence.ts';
import { armNotes, closingNotes, referenceNotes } from '../talkNotes.ts';

/** What a slide of rates is made from. */
export interface RatesToShow {
  readonly outcome: Pick<EventsOutcome, 'id' | 'name'>;
  readonly pools: SitePools;
  /** The answer to each site's rate, for how sure one may be; without it the notes do not say. */
  readonly rateOf?: (site: PooledSite) => Answer | undefined;
  /** Ways in which the pools differ from the protocol, one sentence each; the slide says how many. */
  readonly departures?: readonly string[];
}

/** How often it happens at each site, as people; never as a comparison. */
export function ratesSlide(review: Review, { outcome, pools, rateOf, departures = [] }: RatesToShow): Slide {
  const arms = pools.sites.flatMap(({ pool }) => pool.arms);
  const shoulders = arms.reduce((sum, { total }) => sum + total, 0);
  const groups = peopleOfPools(pools);
  const base = baseForPools(pools.sites.map(({ pool }) => pool));
  const methods = methodsOf(pools);
  const departed =
    departures.length === 0 ? '' : `${counted(departures.length, 'departure')} from the protocol (notes). `;
  return {
    kind: 'slide',
    id: `rates-${outcome.id}`,
    title: ratesTitle(outcome.name, pools.sites),
    blocks: [
      {
        kind: 'people',
        groups,
        description: `Squares of people, one a site. ${groups.map(({ name, lines }) => `${name}: ${lines.join(', ')}`).join('. ')}.`,
      },
    ],
    source: `Not a comparison of sites. ${toldSentence(pools)}${departed}${counted(studiesOf(arms), 'study', 'studies')}, ${counted(shoulders, 'shoulder')}; last search ${dayInWords(review.protocol.lastSearch)}.`,
    notes: [
      ...pools.sites.map(
        ({ name, pool }) =>
          `${name}: ${poolInWords(pool, { base }).sentence} Exactly: ${describePooledRate(pool)}.`,
      ),
      ...quotedNotes(pools.sites),
      'A full disc is an expected event, a ring with a dot one that may come up to the upper limit of the interval of the mean.',
      pools.notAComparison,
      ...pools.sites.flatMap(({ site, name, pool }) => {
        const answer = departures.length === 0 && pool.arms.length > 0 ? rateOf?.(site) : undefined;
        return answer === undefined ? [] : [`How sure, ${name}: ${rateCertaintySentence(answer)}`];
      }),
      ...departures.map((text) => `Departure from the protocol: ${text}`),
      ...pools.sites.flatMap(({ name, pool }) =>
        pool.cautions.map(({ message }) => `Caution, ${name}: ${message}`),
      ),
      ...methods.map((sentence) => `Method: ${sentence}`),
      ...pools.sites.flatMap(({ name, pool }) => armNotes(`Counts, ${name}`, pool.arms)),
      ...referenceNotes(review, arms),
      ...closingNotes(review),
    ],
  };
}

/** The method of each site; once where all sites are quoted by one, and differ in the number of arms alone. */
function methodsOf({ sites }: SitePools): readonly string[] {
  const known = new Map<string, string>();
  for (const { pool } of sites) {
    const { quoted, methodsSentence } = pool;
    const key = quoted === undefined ? methodsSentence : `${quoted.method} ${quoted.estimand}`;
    if (!known.has(key)) known.set(key, methodsSentence);
  }
  return [...known.values()];
}

/** What the rates of the slide are numbers of, in as few words as a slide has room for. */
function toldSentence({ sites }: SitePools): string {
  const told = sites.flatMap(({ pool: { quoted } }) =>
    quoted === undefined || quoted.arms === 0 || quoted.estimand === 'one series' ? [] : quoted.estimand,
  );
  const [first] = told;
  return first === undefined
    ? ''
    : `Rate: ${first === 'centre on the scale' ? 'DerSimonian-Laird' : first}. `;
}

/** How sure one may be of one rate. */
const rateCertaintySentence = ({ sentence, certainty: { level, confirmed } }: Answer): string =>
  level === undefined
    ? sentence
    : `${level} certainty${confirmed ? '' : ' (proposed by the numbers, not yet confirmed)'}. ${sentence}`;

function ratesTitle(name: string, sites: readonly SitePool[]): string {
  const known = sites.filter(({ pool }) => pool.headline !== undefined);
  const [only, second] = known;
  if (only === undefined) return `${name}: we cannot tell how often it happens`;
  if (second === undefined)
    return `${name}: ${poolInWords(only.pool).about} ${afterSite[only.site]}; elsewhere we cannot tell`;
  const base = baseForPools(known.map(({ pool }) => pool));
  const rates = known.map(({ pool }) => pool.headline!.rate).sort((a, b) => a - b);
  const [least = 0, most = 0] = [rates[0], rates.at(-1)];
  const [low, high] = [least, most].map((rate) => peopleAmong(rate, undefined, base).about);
  const words = (rate: number) => aboutInHundred(rate, undefined, undefined, { base }).about;
  if (low === high)
    return `${name}: ${least === 0 && most === 0 ? 'not seen' : words(most)} at ${known.length === sites.length ? 'every site' : 'each site that counted it'}`;
  const from = least === 0 ? 'none seen' : low === 0 ? 'fewer than 1' : `about ${wholeText(low ?? 0)}`;
  return `${name}: ${from} to ${least === 0 || low === 0 ? words(most) : `${wholeText(high ?? 0)} in ${wholeText(base)}`}, by site`;
}
