import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { flowCounts } from '../../src/extraction/flowCounts.ts';
import { formatProblem } from '../../src/extraction/problem.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import {
  checklistItems,
  knownChecklistItem,
  reportingItemOrder,
} from '../../src/extraction/reportingItems.ts';
import type { Review } from '../../src/extraction/review.ts';
import { findNotebooks } from '../../src/publishing/findNotebooks.ts';
import { notebookHeadings } from '../../src/publishing/manuscript/notebookHeadings.ts';
import { checklistReading, checklistTable } from '../../src/tables/checklist/checklistTable.ts';
import { notebookPlaces } from '../../src/tables/checklist/notebookPlaces.ts';
import { reportingChecklist } from '../../src/tables/checklist/reportingChecklist.ts';
import { manuscriptText } from '../../src/tables/manuscript/manuscriptText.ts';
import { tableToHtml } from '../../src/tables/tableToHtml.ts';
import { smallReview } from '../extraction/smallReview.ts';

const withChecklist = (rows: string) =>
  readReview({ ...smallReview, 'checklist.csv': `item,where_reported,comment\n${rows}\n` });
const reviewWith = (rows: string): Review => {
  const { review, problems } = withChecklist(rows);
  if (review === undefined) throw new Error(problems.map(formatProblem).join('\n'));
  return review;
};
const checklistOf = (review: Review) =>
  reportingChecklist(review, manuscriptText({ review, flow: flowCounts(review.flow), outcomes: [] }), {
    headings: new Map(),
  });

describe('the lists', () => {
  it('have the items of the published checklists, in order', () => {
    // 27 items, of which 10, 13, 16, 20, 23 and 24 have 2, 6, 2, 4, 4 and 3 parts: 27 - 6 + 21 = 42.
    expect(reportingItemOrder).toHaveLength(42);
    expect(reportingItemOrder.slice(9, 19)).toEqual([
      '10a',
      '10b',
      '11',
      '12',
      '13a',
      '13b',
      '13c',
      '13d',
      '13e',
      '13f',
    ]);
    expect(new Set(reportingItemOrder.map((item) => Number.parseInt(item, 10))).size).toBe(27);
    // 12 for the abstract; 5 more for a network make 32 (27 + 5).
    expect(checklistItems).toHaveLength(42 + 12 + 5);
  });

  it('know an item however it is typed', () => {
    expect([' 13D ', 'item 5', 'a12', '13', 's6', ''].map(knownChecklistItem)).toEqual([
      '13d',
      '5',
      'A12',
      undefined,
      undefined,
      undefined,
    ]);
  });

  it('point at headings the notebooks have', () => {
    const headings = notebookHeadings(
      findNotebooks(fileURLToPath(new URL('../../notebooks', import.meta.url))),
    );
    for (const { page, heading, items } of notebookPlaces) {
      expect(headings.get(page), page).toContain(heading);
      for (const item of items) expect(checklistItems).toContain(item);
    }
  });
});

describe('checklist.csv', () => {
  it('may be absent, without a word', () => {
    expect(readReview(smallReview).problems.some(({ file }) => file === 'checklist.csv')).toBe(false);
  });

  it('says which item it does not know, and where', () => {
    expect(withChecklist('13g,page 4,').problems.map(formatProblem)).toContain(
      'checklist.csv:2:1 error: item is "13g"; expected an item of the checklist. Did you mean "13a"? Items are 1 to 27 (10, 13, 16, 20, 23 and 24 by letter), A1 to A12 and S1 to S5.',
    );
  });
});

describe('where items are answered', () => {
  let review: Review;
  beforeAll(() => {
    review = reviewWith('24a,"page 1, <b>Registration</b>",\n25,,nobody paid\nA2,page 2,');
  });

  it('takes what people typed before anything found by rule', () => {
    const entry = (item: string) => checklistOf(review).entries.find((each) => each.item === item);
    expect(entry('24a')).toMatchObject({
      state: 'reported',
      places: ['page 1, <b>Registration</b>'],
      row: { file: 'checklist.csv', line: 2 },
    });
    expect(entry('25')).toMatchObject({ state: 'not answered', comment: 'nobody paid' });
    expect(entry('A2')).toMatchObject({ state: 'reported' });
  });

  it('proposes paragraphs with finished sentences, and says what is missing', () => {
    const entry = (item: string) => checklistOf(review).entries.find((each) => each.item === item);
    expect(entry('6')).toMatchObject({ places: [], state: 'not answered' });
    expect(entry('13a')).toMatchObject({
      places: ['Methods: Synthesis methods'],
      state: 'proposed',
      toSupply: [],
    });
    expect(entry('5')).toMatchObject({ places: ['Methods: Eligibility criteria'], state: 'in part' });
    expect(entry('26')).toMatchObject({ state: 'not answered', toSupply: ['interests of each author'] });
    expect(entry('23a')).toMatchObject({ state: 'not answered', places: [], toSupply: [] });
    expect(entry('A3')).toMatchObject({
      state: 'not answered',
      comment: 'Material in Methods: Eligibility criteria.',
    });
  });

  it('counts every item once, and escapes what was typed', () => {
    const checklist = checklistOf(review);
    expect(checklist.entries.map(({ item }) => item)).toEqual(checklistItems);
    const [main = ''] = checklistReading(checklist);
    const numbers = [...main.matchAll(/(\d+) (?=are|proposed|answered|not answered)/g)].map(([, n]) =>
      Number(n),
    );
    expect(numbers.reduce((sum, count) => sum + count, 0)).toBe(42);
    const html = tableToHtml(checklistTable(checklist, 'PRISMA 2020'));
    expect(html).toContain('&lt;b&gt;Registration');
    expect(html).not.toContain('<b>');
  });
});
