import { bodyName } from '../certainty/bodyInWords.ts';
import { fitNetwork } from '../comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../comparison/network/networkFromCounts.ts';
import type { NetworkResult } from '../comparison/network/networkResult.ts';
import type { PenalisedNetwork } from '../comparison/network/penalisedNetwork.ts';
import { penalisedNetwork } from '../comparison/network/penalisedNetwork.ts';
import { type NodeSplit, splitNodes } from '../comparison/network/splitNodes.ts';
import { comparePairs, type PairOptions, type SitePairs } from '../comparison/pairs/comparePairs.ts';
import { contrastSingleArms, type SingleArmContrast } from '../comparison/pairs/singleArmContrast.ts';
import { type PairLayers, siteLayers } from '../comparison/pairs/siteLayers.ts';
import { pooledSites } from '../extraction/site.ts';
import type { Answer } from './answer.ts';
import type { ReviewAnswers } from './answersOf.ts';

/** The layers of one pair beside the answer to its question. */
export interface AnsweredLayers extends PairLayers {
  /** Undefined for a pair the review does not ask about. */
  readonly answer: Answer | undefined;
}

/** One outcome asked site against site, layer by layer. */
export interface LayersOfEvidence {
  readonly trials: SitePairs;
  /** Studies other than randomised trials that hold both sites. */
  readonly comparative: SitePairs;
  readonly network: NetworkResult;
  readonly splits: readonly NodeSplit[];
  /** A network of the counts themselves, where it was asked for. */
  readonly penalised: PenalisedNetwork | undefined;
  readonly singleArms: SingleArmContrast;
  readonly layers: readonly AnsweredLayers[];
  /** The pairs as the answers pool them, for tables of differences: each from the body that answers. */
  readonly answered: SitePairs;
}

/** Behind the name of a pair whose number is of a mixture, wherever that name stands. */
const mixtureIn = (answer: Answer | undefined): string =>
  answer?.body === 'all comparative studies' ? ` (${bodyName(answer.body)})` : '';

/**
 * What do trials, other comparative studies, the network and single arms say of each pair, beside the answer to it?
 *
 * @param options.counts also a network of the counts themselves, which adds nothing to empty cells, default false
 * @throws RangeError for an outcome the review does not count
 * @example
 * layersOfEvidence(answersOf(review), 'revision').layers.map(({ name, answer }) => `${name}: ${answer?.verdict}`)
 */
export function layersOfEvidence(
  answers: ReviewAnswers,
  outcome: string,
  options: { readonly counts?: boolean } = {},
): LayersOfEvidence {
  const { arms, options: rates, pools } = answers.counts(outcome);
  const { zeroEvents = 'leave-out', level = 0.95, model = 'random-effects' } = rates;
  const pooling: PairOptions = {
    zeroEvents,
    level,
    model,
    betweenStudyVariance: rates.betweenStudyVariance ?? 'dersimonian-laird',
    interval: rates.interval ?? 'wald',
    prediction: rates.prediction ?? 't-k-minus-2',
    varianceInterval: rates.varianceInterval ?? 'q-profile',
  };
  const measure = answers.review.protocol.analysis.comparisonMeasure ?? 'odds-ratio';
  const among = (trials: boolean): SitePairs =>
    comparePairs(
      arms.filter(({ design }) => (design === 'randomised trial') === trials),
      pooling,
    );
  const [trials, comparative] = [among(true), among(false)];
  const { studies, leftOut } = networkFromCounts(arms, { zeroEvents });
  const network = fitNetwork(studies, { model, level, order: pooledSites, leftOut });
  const splits = network.parts.flatMap((part) => splitNodes(part, network.options));
  const penalised = options.counts ? penalisedNetwork(arms, { level, order: pooledSites }) : undefined;
  const singleArms = contrastSingleArms(pools);
  const evidence = {
    trials,
    comparative,
    network,
    splits,
    singleArms,
    ...(penalised === undefined ? {} : { penalised }),
  };
  const asked = new Map(
    answers.questions.flatMap((question) =>
      question.kind === 'comparison' && question.outcome === outcome
        ? [[`${question.site} ${question.comparator}`, answers.to(question)] as const]
        : [],
    ),
  );
  const layers = siteLayers(evidence).map((pair) => ({
    ...pair,
    answer: asked.get(`${pair.treatment} ${pair.comparator}`),
  }));
  return {
    ...evidence,
    penalised,
    layers,
    answered: {
      kind: 'site-pairs',
      measure,
      pairs: layers.map(({ answer }, at) => {
        const pair = answer?.behind.pair;
        return pair === undefined
          ? comparePairs([], { ...pooling, measure }).pairs[at]!
          : {
              ...pair,
              name: `${pair.name}${mixtureIn(answer)}`,
              ...(answer?.asPlanned ? { answer: answer.id } : {}),
            };
      }),
    },
  };
}
