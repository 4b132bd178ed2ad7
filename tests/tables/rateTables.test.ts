import { describe, expect, it } from 'vitest';
import { quoteSites } from '../../src/pooling/quoteSites.ts';
import { heterogeneityTable, pValueText } from '../../src/tables/heterogeneityTable.ts';
import { leftOutTable } from '../../src/tables/leftOutTable.ts';
import { methodsCheckTable } from '../../src/tables/methodsCheckTable.ts';
import { agreesWithPrinted, digitsLike } from '../../src/tables/printedDigits.ts';
import { ratesBySiteTable } from '../../src/tables/ratesBySiteTable.ts';
import { overviewTable, sensitivityTable } from '../../src/tables/sensitivityTable.ts';
import { studiesTable } from '../../src/tables/studiesTable.ts';
import { makeArms, makePools } from './makeArms.ts';

const several = [
  [3, 40],
  [9, 52],
  [4, 61],
  [11, 48],
] as const;
const pools = makePools([
  makeArms('top-of-groove', several),
  makeArms('suprapectoral', [
    [0, 20],
    [0, 31],
  ]),
  makeArms('tenotomy', [[15, 45]]),
  makeArms('soft-tissue', [[2, 10]]),
]);

describe('ratesBySiteTable', () => {
  const { rows, notes } = ratesBySiteTable(pools);

  it('has a row for every site, also one that no study reports', () => {
    expect(rows.map(({ site, rate, studies }) => [site, rate, studies])).toEqual([
      ['Top of groove', expect.stringMatching(/^\d+(\.\d)?$/), 4],
      ['Suprapectoral', 'none seen', 2],
      ['Subpectoral', 'no study', 0],
      ['Tenotomy', '33', 1],
    ]);
  });

  // 0 of 51: Clopper-Pearson upper limit 1 - 0.025^(1/51) = 6.98 %.
  it('gives the exact upper limit where nobody had the event', () => {
    expect(rows[1]?.interval).toBe('0 to 7.0');
    expect(Math.abs(Number(rows[1]?.upper) - (1 - 0.025 ** (1 / 51)))).toBeLessThan(1e-12);
  });

  it('never gives a range for the next study below three arms', () => {
    expect(rows.map(({ prediction }) => prediction)).toEqual([
      expect.stringContaining(' to '),
      'not given',
      undefined,
      'not given',
    ]);
  });

  it('says that it is no comparison', () => {
    expect(notes[0]).toContain('Not a randomised comparison');
  });
});

describe('studiesTable', () => {
  const { rows } = studiesTable(pools);

  it('lists every arm, pooled or not, with its place in sheet and paper', () => {
    expect(rows.length).toBe(8);
    expect(rows.at(-1)).toMatchObject({ site: 'Soft tissue', weight: 'not pooled' });
    expect(rows[0]).toMatchObject({ sheet: 'events.csv:2', locator: 'table 0', events: 3, total: 40 });
  });

  it('weights at a site with a pool add up to all of it', () => {
    const weights = rows
      .filter(({ site }) => site === 'Top of groove')
      .map(({ weightValue }) => Number(weightValue));
    expect(Math.abs(weights.reduce((sum, weight) => sum + weight, 0) - 1)).toBeLessThan(1e-12);
  });

  it('an arm left out of the pool says so', () => {
    const strict = makePools(
      [
        makeArms('subpectoral', [
          [0, 20],
          [4, 61],
          [5, 70],
        ]),
      ],
      { zeroEvents: 'leave-out' },
    );
    expect(studiesTable(strict).rows.map(({ weight }) => weight)).toEqual([
      'left out',
      expect.stringMatching(/%$/),
      expect.stringMatching(/%$/),
    ]);
  });
});

describe('methodsCheckTable', () => {
  it('says in words whether the two ways agree', () => {
    const sparse = makePools(
      [
        makeArms('subpectoral', [
          [0, 20],
          [0, 30],
          [0, 25],
          [1, 25],
          [2, 20],
        ]),
        makeArms('tenotomy', several),
      ],
      { zeroEvents: 'leave-out', materialDifference: 0.02 },
    );
    const verdicts = methodsCheckTable(sparse).rows.map(({ site, verdict }) => [site, verdict]);
    expect(verdicts).toEqual([
      ['Top of groove', 'nothing to pool'],
      ['Suprapectoral', 'nothing to pool'],
      ['Subpectoral', 'no, they differ materially'],
      ['Tenotomy', 'yes'],
    ]);
    expect(methodsCheckTable(pools).rows[1]?.verdict).toMatch(/exact interval|only one/);
  });
});

