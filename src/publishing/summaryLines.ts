import type { Review } from '../extraction/review.ts';
import { selectEvents } from '../extraction/selectEvents.ts';
import { poolBySite } from '../pooling/poolBySite.ts';
import { describePooledRate } from '../tables/rateText.ts';
import { protocolOptions } from './protocolOptions.ts';

/** One line for each outcome counted as events and each site: what `npm start` prints at its end. */
export function summaryLines(review: Review): readonly string[] {
  const outcomes = review.protocol.outcomes.filter((outcome) => outcome.kind === 'events');
  const lines = outcomes.flatMap((outcome) => {
    const { arms } = selectEvents(review, outcome.id);
    const pools = poolBySite(arms, protocolOptions(review.protocol, outcome));
    return [
      '',
      outcome.name,
      ...pools.sites.map(({ name, pool }) => `  ${name.padEnd(14)}  ${describePooledRate(pool)}`),
    ];
  });
  return [
    ...lines,
    '',
    'Not a randomised comparison: the sites differ in patients, surgeons, years and definitions.',
  ];
}
