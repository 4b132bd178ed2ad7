import { describe, expect, it } from 'vitest';
import { demoPrinted } from '../../../data-extraction/demo-source/demoPrinted.ts';
import { demoFiles, demoRows, demoSeed } from '../../../data-extraction/makeDemo.ts';
import { type PrintedStatistic, readPrintedStatistic } from '../../../src/extraction/printedStatistic.ts';
import { formatProblem } from '../../../src/extraction/problem.ts';
import { readReview } from '../../../src/extraction/readReview.ts';
import { notReported } from '../../../src/extraction/reported.ts';
import type { ArmRow, EventRow, PrintedRow, ScoreRow } from '../../../src/extraction/review.ts';
import { seededUniform } from '../../../src/numerics/seededUniform.ts';
import type { AuditedSheets } from '../../../src/robustness/audit/auditFinding.ts';
import { auditReview } from '../../../src/robustness/audit/auditReview.ts';
import { twoArmTests } from '../../../src/robustness/audit/twoArmTests.ts';
import { readSound, smallReview } from '../../extraction/smallReview.ts';

describe('the demo', () => {
  const audit = auditReview(readSound(demoFiles()));
  const { planted, rows } = demoPrinted(demoSeed, demoRows(demoSeed));

  it('finds every planted error and nothing else', () => {
    const line = (row: object): number => 2 + rows.indexOf(row as (typeof rows)[number]);
    const wanted = planted.map(({ kind, row }) => `printed.csv:${line(row)} ${kind}`);
    const found = audit.findings.map(({ kind, row }) => `${row.file}:${row.line} ${kind}`);
    expect(found.toSorted()).toEqual(wanted.toSorted());
    expect(planted).toHaveLength(13);
    expect(new Set(planted.map(({ kind }) => kind)).size).toBe(10);
    expect(audit.notAudited).toEqual([]);
    expect(audit.checks).toBeGreaterThan(rows.length);
  });

  it('raises nothing but what was planted for other seeds', () => {
    for (let seed = 1; seed <= 4; seed += 1) {
      const { planted: errors } = demoPrinted(seed, demoRows(seed));
      const found = auditReview(readSound(demoFiles(seed))).findings;
      expect(found.map(({ kind }) => kind).toSorted()).toEqual(errors.map(({ kind }) => kind).toSorted());
    }
  });
});

