import { differenceInHundred } from '../certainty/perHundred.ts';
import type { NetworkRating } from '../certainty/rateNetworkEstimate.ts';
import { siteNames } from '../extraction/site.ts';
import { type Table, table } from './table.ts';

const nameOf = (treatment: string): string =>
  (siteNames as Readonly<Record<string, string>>)[treatment]?.toLowerCase() ?? treatment;

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
      { key: 'fall', heading: 'Taken off' },
      { key: 'certainty', heading: 'Certainty' },
    ],
    beside: 'sources compared',
    rows: ratings.map(({ question, body, direct, indirect, path, incoherence, imprecision, level }) => ({
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
      fall: [
        ...(incoherence.proposed === 0 ? [] : [`incoherence ${Math.abs(incoherence.proposed)}`]),
        ...(imprecision.proposed === 0 ? [] : [`imprecision ${Math.abs(imprecision.proposed)}`]),
      ].join(', '),
      certainty: level ?? 'no level',
    })),
    notes: [
      'Direct evidence is that of studies of the pair; indirect the lower of the legs of the way round that carries most. The network starts at the higher of the two.',
    ],
  });
}
