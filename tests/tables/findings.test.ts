import { parse } from 'csv-parse/sync';
import { parseHTML } from 'linkedom';
import { describe, expect, it } from 'vitest';
import type { BodyOfEvidence } from '../../src/certainty/bodyOfEvidence.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import type { CertaintyRating, DomainJudgement } from '../../src/certainty/certaintyRating.ts';
import { studyQuality } from '../../src/certainty/quality/studyQuality.ts';
import { absoluteEffect, type RelativeEffect } from '../../src/effects/absoluteEffect.ts';
import type { EventsOutcome } from '../../src/extraction/protocol.ts';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import { evidenceOfReview } from '../../src/publishing/evidenceOfReview.ts';
import { characteristicsTable } from '../../src/tables/characteristicsTable.ts';
import { certaintyText } from '../../src/tables/evidence/certaintyWords.ts';
import {
  differenceWithLimits,
  differenceWords,
  riskInHundred,
  riskWithLimits,
} from '../../src/tables/evidence/findingsText.ts';
import { settingText } from '../../src/tables/evidence/settingText.ts';
import { evidenceDocument } from '../../src/tables/evidenceDocument.ts';
import { evidenceProfile } from '../../src/tables/evidenceProfile.ts';
import { rateFindings } from '../../src/tables/rateFindings.ts';
import { summaryOfFindings } from '../../src/tables/summaryOfFindings.ts';
import { cellNotes, cellText, cellValue, type Table } from '../../src/tables/table.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';
import { tableToHtml } from '../../src/tables/tableToHtml.ts';
import { answersIn, withoutAnswerMarks } from '../../src/wording/answerMark.ts';
import { numberIn, printedValue, published } from '../published/published.ts';

const { review: read } = await readReviewFolder('data-extraction/demo');
const review = read!;
const { protocol } = review;
const deformity = protocol.outcomes[0] as EventsOutcome;
const row = { file: 'certainty.csv', line: 7, locator: 'not reported' } as const;

const judged = (more: Partial<DomainJudgement>): DomainJudgement => ({
  domain: 'risk of bias',
  proposed: -1,
  evidence: ['Of the weight: 40 % high concern.', 'Judged by RoB 2.'],
  decided: undefined,
  reason: undefined,
  row: undefined,
  levels: -1,
  ...more,
});

/** A rating as `certaintyOfReview` makes it, of an effect printed elsewhere. */
function ratingOf(
  relative: RelativeEffect,
  risks: readonly { readonly risk: number; readonly source: string }[],
  more: Partial<CertaintyRating> = {},
): CertaintyRating {
  const absolute = risks.map(({ risk, source }) => absoluteEffect(relative, risk, source));
  const { value, lower, upper } = absolute[0]!.difference;
  const body: BodyOfEvidence = {
    design: 'randomised trials',
    outcome: deformity,
    studies: 10,
    shoulders: 811,
    events: 150,
    notInNumber: [],
    estimate: { value: 100 * value, lower: 100 * lower, upper: 100 * upper },
    prediction: undefined,
    trueSpread: undefined,
    betweenStudyDeviation: undefined,
    parts: [],
    arms: [],
    relative,
    absolute,
    rows: [],
  };
  return {
    kind: 'certainty-rating',
    question: { kind: 'comparison', outcome: deformity.id, site: 'subpectoral', comparator: 'tenotomy' },
    start: { level: 'high', reason: 'randomised trials of the two sites.' },
    domains: [judged({ decided: -1, reason: 'nobody was blinded', row })],
    level: 'moderate',
    confirmed: true,
    sentence:
      '17 fewer in 100 (21 to 13 fewer): subpectoral fixation likely reduces cosmetic deformity, compared with tenotomy.',
    rows: [row],
    cautions: [],
    body,
    steps: [],
    effectSize: 'large',
    decisionsOpen: [],
    others: [],
    ...more,
  };
}

const firstRow = (source: Table) => source.rows[0]!;

