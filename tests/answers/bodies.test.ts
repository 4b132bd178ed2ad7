// Every body that can answer a comparison stands beside the answer; a mixture of trials and other studies is made only
// where the protocol asks for one, starts where its weaker part does, and is named wherever its number stands. Reviews are
// invented.
import { describe, expect, it } from 'vitest';
import type { Answer } from '../../src/answers/answer.ts';
import { answerRecord, answersFile } from '../../src/answers/answersFile.ts';
import { answersOf } from '../../src/answers/answersOf.ts';
import { networkRatingsOf } from '../../src/answers/networkAnswers.ts';
import { printLimits, printValue } from '../../src/answers/printAnswer.ts';
import { fingerprintOfBody } from '../../src/certainty/fingerprintOfBody.ts';
import { qualityForQuestion } from '../../src/certainty/quality/studyQuality.ts';
import { compareVersions } from '../../src/changes/compareVersions.ts';
import type { Review } from '../../src/extraction/review.ts';
import { evidenceOfReview } from '../../src/publishing/evidenceOfReview.ts';
import { analyse } from '../../src/publishing/live/analysis/analyse.ts';
import { openingState } from '../../src/publishing/live/state/changeState.ts';
import { views } from '../../src/publishing/live/views/views.ts';
import { manuscriptResults } from '../../src/publishing/manuscript/manuscriptResults.ts';
import { talkOfReview } from '../../src/publishing/talk/talkOfReview.ts';
import { changeDocument } from '../../src/tables/changes/changeDocument.ts';
import { documentToMarkdown } from '../../src/tables/documentToMarkdown.ts';
import { evidenceDocument } from '../../src/tables/evidenceDocument.ts';
import { manuscriptText } from '../../src/tables/manuscript/manuscriptText.ts';
import { tableToMarkdown } from '../../src/tables/tableToMarkdown.ts';
import { withoutAnswerMarks } from '../../src/wording/answerMark.ts';
import { type CountedArm, type ReviewOfOptions, reviewOf, sheetsOf } from './reviewOf.ts';

const pair = 'comparison:groove-pain:suprapectoral:subpectoral';

const study = (
  name: string,
  design: string,
  events: readonly [number, number],
  total: number,
): CountedArm[] => [
  { study: name, design, site: 'suprapectoral', events: events[0], total },
  { study: name, design, site: 'subpectoral', events: events[1], total },
];
const trials = [
  ...study('ash', 'randomised trial', [10, 34], 120),
  ...study('birch', 'randomised trial', [8, 30], 110),
  ...study('cedar', 'randomised trial', [12, 32], 130),
];
const others = [
  ...study('durmast', 'prospective cohort', [20, 34], 140),
  ...study('elder', 'prospective cohort', [15, 24], 120),
];
/** Links tenotomy to the rest, so that the network has a way round. */
const third: CountedArm[] = [
  { study: 'fir', design: 'prospective cohort', site: 'suprapectoral', events: 9, total: 90 },
  { study: 'fir', design: 'prospective cohort', site: 'tenotomy', events: 18, total: 90 },
  { study: 'gorse', design: 'retrospective cohort', site: 'subpectoral', events: 20, total: 90 },
  { study: 'gorse', design: 'retrospective cohort', site: 'tenotomy', events: 22, total: 90 },
];
const judgements = ['ash', 'birch', 'cedar'].map((name) => ({
  study: name,
  tool: 'RoB 2' as const,
  judgement: 'low',
}));
const judged = [
  ...judgements,
  ...['durmast', 'elder', 'fir', 'gorse'].map((name) => ({
    study: name,
    tool: 'ROBINS-I' as const,
    judgement: 'low',
  })),
];

type Analysis = Readonly<Record<string, unknown>>;
const everything = [...trials, ...others, ...third];
const parts = (analysis: Analysis, counts: readonly CountedArm[]): ReviewOfOptions => ({
  judgements: judged.filter(({ study: name }) => counts.some((each) => each.study === name)),
  protocol: (protocol) => ({ ...protocol, analysis: { ...(protocol.analysis as object), ...analysis } }),
});
const review = (analysis: Analysis = {}, counts: readonly CountedArm[] = everything): Review =>
  reviewOf(counts, parts(analysis, counts));
