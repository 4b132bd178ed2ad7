import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demoExtractors } from '../../../data-extraction/demo-source/demoExtractors.ts';
import { demoExtractorFiles, demoFiles, demoRows, demoSeed } from '../../../data-extraction/makeDemo.ts';
import { applyDecisions } from '../../../src/extraction/agreement/applyDecisions.ts';
import { type Comparison, compareExtractions } from '../../../src/extraction/agreement/compareExtractions.ts';
import { consensusFiles } from '../../../src/extraction/agreement/consensusFiles.ts';
import { readDecisions } from '../../../src/extraction/agreement/readDecisions.ts';
import { type Extraction, readExtraction } from '../../../src/extraction/agreement/readExtraction.ts';
import { formatProblem } from '../../../src/extraction/problem.ts';
import { readReview } from '../../../src/extraction/readReview.ts';
import { expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';
import { smallReview } from '../smallReview.ts';

const extract = (name: string, files: Readonly<Record<string, string>>): Extraction => {
  const { extraction, problems } = readExtraction(name, files);
  if (extraction === undefined) throw new Error(problems.map(formatProblem).join('\n'));
  return extraction;
};
const inFolder = (files: Readonly<Record<string, string>>, folder: string): Record<string, string> =>
  Object.fromEntries(
    Object.entries(files).flatMap(([path, text]) =>
      path.startsWith(`extractors/${folder}/`) ? [[path.slice(12 + folder.length), text]] : [],
    ),
  );
const edited = (file: string, from: string, to: string): Record<string, string> => {
  const text = smallReview[file] ?? '';
  if (!text.includes(from)) throw new Error(`${file} has no ${from}`);
  return { ...smallReview, [file]: text.replace(from, to) };
};
const compared = (
  first: Readonly<Record<string, string>>,
  second: Readonly<Record<string, string>>,
): Comparison => compareExtractions(extract('first', first), extract('second', second));

describe('the demo', () => {
  const files = demoExtractorFiles();
  const first = extract('first', inFolder(files, 'first'));
  const second = extract('second', inFolder(files, 'second'));
  const comparison = compareExtractions(first, second);
  const { planted } = demoExtractors(demoSeed, demoRows(demoSeed));
  const decisions = files['extractors/decisions.csv'] ?? '';

  it('finds every planted disagreement and nothing else', () => {
    const id = (file: unknown, row: unknown, column: unknown): string => `${file} ${row} ${column}`;
    const found = comparison.disagreements.map((each) => id(each.file, each.rowKey, each.column));
    const wanted = planted.map(({ decision }) => id(decision.file, decision.row, decision.column));
    expect(found.toSorted()).toEqual(wanted.toSorted());
    expect(new Set(planted.map(({ kind }) => kind)).size).toBe(11);
  });

  it('with the decisions gives the demo, byte for byte', () => {
    const { consensus, problems } = applyDecisions(comparison, readDecisions(decisions));
    expect(problems.map(formatProblem)).toEqual([]);
    const made = consensusFiles(consensus!);
    const demo = demoFiles();
    for (const file of [
      'studies.csv',
      'arms.csv',
      'events.csv',
      'scores.csv',
      'judgements.csv',
      'protocol.json',
    ])
      expect(made[file], file).toBe(demo[file]);
    const log = parse(String(made['decisions.csv']), { columns: true }) as Record<string, string>[];
    expect(log).toHaveLength(planted.length);
    for (const row of log) expect([row.decided_by, row.date, row.reason]).not.toContain('');
    // The log is itself a decisions.csv.
    expect(applyDecisions(comparison, readDecisions(String(made['decisions.csv']))).problems).toEqual([]);
  });

  it('knows what each slip looks like and what depends on it', () => {
    const of = (kind: string) =>
      planted
        .filter((each) => each.kind === kind)
        .map(({ decision }) =>
          comparison.disagreements.find(
            (each) =>
              each.file === decision.file && each.rowKey === decision.row && each.column === decision.column,
          ),
        );
    for (const each of of('decimal slip')) expect(each?.hints.join()).toContain('decimal point');
    for (const each of of('swapped arms')) expect(each?.hints.join()).toContain('exchanged');
    for (const each of of('other time')) expect(each?.hints.join()).toContain('Probably the row');
    for (const each of of('reported by one')) expect(each?.difference).toBe('reported by one');
    for (const each of of('site')) expect(each?.rank).toBe('which pool an arm is in');
    for (const each of of('count').filter((every) => every?.sheet === 'events'))
      expect(each?.rank).toBe('a number of a protocol outcome');
    const ranks = comparison.disagreements.map(({ rank }) => rank);
    expect(ranks[0]).toBe('a number of a protocol outcome');
    expect(ranks.lastIndexOf('a number of a protocol outcome')).toBeLessThan(
      ranks.indexOf('which pool an arm is in'),
    );
  });

  it('kappa of the MINORS items is that of the table counted by hand from the two files', () => {
    const rowsOf = (folder: string) =>
      (
        parse(files[`extractors/${folder}/judgements.csv`] ?? '', { columns: true }) as Record<
          string,
          string
        >[]
      )
        .filter((row) => row.tool === 'MINORS')
        .map((row) => row.judgement);
    const [one, two] = [rowsOf('first'), rowsOf('second')];
    const n = one.length;
    const share = (answers: readonly (string | undefined)[], answer: string): number =>
      answers.filter((each) => each === answer).length / n;
    const observed = one.filter((each, at) => each === two[at]).length / n;
    const chance = ['0', '1', '2'].reduce((sum, each) => sum + share(one, each) * share(two, each), 0);
    const column = comparison.columns.find(({ instrument }) => instrument === 'MINORS');
    expectClose(column?.kappa?.kappa, (observed - chance) / (1 - chance), 'identity');
    expect(column?.differing).toBe(24);
    expect(column!.quadraticKappa!.kappa!).toBeGreaterThan(0);
  });

  it('is symmetric in the two extractors', () => {
    const back = compareExtractions(second, first);
    expect(back.disagreements).toHaveLength(comparison.disagreements.length);
    for (const [at, column] of comparison.columns.entries()) {
      const other = back.columns.find(
        (each) =>
          each.sheet === column.sheet &&
          each.column === column.column &&
          each.instrument === column.instrument,
      )!;
      expect([other.onlySecond, other.onlyFirst], String(at)).toEqual([column.onlyFirst, column.onlySecond]);
      expect([other.agreeing, other.exactRate, other.absolute, other.relative]).toEqual([
        column.agreeing,
        column.exactRate,
        column.absolute,
        column.relative,
      ]);
      if (column.kappa?.kappa !== undefined)
        expectClose(other.kappa?.kappa, column.kappa.kappa, 'identity', { ofSize: 1 });
    }
  });

  it('does not mind the order of rows', () => {
    const shuffle = fc.shuffledSubarray(first.sheets.events.slice(), {
      minLength: first.sheets.events.length,
    });
    fc.assert(
      fc.property(shuffle, (events) => {
        const again = compareExtractions({ ...first, sheets: { ...first.sheets, events } }, second);
        expect(again.columns).toEqual(comparison.columns);
        expect(again.disagreements).toHaveLength(comparison.disagreements.length);
      }),
      { numRuns: runs(2) },
    );
  });

  it('two identical extractions agree: kappa 1 wherever two categories are used, an empty work list', () => {
    const same = compareExtractions(first, first);
    expect(same.disagreements).toEqual([]);
    for (const { kappa, exactRate } of same.columns) {
      if (exactRate !== undefined) expect(exactRate).toBe(1);
      if (kappa === undefined) continue;
      if (kappa.categories > 1) expect(kappa.kappa).toBe(1);
      else expect(kappa.cautions.map(({ code }) => code)).toEqual(['one-category']);
    }
  });
});

describe('cells', () => {
  it('case, blanks and NR for a blank are no disagreement; a typed 0 against a blank is', () => {
    const same = edited(
      'arms.csv',
      'just proximal to the pectoralis major',
      'Just  proximal to the pectoralis MAJOR',
    );
    expect(compared(smallReview, same).disagreements).toEqual([]);
    const blank = edited('arms.csv', '28,28,n/a', '28,28,');
    expect(compared(smallReview, blank).disagreements).toEqual([]);
    const zero = compared(smallReview, edited('arms.csv', ',,39,40,', ',,0,40,'));
    expect(zero.disagreements).toMatchObject([{ column: 'patients_enrolled', difference: 'number' }]);
  });

  it('refuses two protocols, two rows with one key, and cells that cannot be read', () => {
    const other = edited('protocol.json', '"id": "groove-pain"', '"id": "groove-ache"');
    expect(() =>
      compareExtractions(
        extract('first', smallReview),
        extract('second', {
          ...other,
          'events.csv': 'study,arm,outcome,definition,assessor,follow_up_months,events,eligible_shoulders\n',
        }),
      ),
    ).toThrow('different outcomes');
    const twice = { ...smallReview, 'arms.csv': `${smallReview['arms.csv']}abel-2010,high,x,,,,,,,,\n` };
    expect(readExtraction('first', twice).problems.map(formatProblem).join()).toContain('repeats line 2');
    const { extraction, problems } = readExtraction('first', edited('arms.csv', ',39,40,', ',thirty,40,'));
    expect(extraction).toBeUndefined();
    expect(problems.map(formatProblem).join()).toContain('patients_enrolled is "thirty"');
    expect(readExtraction('first', {}).problems.map(({ file }) => file)).toEqual([
      'arms.csv',
      'events.csv',
      'protocol.json',
      'studies.csv',
    ]);
  });
});

describe('decisions', () => {
  const second = edited('arms.csv', ',,39,40,37,38,54.5', ',,39,40,37,38,NR');
  const comparison = compared(smallReview, second);
  const headings = 'file,row,column,first_value,second_value,taken_from,decided_value,decided_by,date,reason';
  const decide = (...rows: readonly string[]): readonly string[] =>
    applyDecisions(comparison, readDecisions(`${headings}\n${rows.join('\n')}\n`)).problems.map(
      formatProblem,
    );
  const good = 'arms.csv,abel-2010 | high,age_mean_years,54.5,NR,first,,A,2026-07-01,table 1';

  it('accepts a sound one, a blank for NR and another way to write the number', () => {
    expect(decide(good)).toEqual([]);
    expect(decide(good.replace('54.5,NR', '54.50,'))).toEqual([]);
    expect(decide(good.replace('first,,', 'neither,55.5,'))).toEqual([]);
    expect(decide(good.replace('first,,', 'neither,NR,'))).toEqual([]);
  });

  it.each([
    ['undecided', good.replace('first,,', ',,'), 'a decision about "abel-2010 | high"'],
    ['stale', good.replace('54.5,NR', '53.5,NR'), 'the value that was decided upon'],
    ['for nothing', good.replace('age_mean', 'age_sd'), 'a disagreement of the work list'],
    ['twice', `${good}\n${good}`, 'one decision for each disagreement'],
    ['against itself', good.replace('first,,', 'first,60,'), 'taken_from says "first"'],
    ['without a value', good.replace('first,,', 'neither,,'), 'the value that stands'],
    ['with a value no cell can hold', good.replace('first,,', 'neither,old,'), 'a number from 10 to 100'],
    ['by nobody', good.replace(',A,', ',,'), 'who decided'],
    ['without a reason', good.replace(',table 1', ','), 'why it was decided so'],
    ['on no day', good.replace('2026-07-01', '1.7.2026'), 'a date as'],
    ['from a word', good.replace(',first,', ',third,'), 'one of "first", "second" or "neither"'],
  ])('refuses one that is %s', (_, row, message) => {
    expect(decide(row).join('\n')).toContain(message);
  });

  it('a row only one has is kept or left out as a whole', () => {
    const rows = (smallReview['events.csv'] ?? '').trim().split('\n');
    const shorter = { ...smallReview, 'events.csv': `${rows.slice(0, -1).join('\n')}\n` };
    const two = compared(smallReview, shorter);
    expect(two.disagreements).toMatchObject([{ column: '(whole row)', difference: 'row' }]);
    const { file, rowKey, column } = two.disagreements[0]!;
    const outcome = (taken: string) =>
      applyDecisions(
        two,
        readDecisions(`${headings}\n${file},${rowKey},${column},present,absent,${taken},,A,2026-07-01,why\n`),
      );
    const linesOf = (taken: string): number =>
      String(consensusFiles(outcome(taken).consensus!)['events.csv'])
        .trim()
        .split('\n').length;
    expect(linesOf('first')).toBe(rows.length);
    expect(linesOf('second')).toBe(rows.length - 1);
    expect(outcome('neither').problems.map(formatProblem).join()).toContain('A row is there or not');
  });

  it('cells a spreadsheet would run are shielded in the file and come back as they were', () => {
    const wild = ['=1+1', '+x', '@me', "'=quoted", '-13', '--', '-x', "'plain"];
    for (const text of wild) {
      const quoted = `"${text}"`;
      const files = edited('arms.csv', 'at the articular margin', quoted);
      const consensus = applyDecisions(compared(files, files), readDecisions(`${headings}\n`)).consensus!;
      const made = consensusFiles(consensus);
      const cell = (parse(String(made['arms.csv'])) as string[][])[1]?.[2] ?? '';
      if (/^[=@]|^[+-][a-z]/.test(text)) expect(cell).toBe(`'${text}`);
      const again = readReview(made as Record<string, string>).review?.arms[0]?.siteAsReported;
      expect(again).toBe(readReview(files).review?.arms[0]?.siteAsReported);
    }
  });
});
