import { differenceInHundred, shareText } from '../certainty/perHundred.ts';
import type { NetworkRating } from '../certainty/rateNetworkEstimate.ts';
import { siteNames } from '../extraction/site.ts';
import { certaintyText } from './evidence/certaintyWords.ts';
import { type Table, table } from './table.ts';

const nameOf = (treatment: string): string =>
  (siteNames as Readonly<Record<string, string>>)[treatment]?.toLowerCase() ?? treatment;

/** What the domains of a network estimate ask, in the words of networks. */
const domainNames: Readonly<Record<string, string>> = {
  inconsistency: 'incoherence',
  indirectness: 'intransitivity',
};

/** Which kinds of studies were fitted together. */
function designsText(ratings: readonly NetworkRating[]): string {
  const designs = [...new Set(ratings.flatMap((rating) => rating.designs))];
  if (designs.length === 0) return 'kinds of studies not stated';
  return designs.length === 1
    ? `${designs[0]} only`
    : 'trials and other studies together, where the lower rating of the two counts';
}

/** Network estimates with their certainty, and the two parts it was made from. */
export function networkRatingTable(
  ratings: readonly NetworkRating[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'How sure the network makes us',
    columns: [
      { key: 'pair', heading: 'Pair' },
      { key: 'difference', heading: 'Network estimate' },
      { key: 'direct', heading: 'Direct, without imprecision' },
      { key: 'indirect', heading: 'Indirect, without imprecision' },
      { key: 'carried', heading: 'What carries it' },
      { key: 'fall', heading: 'Taken off' },
      { key: 'certainty', heading: 'Certainty' },
    ],
    beside: 'sources compared',
    rows: ratings.map(
      ({ question, body, direct, indirect, path, dominating, directShare, domains, level, confirmed }) => ({
        pair:
          question.kind === 'comparison'
            ? `${siteNames[question.site]} against ${siteNames[question.comparator].toLowerCase()}`
            : siteNames[question.site],
        difference: body.estimate && differenceInHundred(body.estimate),
        direct: direct ?? 'no direct evidence rated',
        indirect:
          indirect === undefined
            ? 'no way round rated'
            : `${indirect}, by way of ${path.slice(1, -1).map(nameOf).join(' and ')}`,
        carried:
          dominating === 'both alike'
            ? 'both alike'
            : `${dominating}, ${shareText(dominating === 'direct' ? directShare : 1 - directShare)}`,
        fall: domains
          .filter(({ levels }) => levels !== 0)
          .map(({ domain, levels }) => `${domainNames[domain] ?? domain} ${Math.abs(levels)}`)
          .join(', '),
        certainty: level === undefined ? 'no level' : certaintyText({ level, confirmed }),
      }),
    ),
    notes: [
      `Direct evidence is that of studies of the pair; indirect the lower of the legs of the way round that carries most. Both are rated as fitted: ${designsText(ratings)}. The estimate starts at the part that carries more than half of it.`,
    ],
    sources: ratings.map(({ body }) => body.rows),
  });
}