const answer = (analysis?: Readonly<Record<string, unknown>>, counts?: CountedArm[]): Answer =>
  answersOf(review(analysis, counts)).to(pair);
const bodiesOf = ({ otherBodies }: Answer): readonly string[] => otherBodies.map(({ body }) => body);

describe('bodies beside an answer', () => {
  it('are all others that have a say, each with its own numbers', () => {
    const told = answer();
    expect(told.body).toBe('randomised trials');
    expect(bodiesOf(told)).toEqual(['non-randomised studies', 'network', 'series against series']);
    const [cohorts, network, series] = told.otherBodies;
    // Counts by hand: two cohorts of 140 + 140 and 120 + 120; the network holds those, the trials and the links.
    expect(cohorts).toMatchObject({ studies: 2, shoulders: 520, events: 93 });
    expect(network).toMatchObject({ studies: 7, trials: 3, shoulders: 1600, events: 288 });
    // Series: all arms at the two sites, fir and gorse among them.
    expect(series).toMatchObject({ studies: 7, shoulders: 1420, events: 248 });
    for (const { quoted, certainty } of told.otherBodies) {
      expect(quoted!.lower).toBeLessThan(quoted!.value);
      expect(quoted!.upper).toBeGreaterThan(quoted!.value);
      expect(certainty.level).toBeDefined();
    }
    // Each body's number is its own.
    expect(new Set([told, ...told.otherBodies].map(({ quoted }) => quoted!.value.toFixed(6))).size).toBe(4);
  });

  it('hold the network as it is rated, fitted when it is first read and once', () => {
    const answers = answersOf(review());
    const told = answers.to(pair);
    expect(Object.getOwnPropertyDescriptor(told, 'otherBodies')?.get).toBeTypeOf('function');
    const rating = networkRatingsOf(answers, 'groove-pain').find(
      ({ question }) =>
        question.kind === 'comparison' &&
        question.comparator === 'subpectoral' &&
        question.site === 'suprapectoral',
    )!;
    expect(networkRatingsOf(answers, 'groove-pain')).toBe(networkRatingsOf(answers, 'groove-pain'));
    expect(told.otherBodies).toBe(told.otherBodies);
    expect(told.otherBodies.find(({ body }) => body === 'network')).toMatchObject({
      quoted: rating.body.estimate,
      certainty: { level: rating.level, confirmed: false },
    });
  });

  it('hold the network for a pair that no study compares, and none where nothing links the two', () => {
    const linked = answersOf(review({}, [...trials, ...third.slice(0, 2)])).to(
      'comparison:groove-pain:subpectoral:tenotomy',
    );
    expect(linked.body).toBe('series against series');
    expect(bodiesOf(linked)).toEqual(['network']);
    const apart = answersOf(review({}, [...trials, third[1]!])).to(
      'comparison:groove-pain:subpectoral:tenotomy',
    );
    expect(bodiesOf(apart)).toEqual([]);
  });

  it('stand in answers.json', () => {
    const list = JSON.parse(answersFile(answersOf(review()))) as ReturnType<typeof answerRecord>[];
    expect(list.find(({ id }) => id === pair)!.otherBodies).toMatchObject([
      { body: 'non-randomised studies', studies: 2 },
      { body: 'network', studies: 7, randomisedTrials: 3 },
      { body: 'series against series' },
    ]);
  });
});

const asked = { comparisonBody: 'together' };
const named = /pooled together,? as the protocol asks/;

