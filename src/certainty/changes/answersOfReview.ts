import { comparePairs, type SitePair } from '../../comparison/pairs/comparePairs.ts';
import { estimateMeans } from '../../effects/scores/estimateMeans.ts';
import { selectScores } from '../../effects/scores/selectScores.ts';
import type { EventsOutcome, Protocol, ScoreOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { pooledSites, siteNames } from '../../extraction/site.ts';
import { poolBySite } from '../../pooling/poolBySite.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import { protocolOptions } from '../../pooling/protocolOptions.ts';
import { type Answer, type AnswerQuestion, questionKey } from './answer.ts';

/** Answers already worked out, by the arms and rules they came from; shared by the many states of one comparison. */
export type AnswerMemory = Map<string, readonly Answer[]>;

/**
 * Every number that two versions of a review are compared by, all as the protocol pools them.
 *
 * - For each outcome counted as events and each site: the pooled rate, per 100 shoulders.
 * - For each pair of sites that studies compare: the difference in events per 100 shoulders, first site less second, from
 *   the odds ratio pooled over studies with both arms (trials and cohorts), said at the pooled rate of the second site's
 *   arms in those studies.
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

function remembered(
  memory: AnswerMemory,
  parts: readonly unknown[],
  make: () => readonly Answer[],
): readonly Answer[] {
  const key = JSON.stringify(parts);
  const known = memory.get(key);
  if (known !== undefined) return known;
  const made = make();
  memory.set(key, made);
  return made;
}

function eventsAnswers(review: Review, outcome: EventsOutcome, memory: AnswerMemory): readonly Answer[] {
  const { arms } = selectEvents(review, outcome.id);
  const options = protocolOptions(review.protocol, outcome);
  const counts = arms.map(({ study, site, events, total }) => [study, site, events, total]);
  const { materialDifference } = outcome.thresholdsPer100;
  return remembered(memory, [outcome.id, outcome.name, options, counts], () => {
    const answer = (
      question: AnswerQuestion,
      rest: Omit<Answer, 'question' | 'key' | 'outcomeName' | 'unit' | 'material'>,
    ): Answer => ({
      question,
      key: questionKey(question),
      outcomeName: outcome.name,
      unit: per100,
      material: materialDifference,
      ...rest,
    });
    const rates = poolBySite(arms, options).sites.map(({ site, name, pool }) =>
      answer(
        { kind: 'rate', outcome: outcome.id, site },
        {
          name,
          value: times100(pool.headline?.rate),
          lower: times100(pool.headline?.interval.lower),
          upper: times100(pool.headline?.interval.upper),
          studies: pool.studies,
          shoulders: pool.shoulders,
        },
      ),
    );
    const { materialDifference: _, scale: __, prediction: ___, ...pooling } = options;
    const pairs = comparePairs(arms, pooling).pairs.map((pair) => {
      const { treatment: site, comparator } = pair;
      return answer({ kind: 'difference', outcome: outcome.id, site, comparator }, differenceOf(pair));
    });
    return [...rates, ...pairs];
  });
}

function differenceOf({
  name,
  studies,
  pool,
  absolute,
}: SitePair): Pick<Answer, 'name' | 'value' | 'lower' | 'upper' | 'studies' | 'shoulders'> {
  const difference = absolute[0]?.difference;
  return {
    name,
    value: times100(difference?.value),
    lower: times100(difference?.lower),
    upper: times100(difference?.upper),
    studies: pool.studies,
    shoulders: studies.reduce((sum, { treated, comparator }) => sum + treated.total + comparator.total, 0),
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
  const means = arms.map(({ study, site, scale, mean, standardDeviation, total }) => [
    study,
    site,
    scale,
    mean,
    standardDeviation,
    total,
  ]);
  return remembered(memory, [outcome.id, outcome.name, options, means], () =>
    pooledSites.map((site) => {
      const own = arms.filter((arm) => arm.site === site && arm.scale === commonest);
      const { estimates, leftOut } =
        commonest === undefined ? { estimates: [], leftOut: [] } : estimateMeans(own, { scale: commonest });
      const { mean, studies } = poolEstimates(estimates, { ...options, leftOut, scale: 'plain' });
      const question: AnswerQuestion = { kind: 'mean', outcome: outcome.id, site };
      const range = first?.range;
      const points = range === undefined ? '' : `, ${range.minimum} to ${range.maximum}`;
      return {
        question,
        key: questionKey(question),
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
    }),
  );
}

function scoreOptions({ analysis }: Protocol) {
  const { model, betweenStudyVariance, interval, prediction, level } = analysis;
  return { model, betweenStudyVariance, interval, prediction, level } as const;
}