describe('published absolute effects, through the summary of findings', () => {
  // Hartland AW, Islam R, Teoh KH, Rashid MS. BMJ Open 2022;12:e061954, Table 3: tenodesis against tenotomy.
  it('tenodesis against tenotomy: 174 fewer per 1000 (206 to 128 fewer)', () => {
    const example = published('tenodesis-tenotomy-absolute-effect');
    const data = example.rows[0]!;
    const [value, lower, upper] = ['oddsRatio', 'lower', 'upper'].map((column) => numberIn(data, column));
    const risk = numberIn(data, 'eventsTenotomy') / numberIn(data, 'totalTenotomy');
    const source = `Tenotomy arms, ${data.eventsTenotomy} of ${data.totalTenotomy} (${example.citation})`;
    const relative = { measure: 'odds-ratio', value: value!, lower: lower!, upper: upper! } as const;
    const rating = ratingOf(relative, [{ risk, source }]);
    const shown = summaryOfFindings(protocol, [rating]);
    const { printed: fewer } = printedValue(example, 'fewer per 1000 with tenodesis');
    const { printed: limits } = printedValue(example, 'fewer per 1000 at the interval limits');
    // The paper prints in 1,000, the summary in 100 as every product does: both from one effect.
    const { difference } = rating.body.absolute[0]!;
    expect(
      [difference.value, difference.lower, difference.upper].map((each) => Math.round(-1000 * each)),
    ).toEqual([fewer, limits[0], limits[1]].map(Number));
    expect(firstRow(shown)).toMatchObject({
      without: '27',
      with: '9.8 (6.6 to 14)',
      difference: '17 fewer (21 fewer to 13 fewer)',
      relative: 'Odds ratio 0.29 (0.19 to 0.45)',
      basis: '811 (10 randomised trials)',
    });
    expect(shown.footnotes?.map(({ text }) => text)).toContain(
      `Tenotomy arms, 109 of 401: ${example.citation}.`,
    );
  });

  it('Cochrane Handbook 5.1, section 12.5.4: 24 and 62 fewer in 1000', () => {
    const example = published('handbook-absolute-effects');
    for (const [at, measure, column] of [
      [0, 'risk-ratio', 'riskRatio'],
      [1, 'odds-ratio', 'oddsRatio'],
    ] as const) {
      const data = example.rows[at]!;
      const value = numberIn(data, column);
      const risk = numberIn(data, 'assumedControlRisk');
      const rating = ratingOf({ measure, value, lower: value, upper: value }, [{ risk, source: 'assumed' }]);
      const words = `${data.item} ${value}, control risk ${risk}`;
      const { printed } = printedValue(example, 'fewer per 1000', words);
      const shown = String(firstRow(summaryOfFindings(protocol, [rating])).difference);
      // Printed in 1,000 there, in 100 here.
      expect(shown.split(' (')[0]).toBe(`${Number(printed) / 10} fewer`);
    }
  });
});

describe('numbers in 100', () => {
  it('are never rounded to none or all, and say the direction in words', () => {
    expect([0, 0.00002, 0.0005, 0.0041, 0.272, 0.99997, 1].map(riskInHundred)).toEqual([
      '0',
      '<0.01',
      '0.05',
      '0.4',
      '27',
      '>99.99',
      '100',
    ]);
    expect([0, -0.00001, 0.00002, -0.174, 0.09].map(differenceWords)).toEqual([
      'no difference',
      '<0.01 fewer',
      '<0.01 more',
      '17 fewer',
      '9.0 more',
    ]);
    expect(riskWithLimits({ value: 0.098, lower: 0.066, upper: 0.144 })).toBe('9.8 (6.6 to 14)');
    expect(differenceWithLimits({ value: -0.009, lower: -0.031, upper: 0.014 })).toBe(
      '0.9 fewer (3.1 fewer to 1.4 more)',
    );
    expect(differenceWithLimits({ value: 0.00004, lower: 0.00002, upper: 0.014 })).toBe(
      '<0.01 more (<0.01 more to 1.4 more)',
    );
  });
});

const pair = ['subpectoral', 'tenotomy'] as const;
const rated = protocol.outcomes
  .filter(({ kind }) => kind === 'events')
  .map(({ id }) =>
    certaintyOfReview(review, { kind: 'comparison', outcome: id, site: pair[0], comparator: pair[1] }),
  );