describe('a mixture', () => {
  it('is made only where the protocol asks', () => {
    expect(answer({ comparisonBody: 'apart' }).quoted).toEqual(answer().quoted);
    const told = answer(asked);
    expect(told.body).toBe('all comparative studies');
    expect(told).toMatchObject({ studies: 5, trials: 3, shoulders: 1240, events: 219 });
    expect(bodiesOf(told)).toEqual([
      'randomised trials',
      'non-randomised studies',
      'network',
      'series against series',
    ]);
    expect(told.otherBodies[0]!.quoted).toEqual(
      (({ value, lower, upper }) => ({ value, lower, upper }))(answer().quoted!),
    );
    // Inverse-variance weights: the pooled log odds ratio lies between those of its two parts.
    const log = (ratio: number | undefined): number => Math.log(ratio!);
    const [ofTrials, ofOthers] = told.otherBodies.map(({ relative }) => log(relative?.value));
    expect(log(told.quoted!.relative!.value)).toBeGreaterThan(ofTrials!);
    expect(log(told.quoted!.relative!.value)).toBeLessThan(ofOthers!);
  });

  it.each([
    ['trials', trials, 'randomised trials'],
    ['cohorts', others, 'non-randomised studies'],
    [
      'trials and a cohort without events',
      [...trials, ...study('holly', 'prospective cohort', [0, 0], 60)],
      'randomised trials',
    ],
  ] as const)('is no mixture of %s alone', (_, counts, body) => {
    const told = answer(asked, [...counts]);
    expect(told.body).toBe(body);
    expect(told.sentence).not.toMatch(named);
  });

  it('starts where its weaker part does, however little of the weight that is', () => {
    const mostlyTrials = answer(asked, [...trials, ...study('ivy', 'prospective cohort', [2, 5], 20)]);
    const { rating } = mostlyTrials.behind;
    expect(rating!.start).toMatchObject({ level: 'low' });
    expect(rating!.others.map(({ body, start }) => [body.design, start.level])).toEqual([
      ['randomised trials', 'high'],
      ['non-randomised studies', 'low'],
    ]);
    expect(mostlyTrials.certainty.level).not.toBe('high');
    expect(mostlyTrials.certainty.level).not.toBe('moderate');
  });

  it('is decided on by its own name; a decision on the trials does not count for it', () => {
    const mixed = review(asked);
    const told = answersOf(mixed).to(pair);
    const question = {
      kind: 'comparison',
      outcome: 'groove-pain',
      site: 'suprapectoral',
      comparator: 'subpectoral',
    } as const;
    const held = fingerprintOfBody(told.behind.rating!.body, qualityForQuestion(mixed, question));
    const decide = (body: string): Answer => {
      const row = [
        'groove-pain',
        'comparison',
        'suprapectoral',
        'subpectoral',
        body,
        'risk of bias',
        '-1',
        'unblinded',
        held,
      ];
      return answersOf(
        reviewOf([...trials, ...others, ...third], {
          judgements: judged,
          protocol: (protocol) => ({ ...protocol, analysis: { ...(protocol.analysis as object), ...asked } }),
          files: {
            'certainty.csv': `outcome,question,site,comparator,body,domain,levels,reason,held_when_decided\n${row.join(',')}\n`,
          },
        }),
      ).to(pair);
    };
    const bias = ({ behind }: Answer) =>
      behind.rating!.domains.find(({ domain }) => domain === 'risk of bias')!;
    expect(bias(decide('all comparative studies')).decided).toBe(-1);
    expect(bias(decide('randomised trials')).decided).toBeUndefined();
    expect(decide('randomised trials').behind.rating!.decisionsOpen).toMatchObject([{ why: 'another body' }]);
  });
});

/** Lines of a product, each sentence, row or note by itself. */
const lines = (text: string): readonly string[] => withoutAnswerMarks(text).split('\n');

/** Text of every block of a view of the live page. */
function liveLines(source: Review): readonly string[] {
  const state = { ...openingState(source.protocol), view: 'sites' as const, outcome: 'groove-pain' };
  return views.sites
    .blocks(analyse(source, state), source)
    .flatMap((block) =>
      block.kind === 'sentences'
        ? block.sentences
        : block.kind === 'table'
          ? tableToMarkdown(block.table).split('\n')
          : [],
    );
}