describe('the other tables', () => {
  it('heterogeneity: nothing where there is nothing to compare', () => {
    const { rows } = heterogeneityTable(pools);
    expect(rows.map(({ scatter }) => scatter)).toEqual([
      expect.stringMatching(/\(3\)$/),
      expect.stringMatching(/\(1\)$/),
      'needs two arms',
      'needs two arms',
    ]);
  });

  it('heterogeneity: the variance with its standard error, and the test of one rate from all arms as counts', () => {
    const [{ pool }] = pools.sites as [(typeof pools.sites)[number]];
    const { rows } = heterogeneityTable(pools);
    const { betweenStudyVariance } = pool.twoStep.heterogeneity!;
    // Biggerstaff & Tweedie 1997 from the variances of the arms' log odds.
    const weights = several.map(([events, total]) => 1 / (1 / events + 1 / (total - events)));
    const sum = (power: number) => weights.reduce((all, weight) => all + weight ** power, 0);
    const scale = sum(1) - sum(2) / sum(1);
    const ofQ =
      2 * 3 +
      4 * scale * betweenStudyVariance +
      2 * (sum(2) - (2 * sum(3)) / sum(1) + sum(2) ** 2 / sum(1) ** 2) * betweenStudyVariance ** 2;
    const error = Math.sqrt(ofQ) / scale;
    expect(rows[0]!.variance).toBe(`${betweenStudyVariance.toFixed(2)} (${error.toFixed(2)})`);
    // Twice the log-likelihoods of R's glm(cbind(events, rest) ~ 1, binomial) and lme4's glmer(nAGQ = 25) apart.
    expect(rows[0]!.ratio).toBe('1.3 (0.12)');
    expect(rows.map(({ ratio }) => ratio)).toEqual(['1.3 (0.12)', 'no answer', undefined, undefined]);
  });

  it.each([
    [0.0004, '<0.001'],
    [0.0312, '0.031'],
    [0.0996, '0.10'],
    [0.4361, '0.44'],
    [0.9999, '>0.99'],
  ])('a P value of %d prints as %s', (p, text) => {
    expect(pValueText(p)).toBe(text);
  });

  it('left out: reason, and every row it stands in', () => {
    const row = { file: 'events.csv', line: 7, locator: 'p. 3' };
    const { rows } = leftOutTable([
      { label: 'A', arm: 'x', reason: 'r', row },
      { label: 'B', reason: 's', rows: [row, { ...row, line: 9 }] },
    ]);
    expect(rows.map(({ sheet }) => sheet)).toEqual(['events.csv:7', 'events.csv:7, events.csv:9']);
  });

  it('sensitivity: a site that no way changes stands once', () => {
    const other = makePools([makeArms('top-of-groove', several.slice(1)), makeArms('tenotomy', [[15, 45]])]);
    const { rows } = sensitivityTable([
      { name: 'one', pools },
      { name: 'two', pools: other },
    ]);
    expect(rows.map(({ site, way }) => `${site}: ${way}`)).toEqual([
      'Top of groove: one',
      'Top of groove: two',
      'Suprapectoral: one',
      'Suprapectoral: two',
      'Subpectoral: the same in each',
      'Tenotomy: the same in each',
    ]);
    expect(() => sensitivityTable([])).toThrow('at least one way');
  });

  it('overview: every site in a column, each cell with its studies', () => {
    const [row] = overviewTable([{ name: 'Deformity', pools }]).rows;
    expect(row?.suprapectoral).toBe('none\u00a0seen\u00a0(0\u00a0to\u00a07.0); 2\u00a0studies');
    expect(row?.subpectoral).toBe('no study');
    expect(row?.['tenotomy events']).toBe(15);
  });
});

describe('agreement with print', () => {
  it.each([
    ['0.50', 0.5049, true, '0.50'],
    ['0.50', 0.5051, false, '0.505'],
    ['0.68', 0.675, true, '0.68'],
    ['163.16', 163.1649, true, '163.16'],
    ['-2.558', -2.544, false, '-2.5440'],
    ['37', 37.4, true, '37'],
  ])('%s against %d', (printed, value, agrees, digits) => {
    expect(agreesWithPrinted(printed, value)).toBe(agrees);
    expect(digitsLike(printed, value)).toBe(digits);
  });

  it('refuses what is no printed number', () => {
    expect(() => agreesWithPrinted('about 3', 3)).toThrow(
      'printed must be a decimal number, received "about 3"',
    );
  });
});

describe('what is said of the quoted rate', () => {
  const quoted = quoteSites(
    makePools([
      makeArms('top-of-groove', [[5, 40]]),
      makeArms('suprapectoral', [
        [1, 38],
        [2, 40],
        [4, 37],
      ]),
      makeArms('subpectoral', [
        [0, 60],
        [1, 300],
        [0, 250],
        [2, 90],
      ]),
    ]),
    { zeroEvents: { addToEachCell: 0.5 } },
  );
  const notes = ratesBySiteTable(quoted).notes.join(' ');

  it('names what and how without saying it twice, and no capital within a sentence', () => {
    expect(notes).toContain('Quoted (top of groove): all shoulders as one series, exact interval.');
    expect(notes).not.toMatch(/by (?:All|Beta|Binomial|Posterior)\b/);
    expect(notes).not.toMatch(
      /(?:mean over studies|all shoulders as one series)[^.]*by[^.]*(?:mean of studies|one series)/,
    );
  });

  it('never gives a range from a number to itself', () => {
    expect(notes).not.toMatch(/\b(\d+) to \1 of 100/);
  });

  it('marks a cell by the method that differs from the quoted number, not by the quoted one', () => {
    const overview = overviewTable([{ name: 'Deformity', pools: quoted }]);
    expect(JSON.stringify(overview.rows)).toContain('\u2020');
    const note = overview.notes.find((text) => text.startsWith('\u2020'));
    expect(note).toContain('DerSimonian-Laird');
    expect(note).not.toContain('one-step');
  });
});
