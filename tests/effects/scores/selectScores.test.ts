import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changeFromBaseline } from '../../../src/effects/scores/changeFromBaseline.ts';
import { convertSummary } from '../../../src/effects/scores/convertSummary.ts';
import { deviationFromInterval } from '../../../src/effects/scores/deviationFromInterval.ts';
import type { ScoreSelectionDepartures } from '../../../src/effects/scores/scoreSelection.ts';
import { selectScores } from '../../../src/effects/scores/selectScores.ts';
import { thresholdFromProtocol } from '../../../src/effects/scores/thresholdFromProtocol.ts';
import { readReview } from '../../../src/extraction/readReview.ts';
import { expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';

const base = {
  better: 'lower',
  prefer: 'longest',
  windowMonths: { minimum: 12, maximum: 120 },
  thresholdsPoints: { materialDifference: 1, source: 'made up' },
};
const protocol = {
  title: 'Invented',
  inventedData: true,
  notice: 'Invented data.',
  question: 'Invented?',
  population: 'invented adults',
  lastSearch: '2026-06-30',
  sites: ['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy'],
  siteRule: { midGroove: 'with-suprapectoral' },
  overlapRule: 'largest',
  outcomes: [
    {
      ...base,
      id: 'pain',
      name: 'Pain',
      kind: 'score',
      scales: ['pain-vas'],
      valueTypes: ['final', 'change'],
    },
    {
      ...base,
      id: 'function',
      name: 'Function',
      kind: 'score',
      better: 'higher',
      scales: ['ases', 'oss'],
      valueTypes: ['final'],
      prefer: 'closest-to-target',
      targetMonths: 24,
    },
  ],
  scales: [
    {
      id: 'pain-vas',
      name: 'Pain',
      better: 'lower',
      ranges: [
        { minimum: 0, maximum: 10 },
        { minimum: 0, maximum: 100 },
      ],
    },
    { id: 'ases', name: 'ASES', better: 'higher', ranges: [{ minimum: 0, maximum: 100 }] },
    {
      id: 'oss',
      name: 'Oxford',
      better: 'higher',
      ranges: [
        { minimum: 0, maximum: 48 },
        { minimum: 12, maximum: 60 },
      ],
    },
  ],
  analysis: {
    model: 'random-effects',
    betweenStudyVariance: 'dersimonian-laird',
    interval: 'wald',
    prediction: 't-k-minus-2',
    rateScale: 'logit',
    zeroEvents: 'leave-out',
    studyInterval: 'wilson',
    level: 0.95,
  },
};
const studies = [
  'study,label,year,design,cohort,report_kind',
  'ostrava,Ostrava 2015,2015,case series,,primary',
  'gent,Gent 2018,2018,randomised trial,,primary',
  'gent-2,Gent 2021,2021,randomised trial,,follow-up',
];
const armRows = [
  'study,arm,site_as_reported,site_as_classified',
  'ostrava,a,deep to the pectoralis,subpectoral',
  'gent,a,deep to the pectoralis,subpectoral',
  'gent,b,released,tenotomy',
  'gent-2,a,deep to the pectoralis,subpectoral',
];
const columns = [
  'study',
  'arm',
  'scale',
  'value_type',
  'follow_up_months',
  'scale_minimum',
  'scale_maximum',
  'shoulders',
  'mean',
  'sd',
  'se',
  'interval_lower',
  'interval_upper',
  'interval_percent',
  'median',
  'quartile_lower',
  'quartile_upper',
  'minimum',
  'maximum',
] as const;
type Row = Partial<Record<(typeof columns)[number], string | number>>;

function reviewOf(rows: readonly Row[], change: { readonly studies?: readonly string[] } = {}) {
  const scores = [
    columns.join(','),
    ...rows.map((row) => columns.map((name) => row[name] ?? '').join(',')),
  ].join('\n');
  const { review, problems } = readReview({
    'protocol.json': JSON.stringify(protocol),
    'studies.csv': (change.studies ?? studies).join('\n'),
    'arms.csv': armRows.join('\n'),
    'events.csv': 'study,arm,outcome,definition,assessor,follow_up_months,events,eligible_shoulders',
    'scores.csv': scores,
  });
  if (review === undefined)
    throw new Error(
      problems.map((each) => `${each.file}:${each.line} ${each.expected} ${each.value}`).join('\n'),
    );
  return review;
}
const final: Row = {
  study: 'ostrava',
  arm: 'a',
  scale: 'pain-vas',
  value_type: 'final',
  follow_up_months: 24,
  scale_minimum: 0,
  scale_maximum: 100,
  shoulders: 40,
};
const select = (rows: readonly Row[], departures: ScoreSelectionDepartures = {}, outcome = 'pain') =>
  selectScores(reviewOf(rows), outcome, departures);
const reasonOf = (row: Row, departures: ScoreSelectionDepartures = {}) => {
  const selection = select([row], departures);
  expect(selection.arms).toEqual([]);
  return selection.leftOut[0]!.reason;
};

describe('selecting scores of a review', () => {
  it('takes a printed mean and standard deviation to the protocol’s range', () => {
    const { arms, leftOut } = select([{ ...final, mean: 22, sd: 8 }]);
    expect(leftOut).toEqual([]);
    expect(arms[0]).toMatchObject({
      study: 'ostrava',
      label: 'Ostrava 2015',
      site: 'subpectoral',
      scale: 'pain-vas',
      total: 40,
      range: { minimum: 0, maximum: 10 },
      kind: 'final',
      conversions: [],
      line: { multiply: 0.1, add: 0 },
      row: { file: 'scores.csv', line: 2 },
    });
    expectClose(arms[0]!.mean, 2.2, 'identity');
    expectClose(arms[0]!.standardDeviation, 0.8, 'identity');
  });

  it('converts whatever else is printed, the least indirect way first', () => {
    const of = (row: Row, departures: ScoreSelectionDepartures = {}) =>
      select([{ ...final, ...row }], departures).arms[0]!;
    expectClose(of({ mean: 22, se: 2 }).standardDeviation, 0.2 * Math.sqrt(40), 'identity');
    const interval = deviationFromInterval({ lower: 18, upper: 26, level: 0.9, total: 40 });
    expectClose(
      of({ mean: 22, interval_lower: 18, interval_upper: 26, interval_percent: 90 }).standardDeviation,
      interval.standardDeviation / 10,
      'identity',
    );
    expectClose(of({ interval_lower: 18, interval_upper: 26, interval_percent: 90 }).mean, 2.2, 'identity');
    const summary = { quartileLower: 10, median: 21, quartileUpper: 30, total: 40 };
    const quartiles = of({ median: 21, quartile_lower: 10, quartile_upper: 30 });
    expectClose(quartiles.mean, convertSummary(summary).mean / 10, 'identity');
    expectClose(quartiles.standardDeviation, convertSummary(summary).standardDeviation / 10, 'identity');
    expect(quartiles.cautions.map((each) => each.code)).toEqual(['rescaled', 'near-the-end-of-the-scale']);
    expect(quartiles.cautions[1]!.message).toContain('suspect exactly here');
    const both = of({ mean: 22, sd: 9, se: 1.4, median: 21, quartile_lower: 10, quartile_upper: 30 });
    expect(both.conversions).toEqual([]);
    const hozo = of(
      { median: 21, minimum: 2, maximum: 60 },
      { conversions: { rangeOnly: 'convert', summary: { standardDeviation: 'hozo-2005' } } },
    );
    expectClose(hozo.standardDeviation, 5.8 / 4, 'identity');
    expect(of({ median: 21, quartile_lower: 10, quartile_upper: 30, sd: 13 }).standardDeviation).toBe(1.3);
  });

  it('leaves out what cannot be used, each with its reason, and never reads silence as zero', () => {
    expect(reasonOf({ ...final, mean: 22 })).toBe(
      'The mean is reported without any measure of spread that can be converted.',
    );
    expect(reasonOf({ ...final, sd: 22 })).toBe('Neither mean nor median is reported.');
    expect(reasonOf({ ...final, mean: 22, sd: 8, shoulders: 'NR' })).toBe(
      'The number of shoulders scored is not reported.',
    );
    expect(reasonOf({ ...final, mean: 22, sd: 0, shoulders: 1 })).toContain(
      'With 1 shoulder there is no spread',
    );
    expect(reasonOf({ ...final, mean: 22, sd: 0 })).toContain('The standard deviation is 0');
    expect(reasonOf({ ...final, median: 22, minimum: 1, maximum: 80 })).toContain(
      'unless rangeOnly is "convert"',
    );
    expect(reasonOf({ ...final, mean: 22, interval_lower: 18, interval_upper: 26 })).toContain(
      'without any measure of spread',
    );
    expect(reasonOf({ ...final, mean: 3, sd: 1, scale_minimum: '', scale_maximum: '' })).toContain(
      'the paper does not say which',
    );
    expect(reasonOf({ ...final, mean: 22, sd: 8, follow_up_months: 6 })).toBe(
      'Follow-up of 6 months lies outside the window of 12 to 120.',
    );
    expect(reasonOf({ ...final, mean: 22, sd: 8, follow_up_months: '' })).toContain(
      'time of follow-up is not reported',
    );
    expect(reasonOf({ ...final, mean: 62, sd: 8, value_type: 'baseline', follow_up_months: 0 })).toBe(
      'A baseline score is not what the outcome asks for.',
    );
    expect(reasonOf({ ...final, mean: 22, sd: 8 }, { designs: ['randomised trial'] })).toBe(
      'Design "case series" is not included.',
    );
    const skewed = { ...final, median: 5, quartile_lower: 4, quartile_upper: 40 };
    expect(select([skewed]).arms[0]!.cautions.map((each) => each.code)).toContain(
      'converted-although-skewed',
    );
    expect(reasonOf(skewed, { conversions: { skewed: 'leave-out' } })).toContain('shows skewed scores');
  });

  it('takes one row of an arm: best scale, then kind, then the time the protocol prefers', () => {
    const row = { ...final, mean: 22, sd: 8 };
    const selection = select([
      { ...row, follow_up_months: 12 },
      { ...row, follow_up_months: 36 },
      { ...row, value_type: 'change', mean: -40, follow_up_months: 60 },
    ]);
    expect(selection.arms.map((arm) => arm.row.line)).toEqual([3]);
    expect(selection.leftOut.map((each) => each.reason)).toEqual([
      'Another time point (line 3) is preferred: the longest follow-up.',
      'The final score (line 3) is preferred to the change score.',
    ]);
    const oxford = { ...row, scale: 'oss', scale_minimum: 12, scale_maximum: 60, mean: 20, sd: 6 };
    const ases = { ...row, scale: 'ases', mean: 80, sd: 10 };
    expect(
      select(
        [
          { ...oxford, follow_up_months: 14 },
          { ...oxford, follow_up_months: 26 },
        ],
        {},
        'function',
      ).arms[0],
    ).toMatchObject({ scale: 'oss', row: { line: 3 } });
    const mixed = select([{ ...oxford }, { ...ases, follow_up_months: 60 }], {}, 'function');
    expect(mixed.arms[0]!.scale).toBe('ases');
    expect(mixed.leftOut[0]!.reason).toBe('ASES (line 3) is preferred to Oxford.');
    expectClose(select([oxford], {}, 'function').arms[0]!.mean, 40, 'identity');
  });

  it('makes a change from baseline and final scores only with a stated correlation', () => {
    const rows = [
      { ...final, mean: 62, sd: 10, value_type: 'baseline', follow_up_months: 0, shoulders: 44 },
      { ...final, mean: 22, sd: 8 },
    ];
    const departures: ScoreSelectionDepartures = {
      valueTypes: ['change'],
      conversions: { correlation: 0.4 },
    };
    expect(select(rows, { valueTypes: ['change'] }).arms).toEqual([]);
    const { arms, leftOut, departures: said } = select(rows, departures);
    const change = changeFromBaseline({
      baselineMean: 6.2,
      baselineDeviation: 1,
      finalMean: 2.2,
      finalDeviation: 0.8,
      correlation: 0.4,
    });
    expectClose(arms[0]!.mean, -4, 'identity');
    expectClose(arms[0]!.standardDeviation, change.standardDeviation, 'identity');
    expect(arms[0]).toMatchObject({ kind: 'change', total: 40, rows: [{ line: 2 }, { line: 3 }] });
    expect(arms[0]!.cautions.map((each) => each.code)).toContain('assumed-correlation');
    expect(leftOut).toEqual([]);
    expect(said).toEqual(['Kinds of value accepted: change, where the protocol has final, change.']);
    const printed = select([...rows, { ...final, value_type: 'change', mean: -39, sd: 12 }], departures);
    expectClose(printed.arms[0]!.mean, -3.9, 'identity');
    expect(printed.arms[0]!.row.line).toBe(4);
  });

  it('counts a cohort once, by the overlap rule', () => {
    const shared = [
      'study,label,year,design,cohort,report_kind',
      'ostrava,Ostrava 2015,2015,case series,,primary',
      'gent,Gent 2018,2018,randomised trial,gent,primary',
      'gent-2,Gent 2021,2021,randomised trial,gent,follow-up',
    ];
    const row = { ...final, mean: 22, sd: 8, study: 'gent' };
    const review = reviewOf([row, { ...row, study: 'gent-2', shoulders: 30 }], { studies: shared });
    const largest = selectScores(review, 'pain');
    expect(largest.arms.map((arm) => arm.study)).toEqual(['gent']);
    expect(largest.leftOut[0]!.reason).toContain('The same patients are in Gent 2018');
    const latest = selectScores(review, 'pain', { overlapRule: 'latest' });
    expect(latest.arms.map((arm) => arm.study)).toEqual(['gent-2']);
    expect(latest.departures).toEqual(['Overlapping reports: latest, where the protocol has largest.']);
  });

  it('does not depend on the order of rows, and every row is used or left out once', () => {
    const rows: Row[] = [
      { ...final, mean: 22, sd: 8 },
      { ...final, mean: 20, sd: 9, follow_up_months: 36 },
      { ...final, study: 'gent', mean: 2.2, sd: 0.8, scale_maximum: 10 },
      { ...final, study: 'gent', arm: 'b', median: 21, quartile_lower: 10, quartile_upper: 30 },
      { ...final, study: 'gent', mean: 61, sd: 8, value_type: 'baseline', follow_up_months: 0 },
      { ...final, study: 'gent-2', mean: 20 },
    ];
    const summary = (order: readonly Row[]) =>
      select(order).arms.map((arm) => [arm.study, arm.arm, arm.mean, arm.standardDeviation]);
    const expected = summary(rows);
    fc.assert(
      fc.property(fc.shuffledSubarray(rows, { minLength: rows.length }), (order) => {
        expect(summary(order)).toEqual(expected);
        const { arms, leftOut } = select(order);
        const lines = [...arms.flatMap((arm) => arm.rows), ...leftOut.flatMap((each) => each.rows)].map(
          (each) => each.line,
        );
        expect([...lines].sort()).toEqual([2, 3, 4, 5, 6, 7]);
      }),
      { numRuns: runs(20) },
    );
  });

  it('refuses unknown outcomes, scales and options, naming the allowed ones', () => {
    const review = reviewOf([{ ...final, mean: 22, sd: 8 }]);
    const cases: readonly [() => unknown, string][] = [
      [
        () => selectScores(review, 'pian'),
        'unknown outcome "pian". Did you mean "pain"? Outcomes that are scores: "pain" or "function"',
      ],
      [
        () => selectScores(review, 'pain', { scales: ['vas'] }),
        'scales must be one of pain-vas, ases, oss; received "vas"',
      ],
      [
        () => selectScores(review, 'pain', { scales: [] }),
        'scales must name at least one; received an empty list',
      ],
      [
        () => selectScores(review, 'pain', { sites: [] } as object),
        'unknown option "sites". Allowed: siteRule, scales',
      ],
      [
        () => selectScores(review, 'pain', { conversions: { correlation: 2 } }),
        'correlation must lie from -1 to 1; received 2',
      ],
      [
        () => selectScores(review, 'pain', { conversions: { skewed: 'ask' as 'convert' } }),
        'skewed must be one of convert, leave-out; received "ask"',
      ],
      [
        () => selectScores(review, 'pain', { windowMonths: { minimum: 5, maximum: 1 } }),
        'windowMonths must have 0 <= minimum <= maximum; received 5 to 1',
      ],
    ];
    for (const [run, message] of cases) expect(run).toThrow(message);
  });

  it('takes the protocol’s material difference as a threshold', () => {
    const review = reviewOf([]);
    expect(thresholdFromProtocol(review.protocol, 'pain')).toMatchObject({
      value: 1,
      scale: 'pain-vas',
      range: { minimum: 0, maximum: 10 },
      better: 'lower',
      source: 'made up',
    });
    expect(() => thresholdFromProtocol(review.protocol, 'revision')).toThrow(
      'outcome must be one of pain, function; received "revision"',
    );
  });
});
