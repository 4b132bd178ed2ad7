import { describe, expect, it } from 'vitest';
import { formatProblem } from '../../src/extraction/problem.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { brokenEvents } from './brokenEvents.ts';
import { brokenProtocol } from './brokenProtocol.ts';
import { brokenArms, brokenFlow, brokenJudgements, brokenScores, brokenStudies } from './brokenTables.ts';
import { smallReview, withChange } from './smallReview.ts';

const broken = [
  ...brokenEvents,
  ...brokenStudies,
  ...brokenArms,
  ...brokenScores,
  ...brokenJudgements,
  ...brokenFlow,
  ...brokenProtocol,
];

describe('broken files', () => {
  it('has a sound review to break, and at least 40 ways to break it', () => {
    expect(readReview(smallReview).problems).toEqual([]);
    expect(broken.length).toBeGreaterThanOrEqual(40);
    expect(new Set(broken.map(({ slip }) => slip)).size).toBe(broken.length);
  });

  it.each(broken)('says exactly what to do about $slip in $file', ({ file, from, to, messages }) => {
    const { review, problems } = readReview(withChange(file, from, to));
    expect(problems.map(formatProblem)).toEqual(messages);
    const hasError = problems.some((problem) => problem.severity === 'error');
    expect(review === undefined).toBe(hasError);
    if (review !== undefined) expect(review.warnings).toEqual(problems);
  });

  it('reports slips in several files at once, by file, then by line', () => {
    let files = withChange('studies.csv', 'Brun 2015,2015', 'Brun 2015,215');
    files = withChange('events.csv', '24,4,38,10.5', '24,four,38,10.5', files);
    files = withChange('events.csv', '24,3,30,10,', '24,31,30,,', files);
    files = withChange('protocol.json', '"level": 0.95', '"level": 95', files);
    const places = readReview(files).problems.map(({ file, line, column }) => `${file}:${line}:${column}`);
    expect(places).toEqual(['events.csv:2:58', 'events.csv:4:57', 'protocol.json:53:14', 'studies.csv:3:21']);
  });
});

describe('files that are no text', () => {
  const messagesFor = (content: string | Uint8Array): readonly string[] =>
    readReview({ ...smallReview, 'flow.csv': content }).problems.map(formatProblem);

  it('says where the first byte that is not UTF-8 stands', () => {
    const bytes = new TextEncoder().encode('stage,detail,count\nreports included,caf?,3\n');
    bytes[bytes.indexOf('?'.charCodeAt(0))] = 0xe9;
    expect(messagesFor(bytes)).toEqual([
      'flow.csv:2:21 error: "byte E9"; expected text in UTF-8. Save the sheet again as "CSV UTF-8" (or, in a text editor, with encoding UTF-8).',
    ]);
  });

  it('accepts letters of any script around a late bad byte and counts columns in characters', () => {
    const start = new TextEncoder().encode('stage,detail,count\nreports included,é日本😀');
    const bytes = new Uint8Array([...start, 0xff, 0x2c, 0x33]);
    expect(messagesFor(bytes)[0]).toContain('flow.csv:2:23 error: "byte FF"');
  });

  it('recognises a workbook and UTF-16', () => {
    expect(messagesFor(new Uint8Array([0x50, 0x4b, 3, 4, 20, 0]))).toEqual([
      'flow.csv:1:1 error: "PK"; expected text in UTF-8. This is a workbook or zip file: open it and save the sheet as "CSV UTF-8".',
    ]);
    expect(messagesFor(new Uint8Array([0xff, 0xfe, 0x73, 0]))).toEqual([
      'flow.csv:1:1 error: "UTF-16"; expected text in UTF-8. Save the sheet again as "CSV UTF-8", not as "Unicode text".',
    ]);
  });

  it('says what to do about an empty file', () => {
    expect(messagesFor('')).toEqual([
      'flow.csv:1:1 error: ""; expected a row of headings. Copy the headings of template/flow.csv.',
    ]);
    expect(messagesFor('# only a comment\n\n , \n')).toEqual(messagesFor(''));
  });
});

describe('files that are not there', () => {
  const without = (file: string, more: Readonly<Record<string, string>> = {}): readonly string[] => {
    const files = Object.fromEntries(Object.entries(smallReview).filter(([name]) => name !== file));
    return readReview({ ...files, ...more }).problems.map(formatProblem);
  };

  it('needs the protocol and the three main sheets, and can do without the others', () => {
    for (const file of ['protocol.json', 'studies.csv', 'arms.csv', 'events.csv']) {
      expect(without(file)[0]).toMatch(
        new RegExp(`^${file}:1:1 error: ""; expected the file in the folder\\. Copy it`),
      );
    }
    for (const file of ['scores.csv', 'judgements.csv', 'flow.csv']) {
      expect(without(file)).toEqual([
        `${file}:1:1 warning: ""; expected the file in the folder. Copy it from data-extraction/template, or save the sheet as "CSV UTF-8" under this name.`,
      ]);
    }
  });

  it('points at the file that was probably meant', () => {
    expect(without('events.csv', { 'event.csv': '' })[0]).toContain('Is it "event.csv"? Rename it.');
  });

  it('takes names of objects for what they are: names', () => {
    expect(without('events.csv', { constructor: '', __proto__: '' } as Record<string, string>)).toHaveLength(
      1,
    );
  });
});