describe('summary of findings of the demo', () => {
  const shown = summaryOfFindings(protocol, rated, { setting: settingText(review) });

  it('names population, setting, intervention and comparison, and lists seven outcomes in the protocol’s order', () => {
    for (const words of [
      'Population: adults',
      'Setting: hospitals in ',
      'subpectoral fixation (intervention)',
      'tenotomy (comparison)',
    ])
      expect(shown.caption).toContain(words);
    expect(shown.rowGroups?.map(({ heading }) => heading.split(',')[0])).toEqual(
      protocol.outcomes.slice(0, 7).map(({ name }) => name),
    );
    expect(shown.rowGroups?.every(({ rows }) => rows >= 1)).toBe(true);
    expect(shown.notes.join(' ')).toContain('Not shown: Function at follow-up.');
  });

  it('says each effect at several risks with their sources, each difference being the two risks apart', () => {
    const deformityRows = shown.rows.slice(0, shown.rowGroups![0]!.rows);
    expect(deformityRows.length).toBeGreaterThan(1);
    for (const each of deformityRows) {
      const [without, withIt] = [each.without, each.with].map((cell) => Number.parseFloat(String(cell)));
      const [size] = String(each.difference).split(' ');
      const sign = String(each.difference).includes('fewer') ? -1 : 1;
      expect(Math.abs(withIt! - without! - sign * Number(size))).toBeLessThanOrEqual(1);
      expect(cellText(each.baseline)).toMatch(/arms/);
    }
  });

  it('a footnote explains every change of level, in the words of the people who made it', () => {
    let at = 0;
    for (const { rows: count } of shown.rowGroups!) {
      const first = shown.rows[at]!;
      const rating = rated.find(
        ({ question }) =>
          question.outcome ===
          protocol.outcomes[
            shown.rowGroups!.findIndex(
              (_, i) => shown.rowGroups!.slice(0, i).reduce((sum, { rows }) => sum + rows, 0) === at,
            )
          ]!.id,
      );
      const changed =
        rating?.level === undefined
          ? []
          : rating.domains.filter(({ levels, proposed }) => levels !== 0 || proposed !== 0);
      expect(new Set(cellNotes(first.certainty)).size).toBe(
        new Set(changed.map(({ domain }) => domain)).size,
      );
      at += count;
    }
    const texts = shown.footnotes!.map(({ text }) => text).join('\n');
    for (const { domains, level } of rated)
      for (const { decided, reason, levels } of domains)
        if (level !== undefined && decided !== undefined && levels !== 0) expect(texts).toContain(reason);
  });

  it('shows what no person has decided', () => {
    expect(certaintyText({ level: 'low', confirmed: false })).toContain('(proposed)');
    expect(certaintyText({ level: 'low', confirmed: true })).not.toContain('proposed');
    expect(rated.some(({ confirmed, level }) => level !== undefined && !confirmed)).toBe(true);
    expect(shown.notes).toContain('Proposed: proposed by the program, not yet decided by people.');
    const decidedOnly = rated.filter(({ confirmed }) => confirmed);
    expect(summaryOfFindings(protocol, decidedOnly).notes.join(' ')).not.toContain('Proposed:');
  });

  it('borrows no marks: no ring, plus or coloured ball stands for certainty', () => {
    for (const level of ['very low', 'low', 'moderate', 'high'] as const)
      expect(certaintyText({ level, confirmed: true })).toMatch(
        new RegExp(`^${level} [\u2581-\u2588]$`, 'u'),
      );
  });

  it('an outcome without data and a score without a comparison stay in the table', () => {
    const empty = summaryOfFindings(protocol, [
      ratingOf({ measure: 'odds-ratio', value: 1, lower: 0.5, upper: 2 }, [{ risk: 0.2, source: 's' }]),
    ]);
    expect(empty.rowGroups?.length).toBe(7);
    expect(empty.rows.slice(1).every(({ basis }) => basis === 'none')).toBe(true);
  });

  it('round trip: CSV gives back every cell of the file’s columns', () => {
    const [, ...lines] = parse(tableToCsv(shown), { bom: true }) as string[][];
    expect(lines.length).toBe(shown.rows.length);
    for (const [at, each] of shown.rows.entries()) {
      for (const key of ['without', 'with', 'difference', 'relative', 'basis', 'level', 'happens'])
        expect(lines[at]).toContain(String(cellValue(each[key]) ?? ''));
    }
  });

  it('leads from every row to the lines of the sheets', () => {
    const { document } = parseHTML(`<body>${tableToHtml(shown)}</body>`);
    expect(document.querySelector('tbody tr:nth-child(2)')?.getAttribute('data-rows')).toMatch(
      /events\.csv:\d+/,
    );
  });

  it('refuses ratings of other kinds or pairs', () => {
    const rate = certaintyOfReview(review, { kind: 'rate', outcome: deformity.id, site: 'tenotomy' });
    expect(() => summaryOfFindings(protocol, [])).toThrow('at least one comparison');
    expect(() => summaryOfFindings(protocol, [rate])).toThrow('must be comparisons, received a rate');
    const turned = ratingOf(
      { measure: 'odds-ratio', value: 1, lower: 0.5, upper: 2 },
      [{ risk: 0.2, source: 's' }],
      {
        question: { kind: 'comparison', outcome: deformity.id, site: 'tenotomy', comparator: 'subpectoral' },
      },
    );
    expect(() => summaryOfFindings(protocol, [rated[0]!, turned])).toThrow('must be of one pair');
    expect(() => rateFindings(protocol, [rated[0]!])).toThrow('must be rates');
  });
});

