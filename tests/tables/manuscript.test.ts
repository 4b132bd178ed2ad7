// Methods and results as sentences: numbers by hand, grammar, sources that exist.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { flowCounts } from '../../src/extraction/flowCounts.ts';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import type { Review } from '../../src/extraction/review.ts';
import { reviewRows } from '../../src/extraction/trace/reviewRows.ts';
import { rowKey } from '../../src/extraction/trace/traceOf.ts';
import { poolBySite } from '../../src/pooling/poolBySite.ts';
import { manuscriptResults } from '../../src/publishing/manuscript/manuscriptResults.ts';
import type { ManuscriptInput } from '../../src/tables/manuscript/manuscriptInput.ts';
import { manuscriptText, sentencesToSupply } from '../../src/tables/manuscript/manuscriptText.ts';
import { references } from '../../src/tables/manuscript/references.ts';
import type { Manuscript, Sentence } from '../../src/tables/manuscript/sentence.ts';
import { dateWords, figure, shareOf } from '../../src/tables/manuscript/words.ts';
import { withoutAnswerMarks } from '../../src/wording/answerMark.ts';
import { counted, listed } from '../../src/wording/words.ts';
import { makeArms } from './makeArms.ts';

const demo = fileURLToPath(new URL('../../data-extraction/demo', import.meta.url));
let review: Review;
let input: ManuscriptInput;
let manuscript: Manuscript;
const sentences = (from: Manuscript = manuscript): readonly Sentence[] =>
  from.paragraphs.flatMap((paragraph) => paragraph.sentences);
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const texts = (from?: Manuscript): readonly string[] => sentences(from).map(({ text }) => plain(text));

beforeAll(async () => {
  const reading = await readReviewFolder(demo);
  if (reading.review === undefined) throw new Error('the demo cannot be read');
  review = reading.review;
  input = manuscriptResults(review, { software: { name: 'tenosite', version: '0' } });
  manuscript = manuscriptText(input);
}, 60_000);

/** Follows `outcomes.0.pools` into the input. */
const at = (value: unknown, path: string): unknown =>
  path.split('.').reduce<unknown>((part, key) => (part as Record<string, unknown> | undefined)?.[key], value);

describe('sources of sentences', () => {
  it('lead to lines of the sheets, to results, and to keys of the protocol', () => {
    const lines = new Set(reviewRows(review).map(({ row }) => rowKey(row)));
    for (const { text, sources } of sentences()) {
      for (const row of sources.rows) expect(lines.has(rowKey(row)), `${text} ${rowKey(row)}`).toBe(true);
      for (const path of sources.results) expect(at(input, path), `${text} ${path}`).toBeDefined();
      for (const key of sources.protocol.filter((name) => name !== 'designs'))
        expect(at(review.protocol, key), `${text} ${key}`).toBeDefined();
    }
  });

  it('are given by every finished sentence of the results', () => {
    const results = manuscript.paragraphs.filter(({ part }) => part === 'Results');
    for (const { sentences: own } of results)
      for (const { text, sources, toSupply } of own)
        if (toSupply.length === 0)
          expect(sources.rows.length + sources.results.length, text).toBeGreaterThan(0);
  });

  it('never are rows that were left out', () => {
    const used = new Set(
      [...input.outcomes, ...(input.scores ?? [])].flatMap(({ selection }) =>
        selection.arms.map(({ row }) => rowKey(row)),
      ),
    );
    for (const { midGroove = [] } of input.outcomes)
      for (const { pools } of midGroove)
        for (const { pool } of pools.sites) for (const { row } of pool.arms) used.add(rowKey(row));
    for (const { text, sources } of sentences())
      for (const row of sources.rows)
        if (row.file === 'events.csv' || row.file === 'scores.csv')
          expect(used.has(rowKey(row)), `${text} ${rowKey(row)}`).toBe(true);
  });

  it('of a rate are exactly the rows of its arms', () => {
    const tenotomy = input.outcomes[0]!.pools.sites.find(({ site }) => site === 'tenotomy')!.pool;
    const sentence = sentences().find(({ text }) =>
      text.startsWith('The mean over studies of the rate of cosmetic deformity after tenotomy'),
    );
    expect(sentence?.sources.rows).toEqual(tenotomy.arms.map(({ row }) => row));
  });
});

