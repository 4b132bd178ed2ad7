import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import { type CertaintyRating, certaintyLevels } from '../../src/certainty/certaintyRating.ts';
import { indirectPath } from '../../src/certainty/indirectPath.ts';
import { rateNetworkEstimate } from '../../src/certainty/rateNetworkEstimate.ts';
import { fitNetwork } from '../../src/comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../src/comparison/network/networkFromCounts.ts';
import type { NetworkResult } from '../../src/comparison/network/networkResult.ts';
import { splitNodes } from '../../src/comparison/network/splitNodes.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { pooledSites } from '../../src/extraction/site.ts';
import { evidenceOfReview } from '../../src/publishing/evidenceOfReview.ts';
import { evidenceDocument } from '../../src/tables/evidenceDocument.ts';

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

/** A rating whose direct evidence, without imprecision, stands at a level, in every kind of studies. */
const at = (rating: CertaintyRating, level: number): CertaintyRating => ({
  ...rating,
  start: { ...rating.start, level: 'high' },
  domains: rating.domains.map((each) => ({
    ...each,
    levels: each.domain === 'risk of bias' ? level - 3 : each.domain === 'imprecision' ? -3 : 0,
  })),
  others: rating.others.map((other) => at(other, level)),
});

/** Ratings where the pair, and the first and the second leg of its way round, stand at these levels. */
const standing = (
  pair: (typeof pairs)[number],
  direct: number,
  first: number,
  second: number,
): readonly CertaintyRating[] => {
  const path = indirectPath(part!, pair.site, pair.comparator);
  const between = ({ question }: CertaintyRating, one: string, other: string) =>
    question.kind === 'comparison' &&
    [one, other].every((each) => [question.site, question.comparator].includes(each as never));
  return ratings.map((rating) =>
    between(rating, path[0]!, path[2]!)
      ? at(rating, direct)
      : between(rating, path[0]!, path[1]!)
        ? at(rating, first)
        : between(rating, path[1]!, path[2]!)
          ? at(rating, second)
          : rating,
  );
};

/** The network with a share of direct evidence in one pair made up. */
const withShare = (pair: (typeof pairs)[number], directShare: number): NetworkResult => ({
  ...network,
  parts: network.parts.map((each) => ({
    ...each,
    comparisons: each.comparisons.map((comparison) =>
      [pair.site, pair.comparator].every((site) =>
        [comparison.treatment, comparison.comparator].includes(site),
      )
        ? { ...comparison, directShare }
        : comparison,
    ),
  })),
});

