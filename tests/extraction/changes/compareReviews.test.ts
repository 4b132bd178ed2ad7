import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareReviews } from '../../../src/extraction/changes/compareReviews.ts';
import type { ReviewVersion } from '../../../src/extraction/changes/reviewVersion.ts';
import { isMissingText } from '../../../src/extraction/missingText.ts';
import { readReview, reviewFiles } from '../../../src/extraction/readReview.ts';
import { sheetNames, sheets } from '../../../src/extraction/sheets/sheets.ts';
import { type ReviewText, readSound, smallReview, withChange } from '../smallReview.ts';

const version = (files: ReviewText, name = 'version'): ReviewVersion => ({
  name,
  files,
  review: readSound(files),
});
const small = version(smallReview, 'before');
const since = (files: ReviewText) => compareReviews(small, version(files, 'after'));

const demoFolder = new URL('../../../data-extraction/demo/', import.meta.url);
const demo: ReviewText = Object.fromEntries(
  reviewFiles.flatMap((file) => {
    try {
      return [[file, readFileSync(new URL(file, demoFolder), 'utf8')]];
    } catch {
      return [];
    }
  }),
);

/** The text with one cell replaced, and the line an editor shows for it. */
function withCell(text: string, at: number, across: number, typed: string) {
  const rows: string[][] = parse(text, { relax_column_count: true });
  const row = rows[1 + (at % (rows.length - 1))] as string[];
  const column = across % row.length;
  const old = row[column] ?? '';
  row[column] = typed;
  // A quoted cell above may span several lines.
  const line = stringify(rows.slice(0, rows.indexOf(row))).split('\n').length;
  return { text: stringify(rows), old, heading: rows[0]?.[column] ?? '', line };
}

const cellInARandomPlace = (base: ReviewText, runs: number) => {
  const before = version(base, 'before');
  let found = 0;
  fc.assert(
    fc.property(
      fc.constantFrom(...sheetNames.map((name) => sheets[name].file).filter((file) => file in base)),
      fc.nat(),
      fc.nat(),
      fc.oneof(
        fc.nat({ max: 99 }).map((at) => ({ typed: undefined, at })),
        fc.constantFrom('NR', '7', '2', 'some words', '1999').map((typed) => ({ typed, at: 0 })),
      ),
      (file, at, across, how) => {
        const rows: string[][] = parse(base[file] ?? '', { relax_column_count: true });
        const column = across % (rows[0]?.length ?? 1);
        // Another entry of the same column, or something typed.
        const typed = how.typed ?? rows[1 + (how.at % (rows.length - 1))]?.[column] ?? '';
        const changed = withCell(base[file] ?? '', at, across, typed);
        fc.pre(changed.old !== typed && !(isMissingText(changed.old) && isMissingText(typed)));
        fc.pre(!(Number(changed.old) === Number(typed)));
        const { review } = readReview({ ...base, [file]: changed.text });
        fc.pre(review !== undefined);
        const after = { name: 'after', files: { ...base, [file]: changed.text }, review: review! };
        const { cells, ...rest } = compareReviews(before, after);
        expect(cells).toHaveLength(1);
        expect(cells[0]).toMatchObject({
          file,
          heading: changed.heading,
          placeBefore: { line: changed.line },
          placeAfter: { line: changed.line },
        });
        for (const list of ['studiesAdded', 'studiesRemoved', 'renamed', 'rowsAdded', 'rowsRemoved', 'rules'])
          expect(rest[list as 'rules'], list).toEqual([]);
        found += 1;
      },
    ),
    { numRuns: runs },
  );
  expect(found).toBeGreaterThanOrEqual(runs / 2);
};