describe('rates, profile and characteristics', () => {
  const rates = protocol.sites.map((site) =>
    certaintyOfReview(review, { kind: 'rate', outcome: deformity.id, site }),
  );

  it('rates stand in 100 with their own certainty and are no comparison', () => {
    const shown = rateFindings(protocol, rates);
    expect(shown.rows.map(({ level }) => level)).toEqual(rates.map(({ level }) => level));
    for (const [at, { body }] of rates.entries()) {
      const rate = Number.parseFloat(String(shown.rows[at]!.rate));
      expect(Math.abs(rate - body.estimate!.value)).toBeLessThanOrEqual(rate >= 10 ? 0.5 : 0.05);
    }
    expect(shown.notes[0]).toContain('Not a randomised comparison');
  });

  it('the profile holds each domain of each answer with judgement, reason and numbers', () => {
    const shown = evidenceProfile(protocol, [...rates, ...rated]);
    const answered = [...rates, ...rated].filter(({ level }) => level !== undefined);
    const held = shown.rows.map(({ evidence }) => cellText(evidence)).join('\n');
    for (const { domains } of answered)
      for (const { evidence, domain } of domains.slice(0, 5))
        expect(held, domain).toContain(cellText(evidence.join(' ')));
    expect(shown.rowGroups?.length).toBe(rates.length + rated.length);
    for (const [at, each] of shown.rows.entries())
      expect(shown.sources![at]![0]?.file).toBe(each.by === 'people' ? 'certainty.csv' : 'events.csv');
  });

  it('characteristics: one row a report, and no paper’s silence becomes a number', () => {
    const shown = characteristicsTable(review, studyQuality(review));
    expect(shown.rows.length).toBe(review.studies.length);
    for (const [at, study] of review.studies.entries()) {
      const arms = review.arms.filter((arm) => arm.study === study.study);
      const told = arms.every(({ shouldersAnalysed }) => typeof shouldersAnalysed === 'number');
      expect(typeof shown.rows[at]!.shoulders).toBe(told ? 'number' : 'string');
      expect(shown.sources![at]).toContainEqual(study.row);
    }
  });
});

describe('evidence document', () => {
  const parts = evidenceOfReview(review, {
    pairs: [pair],
    outcomes: [deformity.id, 'groove-pain'],
    forests: false,
  });
  const document = evidenceDocument(review, parts);

  it('says first what people have not decided, then the key messages, numbers first', () => {
    const words = document.blocks.flatMap((block) =>
      block.kind === 'paragraph' || block.kind === 'heading'
        ? [block.text]
        : block.kind === 'list'
          ? block.items
          : [],
    );
    expect(words[0]).toBe(protocol.question);
    expect(words.find((text) => text.includes('not yet decided by people'))).toMatch(
      /^\d+ of \d+ certainties/,
    );
    const messages = words.filter((text) => / certainty(?:, proposed)?\)$/.test(text));
    expect(messages.length).toBeGreaterThan(2);
    for (const message of messages) {
      expect(withoutAnswerMarks(message)).toMatch(/^(?:No difference|[\d.]+)/);
      expect(answersIn(message)).toEqual([expect.stringMatching(/^(?:comparison|rate):/)]);
    }
    expect(document.notice).toContain('Invented data');
  });

  it('holds every table and picture it promises, and departures even when there are none', () => {
    const captions = document.blocks.flatMap((block) =>
      block.kind === 'table' ? [block.table.caption] : [],
    );
    expect(captions.map((caption) => caption.split(/[,:.]/)[0])).toEqual([
      'How often',
      'Summary of findings',
      'Cosmetic deformity',
      'Groove pain',
      'Characteristics of the 33 reports',
      'Evidence profile',
      'Evidence profile',
    ]);
    const figures = document.blocks.filter((block) => block.kind === 'figure');
    expect(figures.every(({ description }) => description.length > 40)).toBe(true);
    const short = evidenceDocument(review, parts, { profiles: false });
    expect(short.blocks.at(-1)).toMatchObject({ text: 'None.' });
    // The reasons for each certainty are the appendix.
    expect(document.blocks.slice(0, short.blocks.length - 1).at(-1)).toEqual(short.blocks.at(-2));
    expect(document.blocks[short.blocks.length]).toMatchObject({
      kind: 'heading',
      text: expect.stringMatching(/^Appendix/),
    });
    expect(short.blocks.filter(({ kind }) => kind === 'table').length).toBe(5);
    const left = evidenceDocument(review, { ...parts, departures: ['Another window.'] }, { profiles: false });
    expect(left.blocks.at(-1)).toMatchObject({ kind: 'list', items: ['Another window.'] });
  });

  it('stands also for a review without any result', () => {
    const bare = { ...review, events: [], scores: [] };
    const empty = evidenceDocument(bare, evidenceOfReview(bare, { pairs: [pair], forests: false }));
    const text = JSON.stringify(empty.blocks.filter(({ kind }) => kind !== 'figure'));
    expect(text).toContain('we cannot tell');
    expect(text).not.toMatch(/NaN|Infinity|undefined/);
  });
});