describe('numbers in sentences', () => {
  it('of the flow are those of flow.csv, added by hand', () => {
    // 753 + 214 + 31 = 998; 998 - 287 = 711; 711 - 612 = 99; 99 - 4 = 95; 41 + 12 + 9 = 62; 95 - 62 = 33.
    const flow = readFileSync(join(demo, 'flow.csv'), 'utf8');
    for (const part of [',753,', ',214,', ',31,', ',287,', ',612,', ',4,', ',41,', ',12,', ',9,'])
      expect(flow).toContain(part);
    expect(texts()).toContain(
      'The searches identified 998 records; 287 were removed before screening: duplicates (n = 287), and 711 were screened.',
    );
    expect(texts()).toContain(
      'Of these, 612 were excluded and 99 reports were sought; 4 could not be retrieved and 95 were assessed for eligibility.',
    );
    expect(texts()).toContain(
      'Excluded after assessment: 62: no result by site (n = 41), fewer than five shoulders (n = 12) and follow-up too short (n = 9).',
    );
    expect(texts()).toContain('The review included 32 studies described in 33 reports (Figure 1).');
  });

  /** Arms with one logit, so that the pooled rate is theirs and nothing lies between them. */
  const alike = (site: 'subpectoral' | 'tenotomy', events: number, total: number, many: number) =>
    makeArms(
      site,
      Array.from({ length: many }, () => [events, total] as const),
    );
  const textOf = (arms: ReturnType<typeof alike>): readonly string[] => {
    const [first] = input.outcomes;
    const selection = { ...first!.selection, arms, leftOut: [] };
    const pools = poolBySite(arms, { zeroEvents: 'leave-out' });
    return texts(manuscriptText({ review, flow: input.flow, outcomes: [{ selection, pools }] }));
  };

  it('of equal arms are the common rate, by hand', () => {
    // Logit of 10/40 is -ln 3; variance 1/10 + 1/30 = 2/15 an arm, 2/45 for three; 1.95996 times its root 0.21082 is
    // 0.41320; the limits are 1 / (1 + 3 exp(±0.41320)) = 0.18066 and 0.33505. Without spread the prediction takes
    // t with 1 degree of freedom, 12.706: 1 / (1 + 3 exp(±2.67866)) = 0.02236 and 0.82925.
    expect(textOf(alike('tenotomy', 10, 40, 3))).toContain(
      'The pooled rate of cosmetic deformity after tenotomy was 25% (95% CI 18% to 34%; 95% PI 2.2% to 83%; 3 studies, 30 of 120 shoulders).',
    );
  });

  it('say one study, no event and no study in words that fit', () => {
    // 1 / (1 + 3 exp(±1.95996 · √(2/15))) = 0.14011 and 0.40543.
    const one = textOf(alike('tenotomy', 10, 40, 1));
    expect(one).toContain(
      'One arm reported cosmetic deformity after tenotomy: 25% (95% CI 14% to 41%; 1 study, 10 of 40 shoulders).',
    );
    expect(one).toContain('No study reported cosmetic deformity after subpectoral fixation.');
    expect(one.join(' ')).not.toContain('do not compare the sites');
    // Exact two-sided upper limit of 0 in 60: 1 - 0.025^(1/60) = 0.05963.
    expect(textOf(alike('subpectoral', 0, 20, 3))).toContain(
      'No cosmetic deformity was recorded after subpectoral fixation (3 studies, 0 of 60 shoulders; exact 95% CI 0% to 6.0%); a rate up to 6.0% was compatible with these data.',
    );
  });

  it('of an empty review ask, and invent nothing', () => {
    const empty = { ...review, studies: [], arms: [], events: [], scores: [], judgements: [], flow: [] };
    const bare = manuscriptText({ review: empty, flow: flowCounts([]), outcomes: [] });
    const all = texts(bare).join('\n');
    expect(all).toContain('The searches identified [number of records identified] records');
    expect(all).toContain('No study was included.');
    expect(all).not.toMatch(/\b0 records|undefined|NaN|\b0 of 0/);
  });
});

