import { fitNetwork } from '../../../comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../../comparison/network/networkFromCounts.ts';
import { splitNodes } from '../../../comparison/network/splitNodes.ts';
import { comparePairs, type SitePairs } from '../../../comparison/pairs/comparePairs.ts';
import { contrastSingleArms, type SingleArmContrast } from '../../../comparison/pairs/singleArmContrast.ts';
import { type PairLayers, siteLayers } from '../../../comparison/pairs/siteLayers.ts';
import { pooledSites } from '../../../extraction/site.ts';
import type { LiveAnalysis } from './analyse.ts';

/** The sites against each other, by studies that treated patients at both, and what single arms would have one believe. */
export interface SiteEvidence {
  readonly comparative: SitePairs;
  readonly singleArms: SingleArmContrast;
  /** What is established, suggested or unknown of each pair. */
  readonly layers: readonly PairLayers[];
}

/** The layers of evidence under the choices in force. Pairs are pooled as odds ratios. */
export function siteEvidence({ arms, pools, choices }: LiveAnalysis): SiteEvidence {
  const { zeroEvents, level, model, betweenStudyVariance, interval, prediction } = choices;
  const pooling = { zeroEvents, level, model, betweenStudyVariance, interval, prediction };
  const { studies, leftOut } = networkFromCounts(arms, { zeroEvents });
  const network = fitNetwork(studies, { model, level, order: pooledSites, leftOut });
  const trials = comparePairs(
    arms.filter(({ design }) => design === 'randomised trial'),
    pooling,
  );
  const comparative = comparePairs(arms, pooling);
  const singleArms = contrastSingleArms(pools);
  const splits = network.parts.flatMap((part) => splitNodes(part, network.options));
  return {
    comparative,
    singleArms,
    layers: siteLayers({ trials, comparative, network, splits, singleArms }),
  };
}
