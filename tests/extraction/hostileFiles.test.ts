import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseDelimitedText } from '../../src/extraction/delimitedText.ts';
import { formatProblem } from '../../src/extraction/problem.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { smallReview } from './smallReview.ts';

/** What a review cannot do without, cut down to one study: the sheet whose turn it is comes whole. */
const needed = Object.fromEntries(
  ['protocol.json', 'studies.csv', 'arms.csv', 'events.csv'].map((file) => [
    file,
    (smallReview[file] ?? '').replace(/^(brun|cilla).*\n/gm, ''),
  ]),
);
const csvFiles = Object.keys(smallReview).filter((file) => file.endsWith('.csv'));

/** Text that looks like a sheet often enough to get past the headings. */
const piece = fc.oneof(
  // Harmless more often than not, so that some texts pass.
  { weight: 5, arbitrary: fc.constantFrom('0', '1', '7', ' ', 'a', '.', '') },
  {
    weight: 6,
    arbitrary: fc.constantFrom(
      ',',
      ';',
      '\t',
      '"',
      '\n',
      '\r\n',
      '\r',
      '#',
      ' ',
      '=',
      '-',
      '0',
      '1',
      '12,5',
      '1e999',
      'NaN',
      'Infinity',
      'NR',
      '%',
      '\u0000',
      '\ufeff',
      '\ufffd',
      '\ud800',
      '__proto__',
      'constructor',
    ),
  },
  { weight: 2, arbitrary: fc.string({ maxLength: 8, unit: 'binary' }) },
  { weight: 1, arbitrary: fc.double().map(String) },
);

/** What people type, right and wrong. */
const typed = fc.oneof(
  fc.constantFrom(
    '0',
    '3',
    '38',
    'NR',
    '',
    ' n/a ',
    '12.5',
    '"12,5"',
    'abel-2010',
    'high',
    '1,083',
    '=1+1',
    '#REF!',
  ),
  piece,
);

/** A sound sheet with one or two cells retyped, or pieces put in or cut out anywhere; or nothing but pieces. */
const brokenCsv = fc
  .record({
    file: fc.constantFrom(...csvFiles),
    kind: fc.integer({ min: 0, max: 9 }),
    retyped: fc.array(fc.record({ at: fc.nat(500), cell: typed }), { minLength: 1, maxLength: 2 }),
    edits: fc.array(fc.record({ at: fc.nat(2000), cut: fc.nat(4), put: piece }), {
      minLength: 1,
      maxLength: 3,
    }),
    pieces: fc.array(piece, { maxLength: 40 }),
  })
  .map(({ file, kind, retyped, edits, pieces }) => {
    if (kind === 0) return { file, text: pieces.join('') };
    let text = smallReview[file] ?? '';
    if (kind < 6) {
      const [headings = '', ...rows] = text.split('\n');
      const cells = rows.map((row) => row.split(','));
      for (const { at, cell } of retyped) {
        const row = cells[at % rows.length] ?? [];
        row[at % row.length] = cell;
      }
      return { file, text: [headings, ...cells.map((row) => row.join(','))].join('\n') };
    }
    for (const { at, cut, put } of edits) {
      const place = at % (text.length + 1);
      text = text.slice(0, place) + put + text.slice(place + cut);
    }
    return { file, text };
  });

/** Every number of a value, however deep. */
function numbersIn(value: unknown): readonly number[] {
  if (typeof value === 'number') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersIn) : [];
}

describe('random files', () => {
  it('never crash and never yield NaN, in 10,000 random CSV texts', () => {
    let sound = 0;
    fc.assert(
      fc.property(brokenCsv, ({ file, text }) => {
        const { review, problems } = readReview({ ...needed, [file]: text });
        const errors = problems.filter((problem) => problem.severity === 'error');
        expect(review === undefined).toBe(errors.length > 0);
        if (review !== undefined) {
          sound += 1;
          if (!numbersIn(review).every(Number.isFinite)) throw new Error('a number is not finite');
        }
        const lines = text
          .replace(/^\ufeff/, '')
          .replace(/\r\n?/g, '\n')
          .split('\n');
        for (const problem of problems) {
          const message = formatProblem(problem);
          if (/\p{Cc}/u.test(message)) throw new Error(`not one plain line: ${message}`);
          const line = lines[problem.line - 1];
          if (problem.file === file && (line === undefined || problem.column > line.length + 1)) {
            throw new Error(`${message} points outside the file`);
          }
        }
      }),
      { numRuns: 10_000, seed: 20261125 },
    );
    // Some texts must get through whole, or the property would only try the first line of defence.
    expect(sound).toBeGreaterThan(500);
  }, 300_000);

  it('never crash on random protocols', () => {
    const text = smallReview['protocol.json'] ?? '';
    const json = fc.oneof(
      fc.json(),
      fc.tuple(fc.nat(2000), fc.nat(9), piece).map(([at, cut, put]) => {
        const place = at % text.length;
        return text.slice(0, place) + put + text.slice(place + cut);
      }),
    );
    fc.assert(
      fc.property(json, (protocol) => {
        const { review, problems } = readReview({ ...smallReview, 'protocol.json': protocol });
        expect(review === undefined).toBe(problems.some((problem) => problem.severity === 'error'));
      }),
      { numRuns: 1_000, seed: 20261125 },
    );
  });

  it('never crash on random bytes', () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 200 }),
        fc.constantFrom(...Object.keys(smallReview)),
        (bytes, file) => {
          expect(readReview({ ...smallReview, [file]: bytes }).review).toBeUndefined();
        },
      ),
      { numRuns: 500, seed: 20261125 },
    );
  });

  it('give back any table that was written by the rules, every cell at its place', () => {
    const cell = fc
      .oneof(fc.string({ maxLength: 6 }), fc.constantFrom('"', ',', '\n', '""', '', ' '))
      .filter((text) => !text.includes('\r'));
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(table, fc.constantFrom(',' as const, ';' as const, '\t' as const), (rows, delimiter) => {
        const quote = (text: string): string =>
          /["\n,;\t]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
        const text = rows.map((row) => `${row.map(quote).join(delimiter)}\n`).join('');
        const kept = rows.filter(
          (row) => row.some((each) => each.trim() !== '') && !row[0]?.trim().startsWith('#'),
        );
        const parsed = parseDelimitedText('x.csv', text, delimiter);
        expect(parsed.problems).toEqual([]);
        expect(parsed.rows.map((row) => row.cells.map((each) => each.text))).toEqual(kept);
        const lines = text.split('\n');
        for (const each of parsed.rows.flatMap((row) => row.cells)) {
          const there = lines
            .slice(each.line - 1)
            .join('\n')
            .slice(each.column - 1);
          expect(there.startsWith(quote(each.text))).toBe(true);
        }
      }),
      { numRuns: 2_000, seed: 20261125 },
    );
  });
});