describe('a network estimate', () => {
  // Puhan 2014, BMJ 349:g5630: the indirect rating is the lower of the two legs. Brignardello-Petersen 2018, J Clin
  // Epidemiol 93:36: the parts are rated without imprecision, and the one that dominates decides.
  it.each([
    // share direct, direct, first leg, second leg, start
    [0.51, 0, 3, 3, 0],
    [0.49, 0, 3, 3, 3],
    [0.51, 3, 0, 0, 3],
    [0.49, 3, 0, 0, 0],
    [0.1, 3, 1, 2, 1],
    [0.1, 0, 3, 2, 2],
    [0.9, 1, 0, 3, 1],
    // Alike: the higher.
    [0.5, 1, 3, 2, 2],
    [0.5, 3, 2, 1, 3],
  ])(
    'of which %s is direct, direct %s, legs %s and %s: starts at %s',
    (share, direct, first, second, start) => {
      const pair = pairs[3]!;
      expect(indirectPath(part!, pair.site, pair.comparator)).toHaveLength(3);
      const rating = rateNetworkEstimate(
        withShare(pair, share),
        pair,
        standing(pair, direct, first, second),
        { outcome, baseline, splits },
      );
      expect(rating.direct).toBe(certaintyLevels[direct]);
      expect(rating.indirect).toBe(certaintyLevels[Math.min(first, second)]);
      expect(rating.steps[0]!.sum).toBe(start);
    },
  );

  it('is rated as it was fitted: of trials and other studies the lower counts, and of what is not rated the start', () => {
    const pair = pairs[3]!;
    const shared = withShare(pair, 0.9);
    const of = (trials: number, others: number | undefined) => {
      const split = ratings.map((rating): CertaintyRating => {
        const both = rating.body.design === 'randomised trials' && rating.others.length > 0;
        return both
          ? {
              ...at(rating, trials),
              others: others === undefined ? [] : rating.others.map((other) => at(other, others)),
            }
          : rating;
      });
      return rateNetworkEstimate(shared, pair, split, { outcome, baseline });
    };
    const direct = ratings.find(
      ({ question }) =>
        question.kind === 'comparison' &&
        question.site === pair.site &&
        question.comparator === pair.comparator,
    )!;
    // The case is there: trials answer, and other studies of the pair are in the network too.
    expect(direct.body.design).toBe('randomised trials');
    expect(direct.others.map(({ body }) => body.design)).toContain('non-randomised studies');
    expect(
      [of(3, 0), of(3, 1), of(1, 3), of(3, undefined), of(0, undefined)].map((each) => each.direct),
    ).toEqual(['very low', 'low', 'low', 'low', 'very low']);
    const trialsOnly = fitNetwork(
      studies.filter(({ design }) => design === 'randomised trial'),
      { order: pooledSites },
    );
    const alone = rateNetworkEstimate(
      trialsOnly,
      pair,
      ratings.map((rating) => ({ ...at(rating, 3), others: rating.others.map((other) => at(other, 0)) })),
      { outcome, baseline },
    );
    expect(alone.designs).toEqual(['randomised trials']);
    expect(alone.direct).toBe('high');
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

  it('holds its shoulders against the information size: those of the pair, and a way round for n₁n₂/(n₁+n₂)', () => {
    for (const pair of pairs) {
      const { body, path } = rate(pair);
      const shouldersOf = (one: string, other: string) =>
        part!.studies
          .filter(({ treatments }) => treatments.includes(one) && treatments.includes(other))
          .reduce(
            (sum, { counts, treatments }) =>
              sum + counts![treatments.indexOf(one)]!.total + counts![treatments.indexOf(other)]!.total,
            0,
          );
      const [n, m] = [shouldersOf(path[0]!, path[1]!), shouldersOf(path[1]!, path[2]!)];
      expect(path).toHaveLength(3);
      expect(body.effectiveShoulders).toBe(
        Math.floor(shouldersOf(pair.site, pair.comparator) + (n * m) / (n + m)),
      );
      expect(body.shoulders).toBe(
        part!.studies.flatMap(({ counts }) => counts ?? []).reduce((sum, { total }) => sum + total, 0),
      );
      expect(rate(pair).imprecision.evidence.join(' ')).toContain(
        `the studies hold ${body.effectiveShoulders}`,
      );
    }
  });

  it('falls for few shoulders where no line lies inside its interval', () => {
    const pair = pairs[2]!;
    const precise = {
      ...network,
      parts: network.parts.map((each) => ({
        ...each,
        studies: each.studies.map((study) => ({
          ...study,
          counts: study.counts!.map(() => ({ events: 1, total: 2 })),
        })),
        comparisons: each.comparisons.map((comparison) => ({
          ...comparison,
          network: {
            value: -1.1,
            standardError: 0.05,
            interval: { lower: -1.2, upper: -1, level: 0.95 },
            pValue: 1e-107,
          },
        })),
      })),
    };
    const { imprecision } = rateNetworkEstimate(precise, pair, ratings, { outcome, baseline });
    expect(imprecision.proposed).toBe(-2);
    const uncounted = {
      ...precise,
      parts: precise.parts.map((each) => ({
        ...each,
        studies: each.studies.map(({ counts: _, ...study }) => study),
      })),
    };
    // Counts nobody reports are not nought: the size cannot be asked for.
    expect(rateNetworkEstimate(uncounted, pair, ratings, { outcome, baseline }).imprecision.proposed).toBe(0);
  });

  it('takes decisions of people on incoherence, intransitivity and imprecision, and on nothing else', () => {
    const pair = pairs[3]!;
    const decided = (domain: string, levels: number) => ({
      domain: domain as never,
      levels,
      reason: 'seen by people',
      decidedBy: undefined,
      date: undefined,
      proposedThen: undefined,
      row: undefined,
    });
    const three = ['inconsistency', 'indirectness', 'imprecision'].map((domain) => decided(domain, 0));
    const free = rate(pair, ratings, { decisions: three });
    expect(free.confirmed).toBe(true);
    expect(certaintyLevels.indexOf(free.level!)).toBe(free.steps[0]!.sum);
    expect(rate(pair, ratings, { decisions: three.slice(1) }).confirmed).toBe(false);
    const lower = rate(pair, standing(pair, 3, 3, 3), {
      decisions: [...three.slice(0, 2), decided('imprecision', -1)],
    });
    expect(lower.level).toBe('moderate');
    expect(lower.steps.at(-1)!.words).toBe('seen by people');
    expect(() => rate(pair, ratings, { decisions: [decided('risk of bias', 0)] })).toThrow(
      'domain of a network decision must be one of inconsistency, indirectness, imprecision',
    );
  });

  it('is decided on in certainty.csv, and stands in the evidence document', () => {
    const files = demoFiles();
    const heading = files['certainty.csv']!.split('\n')[0]!.split(',');
    const line = (values: Readonly<Record<string, string>>) =>
      heading.map((name) => values[name] ?? '').join(',');
    const own = {
      outcome: outcome.id,
      question: 'comparison',
      site: 'suprapectoral',
      comparator: 'subpectoral',
      body: 'network',
      domain: 'imprecision',
      levels: '0',
      reason: 'both ends would be told alike',
    };
    const read = (values: Readonly<Record<string, string>>) =>
      readReview({ ...files, 'certainty.csv': `${heading.join(',')}\n${line({ ...own, ...values })}\n` });
    const said = (values: Readonly<Record<string, string>>) =>
      read(values)
        .problems.filter(({ file }) => file === 'certainty.csv')
        .map(({ heading: where, expected }) => `${where}: ${expected}`);
    expect(said({})).toEqual([]);
    expect(said({ domain: 'risk of bias' })).toEqual([
      'domain: one of "inconsistency", "indirectness" or "imprecision"',
    ]);
    expect(said({ question: 'rate', comparator: '' })).toEqual(['body: a body that gives a rate']);
    const parts = evidenceOfReview(review, { outcomes: [outcome.id], forests: false });
    const { blocks } = evidenceDocument(review, parts);
    const shown = blocks.flatMap((block) =>
      block.kind === 'table' && block.table.caption.endsWith('what the network says') ? [block.table] : [],
    );
    expect(shown).toHaveLength(1);
    expect(shown[0]!.rows).toHaveLength(parts.networks![0]!.ratings.length);
    expect(shown[0]!.notes!.join(' ')).toContain('the lower rating of the two counts');
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
