import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import { type CertaintyRating, certaintyLevels } from '../../src/certainty/certaintyRating.ts';
import { indirectPath } from '../../src/certainty/indirectPath.ts';
import { rateNetworkEstimate } from '../../src/certainty/rateNetworkEstimate.ts';
import { fitNetwork } from '../../src/comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../src/comparison/network/networkFromCounts.ts';
import { splitNodes } from '../../src/comparison/network/splitNodes.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { pooledSites } from '../../src/extraction/site.ts';

const review = { ...readReview(demoFiles()).review!, certainty: [] };
const { arms, outcome } = selectEvents(review, 'cosmetic-deformity');
const { studies, leftOut } = networkFromCounts(arms, { zeroEvents: { addToEachCell: 0.5 } });
const network = fitNetwork(studies, { order: pooledSites, leftOut });
const [part] = network.parts;
const splits = splitNodes(part!, network.options);
const pairs = pooledSites.flatMap((site, at) =>
  pooledSites.slice(at + 1).map((comparator) => ({ site, comparator })),
);
const ratings = pairs.map((pair) =>
  certaintyOfReview(review, { kind: 'comparison', outcome: outcome.id, ...pair }),
);
const baseline = { risk: 0.2, source: 'stated' };
const rate = (
  pair: (typeof pairs)[number],
  some: readonly CertaintyRating[] = ratings,
  options: object = {},
) => rateNetworkEstimate(network, pair, some, { outcome, baseline, splits, ...options });

/** A rating whose direct evidence, without imprecision, stands at a level. */
const at = (rating: CertaintyRating, level: number): CertaintyRating => ({
  ...rating,
  start: { ...rating.start, level: 'high' },
  domains: rating.domains.map((each) => ({
    ...each,
    levels: each.domain === 'risk of bias' ? level - 3 : each.domain === 'imprecision' ? -3 : 0,
  })),
});

describe('a network estimate', () => {
  // Puhan 2014, BMJ 349:g5630: the indirect rating is the lower of the two legs, the network starts at the higher of
  // direct and indirect; Brignardello-Petersen 2018: the parts are rated without imprecision.
  it('starts at the higher of direct and the lower leg', () => {
    const pair = pairs[3]!;
    const path = indirectPath(part!, pair.site, pair.comparator);
    expect(path).toHaveLength(3);
    const between = ({ question }: CertaintyRating, one: string, other: string) =>
      question.kind === 'comparison' &&
      [one, other].every((each) => [question.site, question.comparator].includes(each as never));
    const of = (direct: number, first: number, second: number) =>
      rate(
        pair,
        ratings.map((rating) =>
          between(rating, path[0]!, path[2]!)
            ? at(rating, direct)
            : between(rating, path[0]!, path[1]!)
              ? at(rating, first)
              : between(rating, path[1]!, path[2]!)
                ? at(rating, second)
                : rating,
        ),
      );
    for (const [direct, first, second] of [
      [3, 1, 2],
      [0, 3, 2],
      [1, 0, 3],
      [2, 2, 2],
    ] as const) {
      const rating = of(direct, first, second);
      expect(rating.direct).toBe(certaintyLevels[direct]);
      expect(rating.indirect).toBe(certaintyLevels[Math.min(first, second)]);
      expect(rating.steps[0]!.sum).toBe(Math.max(direct, Math.min(first, second)));
    }
  });

  it('falls for its own imprecision and for incoherence, and for declared intransitivity of the way round', () => {
    for (const pair of pairs) {
      const rating = rate(pair);
      if (rating.level === undefined) continue;
      const fall = rating.imprecision.proposed + rating.incoherence.proposed;
      expect(certaintyLevels.indexOf(rating.level)).toBe(Math.max(0, rating.steps[0]!.sum + fall));
    }
    const pair = pairs[3]!;
    const all = ratings.map((rating) => at(rating, 3));
    expect(rate(pair, all).indirect).toBe('high');
    expect(rate(pair, all, { intransitivity: { levels: -1, reason: 'other patients' } }).indirect).toBe(
      'moderate',
    );
  });

  it('turns incoherence into levels by its size in 100 and its p', () => {
    const split = splits[0]!;
    const pair = { site: split.treatment as never, comparator: split.comparator as never };
    const of = (gap: number, pValue: number) =>
      rateNetworkEstimate(network, pair, ratings, {
        outcome,
        baseline,
        splits: [
          {
            ...split,
            direct: { ...split.direct, value: 0 },
            indirect: { ...split.indirect, value: gap },
            pValue,
          },
        ],
      }).incoherence.proposed;
    expect([of(0.1, 0.001), of(1, 0.05), of(1, 0.5), of(3, 0.001)]).toEqual([0, -1, 0, -2]);
  });

  it('says the same of a pair the other way round', () => {
    const [one, other] = [rate(pairs[5]!), rate({ site: pairs[5]!.comparator, comparator: pairs[5]!.site })];
    expect(other!.indirect).toBe(one!.indirect);
    expect(other!.direct).toBe(one!.direct);
    expect(other!.incoherence.proposed === 0).toBe(one!.incoherence.proposed === 0);
  });

  it('refuses what it cannot answer', () => {
    expect(() => rate(pairs[0]!, ratings, { baseline: { risk: 1, source: '' } })).toThrow('baseline risk');
    const small = fitNetwork(studies.slice(0, 1), { order: pooledSites });
    expect(() =>
      pairs.map((pair) => rateNetworkEstimate(small, pair, ratings, { outcome, baseline })),
    ).toThrow('the network must link');
  });

  it('without any rated part has no level', () => {
    expect(rate(pairs[0]!, [])).toMatchObject({
      level: undefined,
      direct: undefined,
      indirect: undefined,
      steps: [],
    });
  });
});
