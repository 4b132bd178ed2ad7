import type { NetworkRating } from '../../certainty/rateNetworkEstimate.ts';
import { networkRatingTable } from '../networkRatingTable.ts';
import type { DocumentBlock } from '../reportDocument.ts';

/** The network of one outcome. */
export interface NetworkFindings {
  readonly name: string;
  readonly ratings: readonly NetworkRating[];
}

/** The network beside the pairs: it is a body of its own, and never mixed into theirs. */
export function networkBlocks(networks: readonly NetworkFindings[]): readonly DocumentBlock[] {
  if (networks.length === 0) return [];
  return [
    { kind: 'heading', level: 1, text: 'All sites at once' },
    {
      kind: 'paragraph',
      text: 'A network joins what studies of a pair say with what they say by way of the other sites. It is a body of evidence of its own, beside those above and never mixed into them; it is worth no more than the studies behind the part that carries it.',
    },
    ...networks.map(
      ({ name, ratings }): DocumentBlock => ({
        kind: 'table',
        table: networkRatingTable(ratings, { caption: `${name}: what the network says` }),
      }),
    ),
  ];
}
