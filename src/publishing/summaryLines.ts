import { answersOf } from '../answers/answersOf.ts';
import type { Review } from '../extraction/review.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { describePooledRate, otherMethodOf, percentText } from '../tables/rateText.ts';

/** One line for each outcome counted as events and each site: what `npm start` prints at its end. */
export function summaryLines(review: Review): readonly string[] {
  const outcomes = review.protocol.outcomes.filter((outcome) => outcome.kind === 'events');
  const lines = outcomes.flatMap((outcome) => {
    const { pools } = answersOf(review).counts(outcome.id);
    return [
      '',
      outcome.name,
      ...pools.sites.map(
        ({ name, pool }) => `  ${name.padEnd(14)}  ${describePooledRate(pool)}${otherMethod(pool)}`,
      ),
    ];
  });
  return [
    ...lines,
    '',
    'Not a randomised comparison: the sites differ in patients, surgeons, years and definitions.',
  ];
}

function otherMethod(pool: PooledRate): string {
  const other = otherMethodOf(pool);
  return other === undefined ? '' : `; method matters: ${other.words} ${percentText(other.rate)}`;
}
