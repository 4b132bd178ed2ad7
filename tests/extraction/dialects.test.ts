import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { parseDelimitedText } from '../../src/extraction/delimitedText.ts';
import { plainHeading } from '../../src/extraction/headings.ts';
import { missingWords } from '../../src/extraction/missingText.ts';
import { isReported, notReported } from '../../src/extraction/reported.ts';
import type { Review } from '../../src/extraction/review.ts';
import { readSound, smallReview, withChange } from './smallReview.ts';

/** A review without places: other dialects put the same cells in other columns. */
const withoutPlaces = (review: Review): unknown =>
  JSON.parse(JSON.stringify({ ...review, warnings: review.warnings.map(({ cure }) => cure) }));

type Rewrite = (cells: readonly (readonly string[])[]) => string;

const quoteAll = (cell: string): string => `"${cell.replaceAll('"', '""')}"`;
const quoteFor = (cell: string, separator: string): string =>
  cell.includes(separator) || /["\n]/.test(cell) ? quoteAll(cell) : cell;

const write =
  (
    separator: string,
    lineEnd = '\n',
    each: (cell: string) => string = (cell) => quoteFor(cell, separator),
  ): Rewrite =>
  (rows) =>
    rows.map((row) => row.map(each).join(separator) + lineEnd).join('');

const decimalComma = (cell: string): string => (/^-?\d+\.\d+$/.test(cell) ? cell.replace('.', ',') : cell);

const dialects: Readonly<Record<string, (text: string) => string | Uint8Array>> = {
  semicolons: rewritten(write(';')),
  tabs: rewritten(write('\t')),
  'every cell quoted': rewritten(write(',', '\n', quoteAll)),
  'decimal commas with semicolons': rewritten((rows) => write(';')(rows.map((row) => row.map(decimalComma)))),
  'decimal commas in quotes': rewritten((rows) => write(',')(rows.map((row) => row.map(decimalComma)))),
  'Windows line ends': (text) => text.replaceAll('\n', '\r\n'),
  'old Macintosh line ends': (text) => text.replaceAll('\n', '\r'),
  'byte order mark': (text) => `\ufeff${text}`,
  'bytes with byte order mark': (text) => new TextEncoder().encode(`\ufeff${text}`),
  'separator line': rewritten((rows) => `sep=;\n${write(';')(rows)}`),
  'trailing blank rows and columns': rewritten((rows) =>
    write(',')([...rows.map((row) => [...row, '', '']), ['', ''], [' ', '', '']]),
  ),
  'comments between rows': rewritten((rows) => {
    const [headings = [], ...others] = rows;
    return `# a comment\n${write(',')([headings, ['# example', 'x'], ...others])}#last`;
  }),
  'headings in capitals with spaces': rewritten((rows) => {
    const [headings = [], ...others] = rows;
    return write(',')([
      headings.map((heading) => ` ${heading.toUpperCase().replaceAll('_', ' ')} `),
      ...others,
    ]);
  }),
  'headings with brackets': rewritten((rows) => {
    const [headings = [], ...others] = rows;
    return write(',')([
      headings.map((heading) => heading.replace(/_(months|mm|years|percent)$/, ' ($1)')),
      ...others,
    ]);
  }),
  'columns in another order': rewritten((rows) => write(',')(rows.map((row) => row.toReversed()))),
  'blanks around cells': rewritten((rows) =>
    write(',')(rows.map((row) => row.map((cell) => ` ${cell}\u00a0`))),
  ),
};

function rewritten(rewrite: Rewrite): (text: string) => string {
  return (text) =>
    rewrite(parseDelimitedText('x.csv', text, ',').rows.map((row) => row.cells.map((cell) => cell.text)));
}

function inDialect(files: Readonly<Record<string, string>>, rewrite: (text: string) => string | Uint8Array) {
  return Object.fromEntries(
    Object.entries(files).map(([file, text]) => [file, file.endsWith('.csv') ? rewrite(text) : text]),
  );
}

describe('dialects', () => {
  const demo = demoFiles();
  it.each(Object.keys(dialects))('reads the same review with %s', (name) => {
    const rewrite = dialects[name] as (text: string) => string | Uint8Array;
    const plain = (review: Review): unknown =>
      JSON.parse(JSON.stringify(withoutPlaces(review), (key, value) => (key === 'line' ? undefined : value)));
    for (const files of [smallReview, demo]) {
      // The order of warnings at one row follows the columns, so they are compared as a set.
      const read = readSound(inDialect(files, rewrite));
      const expected = readSound(files);
      const sorted = (review: Review): Review => ({
        ...review,
        warnings: review.warnings.toSorted((a, b) => (a.cure < b.cure ? -1 : 1)),
      });
      expect(plain(sorted(read))).toEqual(plain(sorted(expected)));
    }
  });

  it('keeps line numbers right after quoted line breaks, blank rows and comments', () => {
    const text =
      'study,label,year,design\n\n"abel-2010","Abel\r\n2010",2010,case series\r\n# note\nbrun-2015,Brun,2015,case series\n';
    const review = readSound({
      ...smallReview,
      'studies.csv': text,
      'arms.csv': 'study,arm,site_as_reported,site_as_classified\n',
      'events.csv': `${smallReview['events.csv']?.split('\n')[0]}\n`,
      'scores.csv': `${smallReview['scores.csv']?.split('\n')[0]}\n`,
      'judgements.csv': 'study,tool,item,judgement\n',
    });
    expect(review.studies.map((study) => study.row.line)).toEqual([3, 6]);
    expect(review.studies[0]?.label).toBe('Abel\n2010');
  });

  it('puts every cell where an editor finds it', () => {
    const text = 'a,"b ""x""",c\n"1\n2",é,😀,"z"\n,, y\n';
    const lines = text.split('\n');
    for (const row of parseDelimitedText('x.csv', text, ',').rows) {
      for (const cell of row.cells) {
        const there = (lines[cell.line - 1] ?? '').slice(cell.column - 1);
        const first = cell.text.split('\n')[0] ?? '';
        expect(there.startsWith(first) || there.startsWith(`"${first.replaceAll('"', '""')}`)).toBe(true);
      }
    }
  });

  it('knows a heading however it is written', () => {
    for (const heading of [
      'follow_up_months',
      'Follow-up (months)',
      ' FOLLOW UP  MONTHS ',
      'follow-up-months',
      'Follow up [months]:',
    ]) {
      expect(plainHeading(heading)).toBe('follow_up_months');
    }
  });
});

describe('not reported is not zero', () => {
  it.each([...missingWords, ' NR ', 'Not Reported', 'N/A', 'not_reported', '\u00a0'])(
    'reads %j as not reported',
    (word) => {
      const files = withChange('events.csv', '24,0,40,0,', `24,${word},40,${word},`);
      const row = readSound(files).events[1];
      expect(row?.events).toBe(notReported);
      expect(row?.percent).toBe(notReported);
      expect(row?.eligibleShoulders).toBe(40);
    },
  );

  it('keeps a typed zero', () => {
    for (const zero of ['0', '00', '0.0', '-0', '+0']) {
      const row = readSound(withChange('events.csv', '24,0,40,0,', `24,${zero},40,0,`)).events[1];
      expect(row?.events).toBe(0);
    }
  });

  it('has a column that was left out as not reported throughout', () => {
    expect(readSound(smallReview).arms.every((arm) => !isReported(arm.womenPercent))).toBe(true);
  });

  it('cannot be added or compared by accident', () => {
    const { events } = readSound(smallReview);
    // @ts-expect-error a reported value is no number until somebody asked
    const sum = () => events[0]?.events + 1;
    expect(sum).toBeTypeOf('function');
  });
});

describe('hostile text', () => {
  const hostile = [
    '<script>alert(1)</script>',
    "=cmd|' /C calc'!A0",
    '{{constructor.constructor("x")()}}',
    '`rm -rf`$(reboot)',
    '../../etc/passwd',
    "'; DROP TABLE studies; --",
    '\u202eevil',
    '@SUM(A1)',
    '# not a comment here',
  ];
  it.each(hostile)('keeps %j as the text it is', (text) => {
    const files = withChange('studies.csv', 'Brun 2015,2015', `${quoteAll(text)},2015`);
    expect(readSound(files).studies[1]?.label).toBe(text);
  });
});