describe('clean data', () => {
  const print = (text: string): PrintedStatistic => {
    const { statistic } = readPrintedStatistic(text);
    if (statistic === undefined) throw new Error(text);
    return statistic;
  };

  /** Two arms with events and whole-number scores, and everything a careful paper would print about them. */
  function cleanTables(tables: number, seed: number): AuditedSheets {
    const uniform = seededUniform(seed);
    const whole = (from: number, to: number): number => from + Math.floor(uniform() * (to - from + 1));
    const [arms, events, scores, printed]: [ArmRow[], EventRow[], ScoreRow[], PrintedRow[]] = [
      [],
      [],
      [],
      [],
    ];
    for (let at = 0; at < tables; at += 1) {
      const study = `table-${at}`;
      let line = 0;
      const row = (file: string) => ({ file, line: ++line, locator: notReported });
      const say = (rest: Partial<PrintedRow>, text: string): void => {
        printed.push({
          study,
          outcome: 'groove-pain',
          comparatorArm: notReported,
          followUpMonths: 24,
          events: notReported,
          total: notReported,
          step: notReported,
          printed: print(text),
          row: row('printed.csv'),
          ...rest,
        } as PrintedRow);
      };
      const sizes = [whole(5, 150), whole(5, 150)] as const;
      const rate = uniform() * 0.6;
      const counts = sizes.map((total, index) => {
        const arm = `arm-${index}`;
        let count = 0;
        for (let shoulder = 0; shoulder < total; shoulder += 1) if (uniform() < rate) count += 1;
        const decimals = whole(0, 2);
        const patients = total - whole(0, Math.min(3, total - 1));
        const lost = whole(0, 4);
        arms.push({
          study,
          arm,
          patientsEnrolled: patients + lost,
          patientsAnalysed: patients,
          shouldersEnrolled: total + lost,
          shouldersAnalysed: total,
          row: row('arms.csv'),
        } as ArmRow);
        events.push({
          study,
          arm,
          outcome: 'groove-pain',
          definition: 'groove tenderness',
          assessor: 'examiner',
          followUpMonths: 24,
          events: count,
          eligibleShoulders: total,
          percent: { value: Number(((100 * count) / total).toFixed(decimals)), decimals },
          eventPatients: notReported,
          eligiblePatients: notReported,
          row: row('events.csv'),
        } as EventRow);
        say({ arm, statistic: 'percentage' }, ((100 * count) / total).toFixed(whole(0, 2)));
        say({ arm, statistic: 'count' }, `${count}/${total}`);
        if (at % 4 === 0) cleanScores(study, arm, Math.min(total, whole(5, 60)), row, say);
        return { events: count, total };
      });
      cleanComparison(counts, say);
      const sum = (pick: (arm: ArmRow) => unknown): number =>
        arms.slice(-2).reduce((total, arm) => total + Number(pick(arm)), 0);
      const study0 = { outcome: notReported, arm: notReported } as const;
      say({ ...study0, statistic: 'patients enrolled' }, String(sum((arm) => arm.patientsEnrolled)));
      say(
        { ...study0, statistic: 'patients lost' },
        String(sum((arm) => Number(arm.patientsEnrolled) - Number(arm.patientsAnalysed))),
      );
    }

    function cleanComparison(
      counts: readonly { readonly events: number; readonly total: number }[],
      say: (rest: Partial<PrintedRow>, text: string) => void,
    ): void {
      const [one, other] = counts as [(typeof counts)[number], (typeof counts)[number]];
      const both = { arm: 'arm-0', comparatorArm: 'arm-1' };
      const tests = twoArmTests(one, other);
      const test = tests[whole(0, Math.max(0, tests.length - 1))];
      if (test !== undefined)
        say(
          { ...both, statistic: 'p value' },
          test.p < 0.001 && uniform() < 0.5 ? '<0.001' : test.p.toFixed(whole(2, 4)),
        );
      const [a, b, c, d] = [one.events, one.total - one.events, other.events, other.total - other.events];
      say(
        { ...both, statistic: 'risk difference' },
        ((100 * a) / one.total - (100 * c) / other.total).toFixed(1),
      );
      if (a * b * c * d === 0) return;
      const odds = (a * d) / (b * c);
      const reach = 1.959963984540054 * Math.sqrt(1 / a + 1 / b + 1 / c + 1 / d);
      say({ ...both, statistic: 'odds ratio' }, odds.toFixed(whole(1, 3)));
      say({ ...both, statistic: 'odds ratio lower limit' }, (odds * Math.exp(-reach)).toFixed(2));
      say({ ...both, statistic: 'odds ratio upper limit' }, (odds * Math.exp(reach)).toFixed(2));
      say({ ...both, statistic: 'risk ratio' }, (a / one.total / (c / other.total)).toFixed(2));
    }

    function cleanScores(
      study: string,
      arm: string,
      n: number,
      row: (file: string) => ScoreRow['row'],
      say: (rest: Partial<PrintedRow>, text: string) => void,
    ): void {
      const centre = 1 + 8 * uniform();
      const answers = Array.from({ length: n }, () =>
        Math.min(10, Math.max(0, Math.round(centre + 6 * (uniform() + uniform() - 1)))),
      );
      const mean = answers.reduce((total, each) => total + each, 0) / n;
      const deviation = Math.sqrt(answers.reduce((total, each) => total + (each - mean) ** 2, 0) / (n - 1));
      const error = deviation / Math.sqrt(n);
      const about = { outcome: 'pain-vas', arm, step: 1 };
      say({ ...about, statistic: 'mean' }, mean.toFixed(2));
      say({ ...about, statistic: 'standard deviation' }, deviation.toFixed(2));
      say({ ...about, statistic: 'standard error' }, error.toFixed(2));
      say({ ...about, statistic: 'mean lower limit' }, (mean - 1.96 * error).toFixed(2));
      scores.push({
        study,
        arm,
        scale: 'pain-vas',
        valueType: 'final',
        followUpMonths: 24,
        scaleMinimum: 0,
        scaleMaximum: 10,
        shoulders: n,
        mean: Number(mean.toFixed(1)),
        sd: Number(deviation.toFixed(1)),
        se: notReported,
        intervalLower: notReported,
        intervalUpper: notReported,
        intervalPercent: notReported,
        row: row('scores.csv'),
      } as unknown as ScoreRow);
    }
    const { protocol } = readSound(smallReview);
    return { protocol, studies: [], arms, events, scores, printed };
  }

  it('raises no finding in 10,000 tables with all that is printed about them', () => {
    const { findings, checks } = auditReview(cleanTables(10_000, 20261125));
    expect(findings.slice(0, 3)).toEqual([]);
    expect(checks).toBeGreaterThan(200_000);
  }, 60_000);
});

