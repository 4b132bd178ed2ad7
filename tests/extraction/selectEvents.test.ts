import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { siteRules } from '../../src/extraction/classifySite.ts';
import type { SelectionDepartures } from '../../src/extraction/eventSelection.ts';
import { overlapRules } from '../../src/extraction/protocol.ts';
import { notReported } from '../../src/extraction/reported.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { wholeCountsFor } from '../../src/extraction/wholeCounts.ts';
import { readSound, smallReview, withChange } from './smallReview.ts';

const headings = smallReview['events.csv']?.split('\n')[0] ?? '';
const withEvents = (...rows: readonly string[]) =>
  readSound({ ...smallReview, 'events.csv': `${[headings, ...rows].join('\n')}\n` });
const counts = (selection: ReturnType<typeof selectEvents>): readonly string[] =>
  selection.arms.map((arm) => `${arm.study} ${arm.arm} ${arm.events}/${arm.total}`);
const reasons = (selection: ReturnType<typeof selectEvents>): readonly string[] =>
  selection.leftOut.map((left) => `${left.row.line}: ${left.reason}`);

describe('selectEvents', () => {
  it('gives one count for each arm, with its site and its way back to the sheet', () => {
    const selection = selectEvents(readSound(smallReview), 'groove-pain');
    expect(counts(selection)).toEqual([
      'abel-2010 high 4/38',
      'abel-2010 low 0/40',
      'brun-2015 low 3/30',
      'cilla-2020 only 21/210',
    ]);
    expect(selection.arms.map((arm) => arm.site)).toEqual([
      'top-of-groove',
      'subpectoral',
      'suprapectoral',
      'suprapectoral',
    ]);
    expect(selection.arms[0]).toEqual({
      study: 'abel-2010',
      label: 'Abel 2010',
      year: 2010,
      arm: 'high',
      site: 'top-of-groove',
      events: 4,
      total: 38,
      followUpMonths: 24,
      definition: 'groove tenderness',
      assessor: 'examiner',
      design: 'retrospective cohort',
      row: { file: 'events.csv', line: 2, locator: notReported },
    });
    expect(reasons(selection)).toEqual(['5: The number of events is not reported.']);
    expect(selection.departures).toEqual([]);
    expect(selection.outcome.id).toBe('groove-pain');
  });

  it('prefers the definition, then the assessor, then the time point', () => {
    const selection = selectEvents(
      withEvents(
        'abel-2010,high,groove-pain,pain over the groove,examiner,48,9,38,,,',
        'abel-2010,high,groove-pain,groove tenderness,patient,48,8,38,,,',
        'abel-2010,high,groove-pain,Groove Tenderness,Examiner,24,4,38,,,',
        'abel-2010,high,groove-pain,groove tenderness,examiner,12,3,38,,,',
        'abel-2010,high,groove-pain,groove tenderness,examiner,6,2,38,,,',
        'abel-2010,high,groove-pain,groove tenderness,surgeon,24,1,38,,,',
        'abel-2010,high,groove-pain,any pain,examiner,24,1,38,,,',
      ),
      'groove-pain',
    );
    expect(counts(selection)).toEqual(['abel-2010 high 4/38']);
    expect(selection.arms[0]?.definition).toBe('groove tenderness');
    expect(selection.arms[0]?.assessor).toBe('examiner');
    expect(reasons(selection)).toEqual([
      '2: Definition "Groove Tenderness" (line 4) is preferred to "pain over the groove".',
      '3: Assessor "Examiner" (line 4) is preferred to "patient".',
      '5: Another time point (line 4) is preferred: the longest follow-up.',
      '6: Follow-up of 6 months lies outside the window of 12 to 60.',
      '7: Assessor "surgeon" is not accepted.',
      '8: Definition "any pain" is not accepted.',
    ]);
  });

  it('takes the time closest to the target where the protocol says so', () => {
    const selection = selectEvents(
      withEvents(
        'abel-2010,high,revision,reoperation,chart,12,1,38,,,',
        'abel-2010,high,revision,reoperation,NR,26,2,38,,,',
        'abel-2010,high,revision,reoperation,chart,30,3,38,,,',
        'abel-2010,high,revision,reoperation,chart,60,4,38,,,',
      ),
      'revision',
    );
    expect(counts(selection)).toEqual(['abel-2010 high 3/38']);
    expect(reasons(selection)).toContain(
      '2: Another time point (line 4) is preferred: the time closest to 24 months.',
    );
    expect(reasons(selection)).toContain('3: Assessor "chart" (line 4) is preferred to "not reported".');
  });

  it('never reads a count that is not reported as zero', () => {
    const selection = selectEvents(
      withEvents(
        'abel-2010,high,groove-pain,groove tenderness,examiner,24,NR,38,,,',
        'abel-2010,low,groove-pain,groove tenderness,examiner,24,3,NR,,,',
        'brun-2015,low,groove-pain,groove tenderness,examiner,24,,,10,,',
        'brun-2015,cut,groove-pain,groove tenderness,examiner,24,NR,NR,,3,28',
        'cilla-2020,only,groove-pain,groove tenderness,examiner,NR,3,210,,,',
      ),
      'groove-pain',
    );
    expect(selection.arms).toEqual([]);
    expect(reasons(selection)).toEqual([
      '2: The number of events is not reported.',
      '3: The number of eligible shoulders is not reported.',
      '4: The number of eligible shoulders is not reported.',
      '5: Only patients are counted; the number of eligible shoulders is not reported.',
      '6: The time of follow-up is not reported, so the time window cannot be checked.',
    ]);
  });

  it('works a count out of a percentage only when a single whole number fits, and says so', () => {
    const selection = selectEvents(
      withEvents(
        'abel-2010,high,groove-pain,groove tenderness,examiner,24,,38,10.5,,',
        'cilla-2020,only,groove-pain,groove tenderness,examiner,24,,210,10,,',
      ),
      'groove-pain',
    );
    expect(counts(selection)).toEqual(['abel-2010 high 4/38']);
    expect(selection.arms[0]?.notes).toEqual(['4 of 38 was worked out from the printed 10.5 %.']);
    expect(reasons(selection)).toEqual(['3: Only 10 % of 210 is reported, and 3 whole counts give it.']);
  });

  it('keeps one report of a cohort by the rule, whichever it is', () => {
    const studies = smallReview['studies.csv']
      ?.replace('abel-2010,Abel 2010,2010,,primary', 'abel-2010,Abel 2010,2010,brun,follow-up')
      .replace('cilla-2020,Cilla 2020,2020,,primary', 'cilla-2020,Cilla 2020,2020,brun,abstract') as string;
    const review = readSound({ ...smallReview, 'studies.csv': studies });
    const kept = overlapRules.map((overlapRule) => [
      overlapRule,
      ...new Set(selectEvents(review, 'groove-pain', { overlapRule }).arms.map((arm) => arm.study)),
    ]);
    expect(kept).toEqual([
      ['largest', 'cilla-2020'],
      ['latest', 'cilla-2020'],
      ['primary-report', 'brun-2015'],
    ]);
    expect(reasons(selectEvents(review, 'groove-pain'))).toContain(
      '2: The same patients are in Cilla 2020, which is kept as the report with the most shoulders.',
    );
    // Only reports that give the outcome stand in each other's way.
    expect(counts(selectEvents(review, 'revision'))).toEqual(['cilla-2020 only 2/210']);
  });

  it('says every departure from the protocol, and nothing where there is none', () => {
    const review = readSound(smallReview);
    const departed = selectEvents(review, 'groove-pain', {
      siteRule: { midGroove: 'with-top-of-groove' },
      definitions: ['pain over the groove'],
      assessors: ['patient', 'examiner'],
      windowMonths: null,
      overlapRule: 'latest',
      designs: ['case series'],
    });
    expect(departed.departures).toEqual([
      'Mid-groove arms: with top of groove, where the protocol has with suprapectoral.',
      'Definitions accepted: pain over the groove, where the protocol has groove tenderness, pain over the groove.',
      'Assessors accepted: patient, examiner, where the protocol has examiner, patient.',
      'Time window: any time, where the protocol has 12 to 60 months.',
      'Overlapping reports: latest, where the protocol has largest.',
      'Designs included: case series, where the protocol has randomised trial, quasi-randomised trial, prospective cohort, retrospective cohort, case-control, case series.',
    ]);
    expect(departed.arms.map((arm) => [arm.study, arm.site])).toEqual([['cilla-2020', 'top-of-groove']]);
    expect(departed.leftOut[0]?.reason).toBe('Design "retrospective cohort" is not included.');
    const same = selectEvents(review, 'groove-pain', {
      siteRule: { midGroove: 'with-suprapectoral' },
      windowMonths: { minimum: 12, maximum: 60 },
    });
    expect(same.departures).toEqual([]);
  });

  it('refuses what it does not know, naming what it does', () => {
    const review = readSound(smallReview);
    expect(() => selectEvents(review, 'grove-pain')).toThrow(
      'unknown outcome "grove-pain". Did you mean "groove-pain"? Outcomes counted as events: "groove-pain" or "revision"',
    );
    const wrong =
      (departures: unknown): (() => unknown) =>
      () =>
        selectEvents(review, 'revision', departures as SelectionDepartures);
    expect(wrong({ windowMonth: null })).toThrow(
      'unknown departure "windowMonth". Did you mean "windowMonths"? Allowed: ',
    );
    expect(wrong({ siteRule: { midGroove: 'x' } })).toThrow('siteRule.midGroove must be one of');
    expect(wrong({ overlapRule: 'smallest' })).toThrow('overlapRule must be one of');
    expect(wrong({ designs: ['survey'] })).toThrow('designs must be one of');
    expect(wrong({ definitions: [] })).toThrow('definitions must name at least one; received an empty list');
    expect(wrong({ windowMonths: { minimum: 60, maximum: 12 } })).toThrow(
      'windowMonths must have 0 <= minimum <= maximum; received 60 to 12',
    );
    expect(wrong({ windowMonths: { minimum: Number.NaN, maximum: 12 } })).toThrow('windowMonths must have');
  });

  it('accounts for every row of the demo, under every rule, whatever the order of the rows', () => {
    const review = readSound(demoFiles());
    for (const outcome of review.protocol.outcomes) {
      if (outcome.kind !== 'events') continue;
      for (const siteRule of siteRules) {
        const selection = selectEvents(review, outcome.id, { siteRule });
        const used = [...selection.arms, ...selection.leftOut].map((each) => each.row.line);
        const rows = review.events.filter((row) => row.outcome === outcome.id).map((row) => row.row.line);
        expect(used.toSorted((a, b) => a - b)).toEqual(rows);
        expect(new Set(selection.arms.map((arm) => `${arm.study} ${arm.arm}`)).size).toBe(
          selection.arms.length,
        );
        expect(
          selectEvents({ ...review, events: review.events.toReversed() }, outcome.id, { siteRule }),
        ).toEqual(selection);
      }
    }
  });

  it('reads a blank follow-up from the arm or the study, and says so', () => {
    const review = readSound({
      ...withChange('arms.csv', 'age_mean_years', 'follow_up_mean_months'),
      'events.csv': `${headings}\nabel-2010,high,groove-pain,groove tenderness,examiner,NR,4,38,,,\n`,
    });
    const [arm] = selectEvents(review, 'groove-pain').arms;
    expect(arm?.followUpMonths).toBe(54.5);
    expect(arm?.notes).toEqual(['Follow-up is the mean of the arm or study, since the row gives none.']);
  });
});

