import { fitNetwork } from '../comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../comparison/network/networkFromCounts.ts';
import { splitNodes } from '../comparison/network/splitNodes.ts';
import type { Review } from '../extraction/review.ts';
import { pooledSites, siteNames } from '../extraction/site.ts';
import type { SelectedCounts } from './certaintyOfReview.ts';
import type { CertaintyRating } from './certaintyRating.ts';
import { decisionsOfReview } from './decisionsOfReview.ts';
import { fingerprintOfBody } from './fingerprintOfBody.ts';
import { qualityForQuestion } from './quality/studyQuality.ts';
import { type NetworkRating, rateNetworkEstimate } from './rateNetworkEstimate.ts';
import { rulesOfProtocol } from './rulesOfProtocol.ts';

/**
 * How sure may a reader be of what the network of one outcome says, pair by pair?
 *
 * All studies of the selection that hold two sites or more are fitted together as odds ratios, and each pair the network
 * links is rated with {@link rateNetworkEstimate}: at the pooled risk of its comparator with that risk's interval, by the
 * rules of the protocol, and with the decisions the review records on the body `network`. A pair whose comparator has no
 * pooled risk between 0 and 1 is left out.
 *
 * @param counts counts of the outcome and its pools
 * @param ratings ratings of the comparisons of the outcome, with their others
 * @returns empty where no study links two sites
 * @see Puhan MA and others, BMJ 2014;349:g5630.
 * @example
 * networkCertainty(review, answers.counts('revision'), ratingsOf(answers)).map(({ sentence }) => sentence)
 */
export function networkCertainty(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'judgements'> & Partial<Pick<Review, 'certainty'>>,
  counts: SelectedCounts,
  ratings: readonly CertaintyRating[],
): readonly NetworkRating[] {
  const { outcome, arms, options, pools } = counts;
  const { studies, leftOut } = networkFromCounts(arms, { zeroEvents: options.zeroEvents ?? 'leave-out' });
  const network = fitNetwork(studies, { order: pooledSites, leftOut, level: options.level ?? 0.95 });
  const splits = network.parts.flatMap((part) => splitNodes(part, network.options));
  const sites = pooledSites.filter((site) => review.protocol.sites.includes(site));
  return sites.flatMap((site, at) =>
    sites.slice(at + 1).flatMap((comparator): readonly NetworkRating[] => {
      const linked = network.parts.some(({ treatments }) =>
        [site, comparator].every((each) => treatments.includes(each)),
      );
      const risk = pools.sites.find((each) => each.site === comparator)?.pool.headline;
      if (!linked || risk === undefined || !(risk.rate > 0 && risk.rate < 1)) return [];
      const question = { kind: 'comparison', outcome: outcome.id, site, comparator } as const;
      return [
        rateNetworkEstimate(network, { site, comparator }, ratings, {
          outcome,
          baseline: {
            risk: risk.rate,
            source: `${siteNames[comparator]} arms of all studies, pooled`,
            riskOf: comparator,
            interval: risk.interval,
          },
          splits,
          arms,
          rules: rulesOfProtocol(review.protocol).rules,
          decided: (body) =>
            decisionsOfReview(
              review,
              question,
              {
                design: 'network',
                held: () => fingerprintOfBody(body, qualityForQuestion(review, question)),
              },
              false,
            ),
        }),
      ];
    }),
  );
}