describe('the language', () => {
  it('names nothing by its name in the program', () => {
    for (const text of texts()) {
      expect(text).not.toMatch(
        /undefined|NaN|\[object|Infinity|two-step-|dersimonian-laird|q-profile|t-k-minus/,
      );
      expect(text).not.toMatch(/\{\d\}/);
      expect(text).toMatch(/[.\])]$/);
      expect(text).not.toMatch(/\.\.| {2}| ,|\( /);
    }
  });

  it('never says that there was no difference, and never a p alone', () => {
    for (const text of texts()) {
      expect(text).not.toMatch(/no (significant )?difference|not significant|significantly/i);
      if (/\bp [=<>]/.test(text)) expect(text, text).toMatch(/Q = |slope/);
    }
  });

  it('makes plural and singular', () => {
    for (const text of texts())
      expect(text).not.toMatch(
        /(?<![\d.,])1 (studies|arms|shoulders|reports|counts|people|degrees of freedom)\b/,
      );
    expect([
      counted(0, 'study', 'studies'),
      counted(1, 'study', 'studies'),
      counted(1204, 'shoulder'),
    ]).toEqual(['0 studies', '1 study', '1,204 shoulders']);
    expect([listed([]), listed(['a']), listed(['a', 'b']), listed(['a', 'b', 'c'])]).toEqual([
      '',
      'a',
      'a and b',
      'a, b and c',
    ]);
    expect([shareOf(1, 711), shareOf(710, 711), shareOf(0, 7), shareOf(612, 711)]).toEqual([
      '1 of 711 (below 1%)',
      '710 of 711 (above 99%)',
      '0 of 7 (0%)',
      '612 of 711 (86%)',
    ]);
    expect([dateWords('2026-06-30'), dateWords('2026-06'), dateWords('2026')]).toEqual([
      '30 June 2026',
      'June 2026',
      '2026',
    ]);
    expect([figure(0), figure(0.0004), figure(-0.0412), figure(12.34), figure(0.5)]).toEqual([
      '0',
      'below 0.001',
      '\u22120.041',
      '12.3',
      '0.50',
    ]);
  });

  it('prints every gap in square brackets and lists it', () => {
    for (const { text, toSupply } of sentences()) {
      for (const gap of toSupply) expect(plain(text)).toContain(`[${gap}]`);
      expect(text.match(/\[/g)?.length ?? 0, text).toBe(toSupply.length);
    }
    expect(sentencesToSupply(manuscript).flatMap(({ toSupply }) => toSupply)).toContain(
      'registration number, or a statement that it was not registered',
    );
  });

  it('cites works in the order of their numbers, each once in the list', () => {
    const numbers = texts().flatMap((text) =>
      [...text.matchAll(/(?<= )\((\d+(?:, \d+)*)\)/g)].flatMap(([, list = '']) =>
        list.split(', ').map(Number),
      ),
    );
    const firsts = [...new Set(numbers)];
    expect(firsts).toEqual(manuscript.references.map((_, index) => index + 1));
    expect(new Set(manuscript.references).size).toBe(manuscript.references.length);
    expect(Object.values(references)).toEqual(expect.arrayContaining([...manuscript.references]));
  });

  it('keeps what people typed on one line', () => {
    const hostile = 'x\n# y\u202e <b>.';
    const odd = { ...review, protocol: { ...review.protocol, population: hostile } };
    const [first] = texts(manuscriptText({ review: odd, flow: flowCounts([]), outcomes: [] }));
    expect(first).toBe('The population of interest was: x # y <b>.');
  });
});

describe('the order', () => {
  it('is that of the reporting guideline', () => {
    const order = sentences()
      .filter(({ item }) => Number.parseInt(item, 10) < 20)
      .map(({ item }) => Number.parseInt(item, 10));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(manuscript.paragraphs.map(({ heading }) => heading)).toEqual(
      expect.arrayContaining([
        'Eligibility criteria',
        'Synthesis methods',
        'Study selection',
        'Certainty of evidence',
      ]),
    );
  });

  it('stands in files of one concept each', () => {
    const folder = fileURLToPath(new URL('../../src/tables/manuscript', import.meta.url));
    for (const file of readdirSync(folder))
      expect(readFileSync(join(folder, file), 'utf8').split('\n').length, file).toBeLessThan(300);
  });
});

describe('a posterior that is quoted', () => {
  it('is named with its priors, and its interval is not called a confidence interval', () => {
    const all = texts().map(withoutAnswerMarks);
    // Stiffness: three arms after suprapectoral fixation.
    expect(all.find((text) => text.includes('two to four arms'))).toMatch(
      /posterior of a binomial-normal model .*its priors \(between-study deviation half-normal 1, mean normal\(0, 10²\)\)/,
    );
    const told = all.find((text) =>
      text.startsWith('The mean over studies of the rate of stiffness after suprapectoral'),
    );
    expect(told).toContain('95% CrI');
    expect(told).not.toContain('95% CI');
    const bulge = all.find((text) =>
      text.includes('odds ratio in the median study of cosmetic deformity 0.13'),
    );
    expect(bulge).toContain('(95% CrI 0.04 to 0.37');
  });
});