describe('the sheet', () => {
  const review = (row: string) =>
    readReview({
      ...smallReview,
      'printed.csv': `study,outcome,arm,comparator_arm,statistic,printed\n${row}\n`,
    });

  it('is read with the sign, the decimals and the denominator of what is printed', () => {
    const rows = ['<.001', '0.040', '7/20', '39.1 %', '> 0.05', '−3.20'].map(
      (text) => readPrintedStatistic(text).statistic,
    );
    expect(rows).toMatchObject([
      { relation: '<', value: 0.001, decimals: 3 },
      { relation: '=', value: 0.04, decimals: 3 },
      { value: 7, denominator: 20 },
      { value: 39.1, decimals: 1 },
      { relation: '>', value: 0.05 },
      { value: -3.2, decimals: 2 },
    ]);
    for (const text of ['NS', '', '1-2', '3 (4)'])
      expect(readPrintedStatistic(text).cure).toBeTypeOf('string');
  });

  it.each([
    ['abel-2010,groove-pain,high,low,p value,.04', undefined],
    ['abel-2010,,,,patients enrolled,81', undefined],
    ['abel-2010,groove-ache,high,low,p value,.04', 'an outcome counted as events, or a scale'],
    ['abel-2011,groove-pain,high,low,p value,.04', 'a study of studies.csv'],
    ['abel-2010,groove-pain,high,lower,p value,.04', 'an arm of this study'],
    ['abel-2010,groove-pain,high,high,p value,.04', 'another arm'],
    ['abel-2010,groove-pain,high,,odds ratio,2.1', 'the arm it is compared with'],
    ['abel-2010,groove-pain,,,percentage,2.1', 'the arm it is about'],
    ['abel-2010,,high,,percentage,2.1', 'the outcome or scale it is about'],
    ['abel-2010,groove-pain,high,low,percentage,2.1', 'compares no arms'],
    ['abel-2010,groove-pain,high,low,p value,4', 'a number from 0 to 1'],
    ['abel-2010,groove-pain,high,,percentage,7/20', 'one number'],
    ['abel-2010,groove-pain,high,low,p value,small', 'a number as printed'],
    ['abel-2010,groove-pain,high,low,p-wert,.04', 'one of'],
  ])('%s', (row, problem) => {
    const lines = review(row)
      .problems.map(formatProblem)
      .filter((each) => each.startsWith('printed.csv'));
    if (problem === undefined) expect(lines).toEqual([]);
    else expect(lines.join('\n')).toContain(problem);
  });
});