describe('compareReviews', () => {
  it('finds a cell changed in a random place, with its file and line, and nothing else (small review)', () => {
    cellInARandomPlace(smallReview, 80);
  });

  it('finds a cell changed in a random place, with its file and line, and nothing else (demo)', () => {
    cellInARandomPlace(demo, 8);
  });

  it('finds nothing between a version and itself', () => {
    const same = compareReviews(small, version(smallReview));
    expect(same).toMatchObject({ sameFiles: true, nothingChanged: true, cells: [], rules: [] });
  });

  it('finds nothing where rows were sorted, comments added and the separator changed', () => {
    const [head = '', ...rows] = (smallReview['events.csv'] ?? '').trim().split('\n');
    const events = `${[head, '# a comment', ...rows.reverse()].join('\n').replaceAll(',', ';')}\n`;
    const told = since({ ...smallReview, 'events.csv': events });
    expect(told).toMatchObject({ sameFiles: false, nothingChanged: true });
  });

  it('tells a value now reported from one corrected and one no longer reported', () => {
    const row = 'brun-2015,cut,groove-pain,groove tenderness,examiner,24,NR,28,NR,,';
    const reported = since(withChange('events.csv', row, row.replace(',24,NR,28', ',24,5,28')));
    expect(reported.cells).toMatchObject([
      {
        kind: 'now reported',
        heading: 'events',
        before: 'not reported',
        after: '5',
        rowName: 'brun-2015, cut, groove-pain, groove tenderness, examiner, 24 months',
      },
    ]);
    const [back] = compareReviews(
      version(withChange('events.csv', row, row.replace(',24,NR,28', ',24,5,28'))),
      small,
    ).cells;
    expect(back?.kind).toBe('no longer reported');
    const mended = since(withChange('events.csv', 'chart,36,2,210', 'chart,36,3,210'));
    expect(mended.cells).toMatchObject([{ kind: 'corrected', before: '2', after: '3', study: 'cilla-2020' }]);
  });

  it('gives the lines of both versions and the locator of each', () => {
    const located = (lead: string, page: string) => {
      const rows = (smallReview['flow.csv'] ?? '').trim().split('\n');
      const [head, ...others] = rows.map((row, at) => `${row},${at === 0 ? 'locator' : page}`);
      return { ...smallReview, 'flow.csv': `${lead}${[head, ...others].join('\n')}\n` };
    };
    const before = version(located('', 'page 1'));
    const after = version({
      ...located('# one\n# two\n', 'page 1'),
      'flow.csv': located('# one\n# two\n', 'page 1')['flow.csv']!.replace(
        'reports assessed,,10,page 1',
        'reports assessed,,11,page 9',
      ),
    });
    expect(compareReviews(before, after).cells).toMatchObject([
      {
        heading: 'count',
        placeBefore: { line: 2, locator: 'page 1' },
        placeAfter: { line: 4, locator: 'page 9' },
      },
      { heading: 'locator', before: 'page 1', after: 'page 9' },
    ]);
  });

  it('follows a study under a new name, and says it once', () => {
    const files = Object.fromEntries(
      Object.entries(smallReview).map(([file, text]) => [
        file,
        file.endsWith('.csv') ? text.replaceAll('cilla-2020', 'cilla-2021') : text,
      ]),
    );
    const told = since(files);
    expect(told.renamed).toEqual([
      { what: 'study', before: 'cilla-2020', after: 'cilla-2021', study: 'cilla-2021' },
    ]);
    expect(told.cells).toEqual([]);
    expect(told.studiesAdded).toEqual([]);
    const also = since({
      ...files,
      'events.csv': files['events.csv']!.replace('chart,36,2,', 'chart,36,3,'),
    });
    expect(also.renamed).toHaveLength(1);
    expect(also.cells).toMatchObject([{ heading: 'events', before: '2', after: '3', study: 'cilla-2021' }]);
  });

  it('follows an arm under a new name', () => {
    const files = Object.fromEntries(
      Object.entries(smallReview).map(([file, text]) => [
        file,
        text.replaceAll('cilla-2020,only', 'cilla-2020,all'),
      ]),
    );
    expect(since(files)).toMatchObject({
      renamed: [{ what: 'arm', before: 'only', after: 'all', study: 'cilla-2020' }],
      cells: [],
      rowsAdded: [],
      rowsRemoved: [],
    });
  });

  it('does not take a study for another that replaced it', () => {
    const without = (text: string, study: string) =>
      text
        .split('\n')
        .filter((line) => !line.startsWith(study))
        .join('\n');
    const files = Object.fromEntries(
      Object.entries(smallReview).map(([file, text]) => [
        file,
        file.endsWith('.csv') ? without(text, 'abel-2010') : text,
      ]),
    );
    const replaced = {
      ...files,
      'studies.csv': `${files['studies.csv']}dora-2021,Dora 2021,2021,,primary,case series,2015,2018\n`,
      'arms.csv': `${files['arms.csv']}dora-2021,one,at the articular margin,,,,80,80,77,77,60\n`,
      'events.csv': `${files['events.csv']}dora-2021,one,groove-pain,groove tenderness,patient,30,9,77,,,\n`,
    };
    const told = since(replaced);
    expect(told.renamed).toEqual([]);
    expect(told.studiesRemoved.map(({ study }) => study)).toEqual(['abel-2010']);
    expect(told.studiesAdded).toMatchObject([
      { study: 'dora-2021', arms: 1, rows: 3, place: { file: 'studies.csv' } },
    ]);
    expect(told.cells).toEqual([]);
    expect(told.rowsRemoved).toEqual([]);
  });

  it('a row more and a row less within a study', () => {
    const more = `${smallReview['events.csv']}abel-2010,high,revision,reoperation,chart,30,1,38,,,\n`;
    expect(since({ ...smallReview, 'events.csv': more }).rowsAdded).toMatchObject([
      { file: 'events.csv', study: 'abel-2010', place: { line: 8 } },
    ]);
    const back = compareReviews(version({ ...smallReview, 'events.csv': more }), small);
    expect(back.rowsRemoved).toHaveLength(1);
    expect(back.cells).toEqual([]);
  });

  it('a corrected key is a correction, not a row out and a row in', () => {
    const told = since(
      withChange('events.csv', 'pain over the groove,patient,36,21', 'pain over the groove,examiner,30,21'),
    );
    expect(told.cells.map(({ heading, before, after }) => [heading, before, after])).toEqual([
      ['assessor', 'patient', 'examiner'],
      ['follow_up_months', '36', '30'],
    ]);
    expect(told.rowsAdded).toEqual([]);
  });

  it('follows the rules key by key, outcomes by id, with the lines of both versions', () => {
    const protocol = JSON.parse(smallReview['protocol.json'] ?? '');
    protocol.outcomes.reverse();
    protocol.outcomes[1].windowMonths.minimum = 6;
    protocol.outcomes[0].description = 'in words';
    protocol.lastSearch = '2027-01-31';
    const text = JSON.stringify(protocol, null, 2);
    const told = since({ ...smallReview, 'protocol.json': text });
    const lineOf = (part: string, whole: string) => whole.slice(0, whole.indexOf(part)).split('\n').length;
    expect(told.rules).toEqual([
      {
        kind: 'search date',
        path: 'lastSearch',
        before: '"2026-06-30"',
        after: '"2027-01-31"',
        lineBefore: lineOf('"lastSearch"', smallReview['protocol.json'] ?? ''),
        lineAfter: lineOf('"lastSearch"', text),
      },
      {
        kind: 'rule',
        path: 'outcomes[groove-pain].windowMonths.minimum',
        before: '12',
        after: '6',
        lineBefore: lineOf('"minimum": 12', smallReview['protocol.json'] ?? ''),
        lineAfter: lineOf('"minimum": 6', text),
      },
      {
        kind: 'wording',
        path: 'outcomes[revision].description',
        before: undefined,
        after: '"in words"',
        lineBefore: undefined,
        lineAfter: lineOf('"description"', text),
      },
    ]);
    expect(told.cells).toEqual([]);
  });
});