function talkLines(source: Review): readonly string[] {
  const { slides } = talkOfReview(source, {
    compare: ['suprapectoral', 'subpectoral'],
    outcome: 'groove-pain',
  });
  return slides.flatMap(({ blocks, notes }) => [
    ...notes,
    ...blocks.flatMap((block) =>
      block.kind === 'sentences'
        ? block.sentences.map(({ text }) => text)
        : block.kind === 'table'
          ? tableToMarkdown(block.table).split('\n')
          : [],
    ),
  ]);
}

const products: Readonly<Record<string, (source: Review) => readonly string[]>> = {
  'evidence document': (source) =>
    lines(documentToMarkdown(evidenceDocument(source, evidenceOfReview(source)))),
  manuscript: (source) =>
    manuscriptText(manuscriptResults(source)).paragraphs.flatMap(({ sentences }) =>
      sentences.map(({ text }) => text),
    ),
  'talk and its notes': talkLines,
  'change report': (source) => {
    const analysis = { ...source.protocol.analysis };
    const version = (name: string, counts: readonly CountedArm[]) => ({
      name,
      review: review(analysis, counts),
      files: sheetsOf(counts, parts(analysis, counts)),
    });
    const report = compareVersions(version('2025', [...trials, ...others]), version('2026', everything), {
      certainty: 'conclusions',
    });
    return lines(documentToMarkdown(changeDocument(report, { caution: 'Invented.' })));
  },
  'live page': liveLines,
};

describe('every product that prints the number of a mixture names it on that line', () => {
  const source = review(asked);
  const told = answersOf(source).to(pair);
  const [value, limits] = [printValue(told)!, printLimits(told)!];
  const holds = (line: string): boolean => {
    const plain = withoutAnswerMarks(line).replaceAll('\u00a0', ' ').toLowerCase();
    return plain.includes(value) && plain.includes(limits);
  };

  it.each(Object.entries(products))('%s', (_, product) => {
    const told = product(source).filter(holds);
    expect(told.length).toBeGreaterThan(0);
    for (const line of told) expect(line).toMatch(named);
    for (const line of product(review())) expect(line).not.toMatch(named);
  });

  it('answers.json', () => {
    const record = answerRecord(told);
    expect(record).toMatchObject({ body: 'all comparative studies', studies: 5, randomisedTrials: 3 });
    expect(record.bodyName).toMatch(named);
    expect(record.bodyRule).toMatch(named);
    expect(record.sentence).toMatch(named);
  });

  it('counts trials and other studies where studies are counted', () => {
    const counts = '3 randomised trials and 2 other studies, pooled together as the protocol asks';
    expect(products['evidence document']!(source).join('\n')).toContain(counts);
    expect(products.manuscript!(source).join('\n')).toContain(`compared within ${counts}`);
    expect(talkLines(source).join('\n')).toContain(
      '3 randomised trials and 2 other studies that did both, pooled together as the protocol asks',
    );
  });
});

/** The pool of the protocol is quoted, whatever the rule for quoted numbers would say. */
const fixed = { quoted: 'dersimonian-laird' };

/** Log odds ratio, log risk ratio and risk difference of a study with their variances, by hand (Handbook 10.4.1 and 10.4.2). */
const byHand = {
  'odds-ratio': (a: number, b: number, n: number) => ({
    value: Math.log((a * (n - b)) / (b * (n - a))),
    variance: 1 / a + 1 / b + 1 / (n - a) + 1 / (n - b),
    natural: Math.exp,
  }),
  'risk-ratio': (a: number, b: number, n: number) => ({
    value: Math.log(a / b),
    variance: 1 / a - 1 / n + 1 / b - 1 / n,
    natural: Math.exp,
  }),
  'risk-difference': (a: number, b: number, n: number) => ({
    value: (a - b) / n,
    variance: ((a / n) * (1 - a / n) + (b / n) * (1 - b / n)) / n,
    natural: (value: number) => value,
  }),
} as const;

