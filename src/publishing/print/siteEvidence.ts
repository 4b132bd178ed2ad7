import { fitNetwork } from '../../comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../comparison/network/networkFromCounts.ts';
import type { NetworkResult } from '../../comparison/network/networkResult.ts';
import { splitNodes } from '../../comparison/network/splitNodes.ts';
import { comparePairs, type SitePairs } from '../../comparison/pairs/comparePairs.ts';
import { contrastSingleArms } from '../../comparison/pairs/singleArmContrast.ts';
import { type PairLayers, siteLayers } from '../../comparison/pairs/siteLayers.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { pooledSites } from '../../extraction/site.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';

/** One outcome asked site against site, as the protocol pools. */
export interface SiteEvidence {
  readonly network: NetworkResult;
  readonly comparative: SitePairs;
  readonly layers: readonly PairLayers[];
}

/** What do studies with both sites, and the network of them, say of one outcome? */
export function siteEvidence(review: Review, outcome: EventsOutcome, pools: SitePools): SiteEvidence {
  const { arms } = selectEvents(review, outcome.id);
  const trialArms = selectEvents(review, outcome.id, { designs: ['randomised trial'] }).arms;
  const { zeroEvents, level, model, betweenStudyVariance, interval, prediction, varianceInterval } =
    review.protocol.analysis;
  const pooling = {
    zeroEvents,
    level,
    model,
    betweenStudyVariance,
    interval,
    prediction,
    ...(varianceInterval === undefined ? {} : { varianceInterval }),
  } as const;
  const { studies, leftOut } = networkFromCounts(arms, { zeroEvents });
  const network = fitNetwork(studies, { model, level, order: pooledSites, leftOut });
  const comparative = comparePairs(arms, pooling);
  const layers = siteLayers({
    trials: comparePairs(trialArms, pooling),
    comparative,
    network,
    splits: network.parts.flatMap((part) => splitNodes(part, network.options)),
    singleArms: contrastSingleArms(pools),
  });
  return { network, comparative, layers };
}
