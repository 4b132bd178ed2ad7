import { clinicalCaution, inventedDataNotice, type PageFacts, showsInventedData } from '../../pageFacts.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import { plainAnswer } from '../analysis/plainAnswer.ts';

/**
 * The answer in sentences for a slide: what was counted, a rate a site, in what it departs from the protocol, why it is
 * no comparison, where it comes from, and the caution.
 */
export function slideText({ outcome, pools, departures }: LiveAnalysis, facts: PageFacts): string {
  return [
    ...(showsInventedData(facts) ? [inventedDataNotice] : []),
    outcome.name,
    ...plainAnswer(pools),
    ...(departures.length === 0
      ? ['As the protocol has it.']
      : ['Not as the protocol has it:', ...departures.map((sentence) => `- ${sentence}`)]),
    pools.notAComparison,
    `${facts.reviewTitle}; last search ${facts.lastSearch}.`,
    clinicalCaution,
  ].join('\n');
}
