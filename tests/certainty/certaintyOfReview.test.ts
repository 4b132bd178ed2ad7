import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { type CertaintyOptions, certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import type { CertaintyQuestion } from '../../src/certainty/certaintyQuestion.ts';
import { missingRecords } from '../../src/certainty/decisionsOfReview.ts';
import { studyQuality } from '../../src/certainty/quality/studyQuality.ts';
import { formatProblem } from '../../src/extraction/problem.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { pooledSites } from '../../src/extraction/site.ts';
import { missingEvidence } from '../../src/robustness/missing/missingEvidence.ts';
import { judgeMissingEvidence } from '../../src/robustness/missing/missingJudgement.ts';
import { certaintyOverview, certaintySteps } from '../../src/tables/certaintySteps.ts';
import { qualityItemsTable, qualityTable } from '../../src/tables/qualityTable.ts';
import { tableToHtml } from '../../src/tables/tableToHtml.ts';
import { smallReview } from '../extraction/smallReview.ts';
import { expectClose } from '../helpers/close.ts';

const files = demoFiles();
const { review: read, problems } = readReview(files);
const review = read!;
const undecided = { ...review, certainty: [] };
const outcomes = ['cosmetic-deformity', 'groove-pain', 'revision'];
const questions: readonly CertaintyQuestion[] = outcomes.flatMap((outcome) => [
  ...pooledSites.map((site) => ({ kind: 'rate', outcome, site }) as const),
  ...pooledSites.flatMap((site) =>
    pooledSites
      .filter((comparator) => comparator !== site)
      .map((comparator) => ({ kind: 'comparison', outcome, site, comparator }) as const),
  ),
]);
const rate = (outcome: string, options: CertaintyOptions = {}, of = review) =>
  certaintyOfReview(of, { kind: 'rate', outcome, site: 'subpectoral' }, options);

describe('certainty of the demonstration', () => {
  it('starts the same studies at two levels for two questions', () => {
    const outcome = 'cosmetic-deformity';
    const contrast = certaintyOfReview(review, {
      kind: 'comparison',
      outcome,
      site: 'top-of-groove',
      comparator: 'suprapectoral',
    });
    expect(rate(outcome).start.level).toBe('high');
    expect(contrast.start.level).toBe('low');
    expect(contrast.body.design).toBe('non-randomised studies');
  });

  it('says the same ratio of a pair the other way round', () => {
    for (const question of questions) {
      if (question.kind === 'rate' || question.outcome !== 'revision') continue;
      const { body } = certaintyOfReview(undecided, question);
      const turned = { ...question, site: question.comparator, comparator: question.site };
      // The baseline is the other site's, so the numbers of 100 and the level may differ; the ratio may not.
      const other = certaintyOfReview(undecided, turned, { body: body.design }).body;
      if (body.relative === undefined) continue;
      // Each is the end of an iteration of its own.
      expectClose(body.relative.value * other.relative!.value, 1, 'iterative');
    }
  });

  it('has decisions that were made on the evidence as it is, with reasons, some against the proposal', () => {
    const ratings = questions.map((question) => certaintyOfReview(review, question));
    expect(
      ratings.flatMap(({ cautions }) => cautions).filter(({ code }) => code === 'decision-stale'),
    ).toEqual([]);
    const decided = ratings.flatMap(({ domains }) => domains).filter((each) => each.decided !== undefined);
    expect(decided).toHaveLength(review.certainty.length);
    expect(decided.every(({ reason, row }) => reason !== undefined && row?.file === 'certainty.csv')).toBe(
      true,
    );
    expect(decided.filter(({ decided: levels, proposed }) => levels !== proposed).length).toBeGreaterThan(3);
    expect(ratings.filter(({ confirmed }) => confirmed)).toHaveLength(review.certainty.length / 5);
  });

  it('judges all studies, by five instruments, without a problem of its own', () => {
    expect(problems.filter(({ file }) => /judgements|certainty|missing/.test(file))).toEqual([]);
    expect(new Set(review.judgements.map(({ tool }) => tool)).size).toBe(5);
    expect(studyQuality(review).filter(({ concern }) => concern === 'not judged')).toEqual([]);
  });

  it('feeds the judgement of missing evidence from the sheet', () => {
    const judged = judgeMissingEvidence(missingEvidence(review), missingRecords(review));
    expect(Object.fromEntries(judged.map(({ outcome, overall }) => [outcome, overall]))).toMatchObject({
      'cosmetic-deformity': 'some concerns',
      revision: 'low',
      stiffness: 'not judged',
    });
    expect(judged.find(({ outcome }) => outcome === 'revision')!.overridden).toBe(true);
  });
});

const proposed = (domain: string, rating: ReturnType<typeof rate>) =>
  rating.domains.find((each) => each.domain === domain)!.proposed;

describe('what moves a rating', () => {
  it('judgements move risk of bias only', () => {
    const worse = {
      ...undecided,
      judgements: review.judgements.map((row) => (row.tool === 'MINORS' ? { ...row, judgement: '0' } : row)),
    };
    const [before, after] = [rate('revision', {}, undecided), rate('revision', {}, worse)];
    expect(proposed('risk of bias', after)).toBeLessThan(proposed('risk of bias', before));
    for (const domain of ['inconsistency', 'indirectness', 'imprecision', 'publication bias'])
      expect(proposed(domain, after)).toBe(proposed(domain, before));
  });

  it('a declared difference moves indirectness, a judgement of missing evidence publication bias', () => {
    const options: CertaintyOptions = { differences: [{ levels: -1, words: 'Older anchors.' }] };
    expect(proposed('indirectness', rate('groove-pain', options, undecided))).toBe(-1);
    const missing: CertaintyOptions = {
      missing: [
        {
          outcome: 'groove-pain',
          knownMissingResults: { answer: 'high', reason: 'two trials' },
          likelyMissingStudies: { answer: 'low', reason: 'none' },
          patternOfResults: { answer: 'low', reason: 'none' },
        },
      ],
    };
    expect(proposed('publication bias', rate('groove-pain', {}, undecided))).toBe(0);
    expect(proposed('publication bias', rate('groove-pain', missing, undecided))).toBe(-1);
  });

  it('mid-groove arms count where they carry a third of the weight', () => {
    const of = (indirectShare: number) =>
      certaintyOfReview(
        undecided,
        { kind: 'rate', outcome: 'cosmetic-deformity', site: 'suprapectoral' },
        { rules: { indirectShare } },
      );
    expect(proposed('indirectness', of(0.1))).toBe(-1);
    expect(proposed('indirectness', of(0.5))).toBe(0);
    expect(of(0.5).domains[2]!.evidence.join(' ')).toContain('rule for mid-groove only');
  });

  it('fewer shoulders and the same rates take imprecision down', () => {
    const of = (material: number) =>
      rate(
        'cosmetic-deformity',
        {},
        {
          ...undecided,
          protocol: {
            ...review.protocol,
            outcomes: review.protocol.outcomes.map((each) =>
              each.kind === 'events'
                ? { ...each, thresholdsPer100: { materialDifference: material, source: 'stated' } }
                : each,
            ),
          },
        },
      );
    const levels = [5, 1.5, 0.8, 0.3].map((material) => proposed('imprecision', of(material)));
    expect(levels).toEqual([...levels].sort((a, b) => b - a));
    expect(levels.at(-1)).toBe(-3);
  });
});

describe('rules of the protocol', () => {
  it('hold for quality and for proposals, and give way to options', () => {
    const strict = {
      ...undecided,
      protocol: {
        ...review.protocol,
        certainty: { minorsCuts: { lowFrom: 1, someFrom: 0.9 }, highShareForTwo: 0.4 },
      },
    };
    expect(proposed('risk of bias', rate('revision', {}, undecided))).toBe(-1);
    expect(proposed('risk of bias', rate('revision', {}, strict))).toBe(-2);
    const lenient = { lowFrom: 0.3, someFrom: 0.2 };
    expect(proposed('risk of bias', rate('revision', { quality: { minorsCuts: lenient } }, strict))).toBe(0);
  });

  it('are checked when the protocol is read', () => {
    const withRules = (rules: object) => {
      const protocol = { ...JSON.parse(smallReview['protocol.json']!), certainty: rules };
      return readReview({ ...smallReview, 'protocol.json': JSON.stringify(protocol) })
        .problems.filter(({ file }) => file === 'protocol.json')
        .map(({ heading, value, expected }) => [heading, value, expected]);
    };
    expect(withRules({ smallStudyP: 0.05 })).toEqual([]);
    expect(withRules({ smallStudyP: 5 })[0]![0]).toBe('certainty.smallStudyP');
    expect(withRules({ luck: 1 })[0]![2]).toBe('a key of the protocol');
    expect(withRules({ minorsCuts: { lowFrom: 0.2, someFrom: 0.6 } })[0]![2]).toBe(
      'someFrom no larger than lowFrom',
    );
  });
});

describe('series against series', () => {
  const apart = {
    ...undecided,
    studies: review.studies.filter(
      ({ study }) => review.arms.filter((arm) => arm.study === study).length === 1,
    ),
  };
  const question = {
    kind: 'comparison',
    outcome: 'revision',
    site: 'top-of-groove',
    comparator: 'subpectoral',
  } as const;

  it('is what is left where no study compares, rated as such and never as trials', () => {
    const rating = certaintyOfReview(apart, question);
    expect(rating.body.design).toBe('series against series');
    expect(rating.start.level).toBe('low');
    expect(rating.domains.find(({ domain }) => domain === 'indirectness')!.proposed).toBeLessThanOrEqual(-1);
    expect(rating.level).toBe('very low');
    expect(rating.cautions.map(({ code }) => code)).toContain('single-arm-contrast');
    expect(rating.sentence).toContain('No study compared the two');
  });

  it('can be asked for beside studies that do compare, and turns with the question', () => {
    const one = certaintyOfReview(undecided, question, { body: 'series against series' });
    const other = certaintyOfReview(
      undecided,
      { ...question, site: 'subpectoral', comparator: 'top-of-groove' },
      { body: 'series against series' },
    );
    expectClose(one.body.estimate!.value, -other.body.estimate!.value, 'identity');
    expectClose(one.body.estimate!.lower, -other.body.estimate!.upper, 'identity');
  });
});

describe('a review without judgements', () => {
  const bare = { ...undecided, judgements: [], missing: [] };

  it('is proposed for, says what nobody judged, and is never of low risk', () => {
    for (const question of questions) {
      const rating = certaintyOfReview(bare, question);
      if (rating.level === undefined) continue;
      const [bias] = rating.domains;
      expect(bias!.proposed).toBe(-1);
      expect(bias!.evidence.join(' ')).toMatch(/not judged|No study carries weight/);
      expect(rating.cautions.map(({ code }) => code)).toContain('quality-not-judged');
      expect(rating.confirmed).toBe(false);
    }
  });
});

describe('misuse', () => {
  it('names what was asked and what could be', () => {
    expect(() => rate('pain')).toThrow('unknown outcome "pain"');
    expect(() => rate('revision', { luck: 1 } as never)).toThrow('unknown option');
    expect(() => rate('revision', { body: 'network' })).toThrow('body must be one that can answer a rate');
    expect(() =>
      certaintyOfReview(review, {
        kind: 'comparison',
        outcome: 'revision',
        site: 'tenotomy',
        comparator: 'tenotomy',
      }),
    ).toThrow('cannot be compared with itself');
    expect(() =>
      certaintyOfReview(review, { kind: 'rate', outcome: 'revision', site: 'elbow' as never }),
    ).toThrow('site must be one of');
  });
});

describe('sheets', () => {
  const heading =
    'outcome,question,site,comparator,body,domain,levels,reason,proposed_then,decided_by,decided_on';
  const messages = (...rows: readonly string[]) =>
    readReview({ ...smallReview, 'certainty.csv': `${[heading, ...rows].join('\n')}\n` })
      .problems.filter(({ file }) => file === 'certainty.csv')
      .map(formatProblem);

  it('absent sheets give no word', () => {
    expect(readReview(smallReview).problems.filter(({ file }) => /certainty|missing/.test(file))).toEqual([]);
    expect(readReview(smallReview).review).toMatchObject({ certainty: [], missing: [] });
  });

  it('every problem is told at once', () => {
    expect(
      messages(
        'groove,rate,tenotomy,,,imprecision,-1,wide,,,',
        'groove-pain,rate,tenotomy,subpectoral,,imprecision,-1,wide,,,',
        'groove-pain,comparison,tenotomy,,,imprecision,-1,wide,,,',
        'groove-pain,comparison,tenotomy,tenotomy,,imprecision,-1,wide,,,',
        'groove-pain,rate,subpectoral,,,imprecision,1,wide,,,',
        'groove-pain,rate,subpectoral,,,indirectness,0,,,,',
      ),
    ).toEqual([
      'certainty.csv:2:1 error: outcome is "groove"; expected an outcome of protocol.json counted as events. Did you mean "groove-pain"? Outcomes counted as events: "groove-pain" or "revision".',
      'certainty.csv:3:27 error: comparator is "subpectoral"; expected nothing beside a rate. Clear the cell, or make the question a comparison.',
      'certainty.csv:4:33 error: comparator is ""; expected the other site of the comparison. Fill it in, or make the question a rate.',
      'certainty.csv:5:33 error: comparator is "tenotomy"; expected another site than the first. A site cannot be compared with itself.',
      'certainty.csv:6:44 error: levels is "1"; expected one of "0", "-1", "-2" or "-3". imprecision takes no other levels.',
      'certainty.csv:7:47 error: reason is ""; expected text, not a blank. Fill it in, for example: more than half of the weight has no blinded assessment.',
    ]);
  });

  it('a decision made twice is an error', () => {
    const row = 'groove-pain,rate,tenotomy,,,imprecision,-1,wide,,,';
    expect(messages(row, row).join(' ')).toContain('expected a row that is not there already');
  });
});

describe('hostile text', () => {
  it('stays text in every table', () => {
    const nasty = '<img src=x onerror=alert(1)>=cmd()';
    const hostile = {
      ...review,
      studies: review.studies.map((study) => ({ ...study, label: nasty })),
      certainty: review.certainty.map((row) => ({ ...row, reason: nasty })),
      protocol: {
        ...review.protocol,
        outcomes: review.protocol.outcomes.map((outcome) => ({ ...outcome, name: nasty })),
      },
    };
    const rating = certaintyOfReview(hostile, questions[0]!);
    const quality = studyQuality(hostile);
    for (const table of [
      certaintySteps(rating),
      certaintyOverview([rating]),
      qualityTable(quality),
      qualityItemsTable(quality, 'MINORS'),
    ]) {
      const html = tableToHtml(table);
      expect(html).not.toContain('<img');
      expect(html).toContain('&lt;img');
    }
  });
});