describe('the measure', () => {
  it.each(Object.entries(byHand))(
    '%s is pooled where the protocol asks for it, and named',
    (measure, estimate) => {
      const source = review({ comparisonMeasure: measure, model: 'common-effect', ...fixed });
      const told = answersOf(source).to(pair);
      // Inverse variance by hand: Σ(value/variance) / Σ(1/variance), Handbook 10.3.
      const sums = [0, 2, 4].map((at) => {
        const each = estimate(
          trials[at]!.events as number,
          trials[at + 1]!.events as number,
          trials[at]!.total,
        );
        return { ...each, weight: 1 / each.variance };
      });
      const weight = sums.reduce((sum, each) => sum + each.weight, 0);
      const pooled = sums.reduce((sum, each) => sum + each.value * each.weight, 0) / weight;
      expect(told.quoted!.relative!.measure).toBe(measure);
      expect(told.quoted!.relative!.value).toBeCloseTo(sums[0]!.natural(pooled), 10);
      const name = measure.replace('-', ' ');
      for (const product of ['evidence document', 'manuscript', 'talk and its notes'])
        for (const line of products[product]!(source))
          for (const other of Object.keys(byHand).map((each) => each.replace('-', ' ')))
            if (other !== name && !line.includes('Other methods') && !line.includes('network'))
              expect(line.toLowerCase(), product).not.toContain(other);
      expect(products['evidence document']!(source).join('\n').toLowerCase()).toContain(name);
      expect(talkLines(source).join('\n')).toContain(
        `Behind it stands ${measure === 'odds-ratio' ? 'an' : 'a'} ${name}`,
      );
    },
  );

  it('is the odds ratio where the protocol names none', () => {
    expect(answer().quoted!.relative!.measure).toBe('odds-ratio');
  });
});

describe('both models side by side', () => {
  /** Other models of the inverse-variance pool; methods of the quoted number's own rule are left aside. */
  const inVariance = ({ otherMethods }: Answer) =>
    otherMethods.filter(({ method }) => method.includes('common effect,'));
  const beside = { modelsBeside: true, ...fixed };
  it('stand beside the answer where the protocol asks, with whether a reader would be told something else', () => {
    expect(inVariance(answer(fixed))).toEqual([]);
    const told = answer(beside);
    const common = answer({ model: 'common-effect', ...fixed }).quoted!;
    const [other, ...rest] = inVariance(told);
    expect(rest).toEqual([]);
    expect(other).toMatchObject({ estimand: 'common effect', toldDifferently: false });
    for (const limit of ['value', 'lower', 'upper'] as const) {
      expect(other![limit]).toBeCloseTo(common.relative![limit], 9);
      expect(other!.difference![limit]).toBeCloseTo(common[limit], 9);
    }
    expect(told.quoted).toEqual(answer(fixed).quoted);
  });

  it('are told differently where the verdict is another one', () => {
    // A giant without a difference and small studies with one: the common effect follows the giant.
    const apart = [
      ...study('ash', 'randomised trial', [100, 120], 1000),
      ...study('birch', 'randomised trial', [8, 40], 100),
      ...study('cedar', 'randomised trial', [6, 40], 100),
      ...study('durmast', 'randomised trial', [9, 38], 100),
    ];
    const told = answersOf(
      reviewOf(apart, {
        judgements: ['ash', 'birch', 'cedar', 'durmast'].map((name) => ({
          study: name,
          tool: 'RoB 2',
          judgement: 'low',
        })),
        protocol: (protocol) => ({ ...protocol, analysis: { ...(protocol.analysis as object), ...beside } }),
      }),
    ).to(pair);
    expect(inVariance(told)[0]!.toldDifferently).toBe(true);
    expect(told.cautions.find(({ code }) => code === 'other-model')!.message).toContain(
      'a reader would be told something else',
    );
  });

  it('are printed by the products, for rates and comparisons', () => {
    const source = review(beside);
    for (const product of ['evidence document', 'manuscript', 'talk and its notes']) {
      const said = products[product]!(source).join('\n');
      expect(said, product).toMatch(/by another model \(log odds ratios, common effect/);
    }
    const text = products.manuscript!(source).join('\n');
    expect(text).toMatch(
      /After suprapectoral fixation: beside it, as the protocol asks, by another model \(logit/,
    );
  });
});
