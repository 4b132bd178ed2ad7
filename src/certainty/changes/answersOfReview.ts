import { comparePair, type SitePair } from '../../comparison/pairs/comparePairs.ts';
import { canRuleOutFewer } from '../../effects/absoluteEffect.ts';
import { estimateMeans } from '../../effects/scores/estimateMeans.ts';
import { selectScores } from '../../effects/scores/selectScores.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import type { EventsOutcome, Protocol, ScoreOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { pooledSites, siteNames } from '../../extraction/site.ts';
import { countsBeside } from '../../pooling/armsInNumber.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import { poolRates } from '../../pooling/poolRates.ts';
import { protocolOptions } from '../../pooling/protocolOptions.ts';
import { type Answer, type AnswerQuestion, questionKey } from './answer.ts';

/** Answers already worked out, by the arms and rules they came from; shared by the many states of one comparison. */
export type AnswerMemory = Map<string, Answer>;

/**
 * Every number that two versions of a review are compared by, all as the protocol pools them.
 *
 * - For each outcome counted as events and each site: the pooled rate, per 100 shoulders.
 * - For each pair of sites that studies compare: the difference in events per 100 shoulders, first site less second, from
 *   the odds ratio pooled over randomised trials with both arms, or over other studies where no trial gives an estimate
 *   (the two are never mixed), said at the pooled rate of the second site's arms in those studies.
 * - For each score and each site: the pooled mean, on the scale most arms use.
 *
 * @param memory pass one map for several reviews that share most of their arms
 */
export function answersOfReview(
  review: Review,
  memory: AnswerMemory = new Map(),
): ReadonlyMap<string, Answer> {
  const answers = review.protocol.outcomes.flatMap((outcome) =>
    outcome.kind === 'events'
      ? eventsAnswers(review, outcome, memory)
      : scoreAnswers(review, outcome, memory),
  );
  return new Map(answers.map((answer) => [answer.key, answer]));
}

const per100 = 'per 100 shoulders';

/** Works an answer out once for the same outcome, options and arms. */
function remembered(memory: AnswerMemory, parts: readonly unknown[], make: () => Answer): Answer {
  const key = JSON.stringify(parts);
  const known = memory.get(key);
  if (known !== undefined) return known;
  const made = make();
  memory.set(key, made);
  return made;
}

const countOf = ({ study, site, design, events, total }: ArmEvents): readonly unknown[] => [
  study,
  site,
  design,
  events,
  total,
];

function eventsAnswers(review: Review, outcome: EventsOutcome, memory: AnswerMemory): readonly Answer[] {
  const { arms } = selectEvents(review, outcome.id);
  const options = protocolOptions(review.protocol, outcome);
  const material = outcome.thresholdsPer100.materialDifference;
  const answer = (
    question: AnswerQuestion,
    own: readonly ArmEvents[],
    make: () => Omit<Answer, 'question' | 'key' | 'outcomeName' | 'unit' | 'material'>,
  ): Answer => {
    const key = questionKey(question);
    return remembered(memory, [key, outcome.name, options, own.map(countOf)], () => ({
      question,
      key,
      outcomeName: outcome.name,
      unit: per100,
      material,
      ...make(),
    }));
  };
  const rates = pooledSites.map((site) => {
    const own = arms.filter((arm) => arm.site === site);
    return answer({ kind: 'rate', outcome: outcome.id, site }, own, () => {
      const pool = poolRates(own, options);
      const { headline } = pool;
      const { studies, shoulders } = countsBeside(pool);
      return {
        name: siteNames[site],
        value: times100(headline?.rate),
        lower: times100(headline?.interval.lower),
        upper: times100(headline?.interval.upper),
        studies,
        shoulders,
      };
    });
  });
  const { materialDifference: _, scale: __, prediction: ___, ...pooling } = options;
  const differences = pooledSites.flatMap((site, at) =>
    pooledSites.slice(at + 1).map((comparator) => {
      const own = arms.filter((arm) => arm.site === site || arm.site === comparator);
      return answer({ kind: 'difference', outcome: outcome.id, site, comparator }, own, () => {
        const among = (trials: boolean): SitePair =>
          comparePair(
            own.filter(({ design }) => (design === 'randomised trial') === trials),
            site,
            comparator,
            pooling,
          ).pair;
        const trials = among(true);
        if (trials.absolute.length > 0)
          return { ...differenceOf(trials, material), design: 'randomised trials' };
        const others = among(false);
        return others.studies.length > 0
          ? { ...differenceOf(others, material), design: 'non-randomised studies' }
          : { ...differenceOf(trials, material), design: 'randomised trials' };
      });
    }),
  );
  return [...rates, ...differences];
}

function differenceOf(
  { name, studies, inNumber, absolute }: SitePair,
  material: number,
): Pick<Answer, 'name' | 'value' | 'lower' | 'upper' | 'studies' | 'shoulders' | 'alwaysOpen'> {
  const effect = absolute[0];
  const used = effect === undefined ? studies : inNumber;
  return {
    name,
    value: times100(effect?.difference.value),
    lower: times100(effect?.difference.lower),
    upper: times100(effect?.difference.upper),
    studies: used.length,
    shoulders: used.reduce((sum, { treated, comparator }) => sum + treated.total + comparator.total, 0),
    ...(effect === undefined || canRuleOutFewer(effect.baselineInterval, material / 100)
      ? {}
      : { alwaysOpen: 'below' as const }),
  };
}

const times100 = (value: number | undefined): number | undefined =>
  value === undefined ? undefined : 100 * value;

function scoreAnswers(review: Review, outcome: ScoreOutcome, memory: AnswerMemory): readonly Answer[] {
  const { arms } = selectScores(review, outcome.id);
  const counts = new Map<string, number>();
  for (const { scale } of arms) counts.set(scale, (counts.get(scale) ?? 0) + 1);
  const commonest = [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
  const first = arms.find((arm) => arm.scale === commonest);
  const options = scoreOptions(review.protocol);
  return pooledSites.map((site) => {
    const question: AnswerQuestion = { kind: 'mean', outcome: outcome.id, site };
    const own = arms.filter((arm) => arm.site === site && arm.scale === commonest);
    const means = own.map(({ study, mean, standardDeviation, total }) => [
      study,
      mean,
      standardDeviation,
      total,
    ]);
    const key = questionKey(question);
    return remembered(memory, [key, outcome.name, options, commonest, means], () => {
      const { estimates, leftOut } =
        commonest === undefined ? { estimates: [], leftOut: [] } : estimateMeans(own, { scale: commonest });
      const { mean, studies } = poolEstimates(estimates, { ...options, leftOut, scale: 'plain' });
      const range = first?.range;
      const points = range === undefined ? '' : `, ${range.minimum} to ${range.maximum}`;
      return {
        question,
        key,
        outcomeName: outcome.name,
        name: siteNames[site],
        unit: `points (${first?.scaleName ?? 'no scale'}${points})`,
        value: mean?.value,
        lower: mean?.interval.lower,
        upper: mean?.interval.upper,
        studies,
        shoulders: own.reduce((sum, { total }) => sum + total, 0),
        material: outcome.thresholdsPoints.materialDifference,
      };
    });
  });
}

function scoreOptions({ analysis }: Protocol) {
  const { model, betweenStudyVariance, interval, prediction, level } = analysis;
  return { model, betweenStudyVariance, interval, prediction, level } as const;
}
