import { parseHTML } from 'linkedom';
import { describe, expect, it } from 'vitest';
import { pageMarkdown } from '../../src/publishing/pageMarkdown.ts';
import { documentToMarkdown } from '../../src/tables/documentToMarkdown.ts';
import { markedHtml } from '../../src/tables/markedHtml.ts';
import { table } from '../../src/tables/table.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';
import { tableToHtml } from '../../src/tables/tableToHtml.ts';
import { tableToMarkdown } from '../../src/tables/tableToMarkdown.ts';
import { tableToText } from '../../src/tables/tableToText.ts';
import {
  answersIn,
  bookmarkOf,
  markAnswer,
  replaceAnswerMarks,
  splitAnswerMarks,
  withoutAnswerMarks,
} from '../../src/wording/answerMark.ts';

const one = markAnswer('rate:revision:tenotomy', '1.2 (0.4 to 3.1)');
const two = markAnswer('rate:revision:subpectoral', '<0.01 & more');
const text = `After tenotomy ${one}, after subpectoral fixation ${two}, again ${one}.`;
const plain =
  'After tenotomy 1.2 (0.4 to 3.1), after subpectoral fixation <0.01 & more, again 1.2 (0.4 to 3.1).';
const anyMark = /[\uE000-\uE002]/;

describe('marks in a text', () => {
  it('are found, replaced and taken away', () => {
    expect(withoutAnswerMarks(text)).toBe(plain);
    expect(answersIn(text)).toEqual(['rate:revision:tenotomy', 'rate:revision:subpectoral']);
    expect(replaceAnswerMarks(one, (id, words) => `[${id}|${words}]`)).toBe(
      '[rate:revision:tenotomy|1.2 (0.4 to 3.1)]',
    );
    const pieces = splitAnswerMarks(text);
    expect(pieces.map((piece) => piece.text).join('')).toBe(plain);
    expect(pieces.flatMap(({ answer }) => answer ?? [])).toEqual([
      'rate:revision:tenotomy',
      'rate:revision:subpectoral',
      'rate:revision:tenotomy',
    ]);
    expect(splitAnswerMarks('no mark')).toEqual([{ text: 'no mark', answer: undefined }]);
    expect(splitAnswerMarks('')).toEqual([]);
  });

  it('are not made without an id or a text, and do not lie within each other', () => {
    expect(markAnswer(undefined, '1.2')).toBe('1.2');
    expect(markAnswer('a', '')).toBe('');
    expect(answersIn(markAnswer('outer', one))).toEqual(['outer']);
    expect(withoutAnswerMarks(markAnswer('outer', one))).toBe('1.2 (0.4 to 3.1)');
  });
});

describe('every writer turns marks into its own', () => {
  const shown = table({
    caption: 'Rates',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'rate', heading: 'Rate' },
    ],
    rows: [
      { site: 'Tenotomy', rate: one },
      { site: 'Other', rate: '3' },
    ],
    notes: [`Beside: ${two}`],
    answers: [undefined, 'rate:revision:other'],
  });

  it('HTML: an attribute, with every word escaped', () => {
    const { document } = parseHTML(`<p>${markedHtml(text)}</p>`);
    expect(document.querySelector('p')?.textContent).toBe(plain);
    expect(
      [...document.querySelectorAll('[data-answer]')].map((each) => each.getAttribute('data-answer')),
    ).toEqual(['rate:revision:tenotomy', 'rate:revision:subpectoral', 'rate:revision:tenotomy']);
    const html = tableToHtml(shown);
    expect(html).toContain('data-answer="rate:revision:tenotomy"');
    expect(html).toContain('data-answer="rate:revision:other"');
    expect(html).not.toMatch(anyMark);
  });

  it('Markdown on the way to HTML keeps them, through emphasis and lists', () => {
    const html = pageMarkdown((heading) => heading).render(`**${one}**\n\n- ${two}`);
    const { document } = parseHTML(`<div>${html}</div>`);
    expect(
      [...document.querySelectorAll('[data-answer]')].map((each) => [
        each.getAttribute('data-answer'),
        each.textContent,
      ]),
    ).toEqual([
      ['rate:revision:tenotomy', '1.2 (0.4 to 3.1)'],
      ['rate:revision:subpectoral', '<0.01 & more'],
    ]);
    expect(html).not.toMatch(anyMark);
  });

  it('text, Markdown and CSV: nothing of them is left, and CSV names the answer of a row', () => {
    for (const written of [tableToText(shown), tableToMarkdown(shown), tableToCsv(shown)]) {
      expect(written).not.toMatch(anyMark);
      expect(written).toContain('1.2 (0.4 to 3.1)');
    }
    expect(tableToCsv(shown)).toContain('rate:revision:other');
    const document = {
      kind: 'document',
      title: 'T',
      language: 'en-GB',
      notice: undefined,
      caution: 'C',
      blocks: [{ kind: 'paragraph', text }],
    };
    expect(documentToMarkdown(document as never, { pictureAt: () => '' })).not.toMatch(anyMark);
  });
});

describe('the bookmark of an answer', () => {
  const ids = [
    'rate:revision:tenotomy',
    'rate:a-b:tenotomy',
    'rate:a_b:tenotomy',
    'rate:a.b:tenotomy',
    // Word tells names apart by letters only, not by their case.
    'rate:A-b:tenotomy',
    'rate:höhe:tenotomy',
    'rate:hohe:tenotomy',
    'comparison:cosmetic-deformity:suprapectoral:subpectoral',
    'comparison:cosmetic-deformity:suprapectoral:tenotomy',
    'mean-difference:function:suprapectoral:tenotomy:american-shoulder',
  ];
  it('is a name Word takes, leaves room for a number, and belongs to one answer alone', () => {
    for (const id of ids) {
      expect(bookmarkOf(id)).toMatch(/^[A-Za-z]\w*$/);
      expect(bookmarkOf(id).length).toBeLessThanOrEqual(35);
      expect(`${bookmarkOf(id)}_9999`.length).toBeLessThanOrEqual(40);
    }
    expect(new Set(ids.map((id) => bookmarkOf(id).toLowerCase())).size).toBe(ids.length);
    expect(bookmarkOf('rate:revision:tenotomy')).toBe('answer_rate_revision_tenotomy');
  });
});