describe('wholeCountsFor', () => {
  it('gives the counts that print as the percentage', () => {
    expect(wholeCountsFor({ value: 10.5, decimals: 1 }, 38)).toEqual([4]);
    expect(wholeCountsFor({ value: 0, decimals: 0 }, 300)).toEqual([0, 1]);
    expect(wholeCountsFor({ value: 100, decimals: 1 }, 30)).toEqual([30]);
    expect(wholeCountsFor({ value: 12.5, decimals: 1 }, 8)).toEqual([1]);
    expect(wholeCountsFor({ value: 11, decimals: 0 }, 30)).toEqual([]);
    // 1 of 8 is 12.5 %: rounded to a whole per cent it prints as 12 or 13, by either convention for ties.
    expect(wholeCountsFor({ value: 12, decimals: 0 }, 8)).toEqual([1]);
    expect(wholeCountsFor({ value: 13, decimals: 0 }, 8)).toEqual([1]);
  });

  it('agrees with trying every count, for every total up to 60', () => {
    for (let total = 1; total <= 60; total += 1) {
      for (let tenths = 0; tenths <= 1000; tenths += 7) {
        // Whole numbers throughout, so that nothing is rounded: |1000 k / total - tenths| <= 1/2.
        const tried = Array.from({ length: total + 1 }, (_, k) => k).filter(
          (k) => Math.abs(2000 * k - 2 * tenths * total) <= total,
        );
        expect(wholeCountsFor({ value: tenths / 10, decimals: 1 }, total)).toEqual(tried);
      }
    }
  });

  // Printed percentages of published series, with the counts beside them in print.
  it.each([
    [
      'McCrum 2019, JSES 28:461, deformity in the groove (count worked out from the per cent)',
      4.72,
      2,
      530,
      25,
    ],
    ['Werner 2014, Arthroscopy 30:1075, stiffness', 17.9, 1, 106, 19],
    ['Brady 2015, Arthroscopy, doi 10.1016/j.arthro.2014.08.024, any revision', 4.1, 1, 1083, 44],
  ] as const)('%s', (_source, value, decimals, total, count) => {
    expect(wholeCountsFor({ value, decimals }, total)).toContain(count);
  });
});
