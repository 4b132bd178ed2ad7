// Sentences that must follow the data: each is asked with the data that would make its careless form false.
import { describe, expect, it } from 'vitest';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import { studyQuality } from '../../src/certainty/quality/studyQuality.ts';
import type { Review } from '../../src/extraction/review.ts';
import { readingOf } from '../../src/figures/qualityGrid.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { manuscriptResults } from '../../src/publishing/manuscript/manuscriptResults.ts';
import { checkClaim } from '../../src/robustness/claims/checkClaim.ts';
import { characteristicsTable } from '../../src/tables/characteristicsTable.ts';
import { manuscriptText } from '../../src/tables/manuscript/manuscriptText.ts';
import { qualityTable } from '../../src/tables/qualityTable.ts';
import { sizeTestReading } from '../../src/tables/readings/whatWouldChangeReading.ts';
import { summaryOfFindings } from '../../src/tables/summaryOfFindings.ts';
import { tableToText } from '../../src/tables/tableToText.ts';
import type { SiteChanges } from '../../src/tables/whatWouldChangeTable.ts';
import { demoFiles, reviewOf } from '../publishing/talk/reviews.ts';
import { makeArms } from '../tables/makeArms.ts';

const demo = demoFiles();
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const manuscriptOf = (review: Review): string =>
  plain(
    manuscriptText(manuscriptResults(review, { certainty: 'none' }))
      .paragraphs.flatMap(({ sentences }) => sentences.map(({ text }) => text))
      .join(' '),
  );

/** The demo with the protocol's analysis changed. */
const withAnalysis = (change: Readonly<Record<string, unknown>>): Review => {
  const protocol = JSON.parse(demo['protocol.json']!);
  return reviewOf({
    ...demo,
    'protocol.json': JSON.stringify({ ...protocol, analysis: { ...protocol.analysis, ...change } }),
  });
};

/** Rows of a sheet, the headings kept; a quoted cell may hold a line break. */
const withRows = (name: string, keep: (line: string) => boolean, added: readonly string[] = []): string => {
  const [head = '', ...lines] = demo[name]!.split(/\n(?=(?:[^"]*"[^"]*")*[^"]*$)/);
  return [head, ...lines.filter((line) => line !== '' && keep(line)), ...added, ''].join('\n');
};

const bare = ({ events, total }: { readonly events: number; readonly total: number }): boolean =>
  events === 0 || events === total;

describe('what was done with empty cells', () => {
  it('names the ratios that were corrected, counted by hand from the studies', () => {
    const review = withAnalysis({ zeroEvents: { addToEachCell: 0.5 } });
    const text = manuscriptOf(review);
    expect(text).not.toContain('no other count was changed');
    const studies = manuscriptResults(review, { certainty: 'none' }).outcomes.flatMap(
      ({ comparisons = [] }) => comparisons.flatMap(({ behind }) => behind.pair?.studies ?? []),
    );
    // Where neither arm had an event, or both nothing else, a ratio is not corrected but left out.
    const corrected = studies.filter(
      ({ treated, comparator }) =>
        (bare(treated) || bare(comparator)) &&
        !(treated.events === 0 && comparator.events === 0) &&
        !(treated.events === treated.total && comparator.events === comparator.total),
    ).length;
    expect(corrected).toBeGreaterThan(0);
    expect(text).toContain(
      `for the odds ratios 0.5 was added to all four cells where one was empty (${corrected} of ${studies.length} comparisons within studies)`,
    );
  });

  it('claims no addition on a scale that needs none', () => {
    const text = manuscriptOf(withAnalysis({ rateScale: 'arcsine', zeroEvents: { addToEachCell: 0.5 } }));
    expect(text).not.toMatch(/for the two-step pools .{0,20}0\.5 was added/i);
    expect(text).toContain(
      'Nothing was added to any count for the pools of rates, and no arm had to be left out',
    );
  });

  it('adds nothing to the risk a difference is said at where that is quoted', () => {
    const text = manuscriptOf(withAnalysis({ zeroEvents: 'leave-out' }));
    expect(text).not.toMatch(/for the risk that a difference is said at .{0,20}was added/);
  });

  it('says under "left out" that this risk was corrected all the same where the pool is fixed', () => {
    const text = manuscriptOf(withAnalysis({ zeroEvents: 'leave-out', quoted: 'dersimonian-laird' }));
    expect(text).toMatch(
      /for the risk that a difference is said at 0\.5 was added to both cells of comparator arms/,
    );
    expect(text).not.toMatch(/Nothing was added to any count;/);
  });
});

describe('the sum of an instrument with items nobody judged', () => {
  const study = 'quellmoor-2010';
  const known = demo['judgements.csv']!.split('\n').filter((line) => line.includes(',MINORS,'));
  const named = [...new Set(known.map((line) => line.split(',')[2]!))].slice(0, 8);
  const review = reviewOf({
    ...demo,
    'judgements.csv': withRows(
      'judgements.csv',
      (line) => !line.startsWith(`${study},`),
      named.map((item) => `${study},MINORS,${item},,1,,methods,,A`),
    ),
  });
  const quality = studyQuality(review);
  const own = quality.find((each) => each.study === study)!;
  const said = '8 of 16 on the items judged; 4 of 12 items not judged, so 8 to 16 of 24';

  it.each([
    ['the table of quality', () => tableToText(qualityTable([own]))],
    ['the characteristics', () => tableToText(characteristicsTable(review, quality))],
  ])('is said with what was judged in %s', (_, text) => {
    const flat = text().replace(/\s+/g, ' ');
    expect(flat).not.toMatch(/\b8 of 24/);
    expect(flat).toContain(said);
  });

  it('is a range in the picture and in the manuscript', () => {
    expect(readingOf(own.judgement!)).toBe('not judged (8 to 16 of 24)');
    const text = manuscriptOf(review);
    expect(text).not.toMatch(/\b8 (to \d+ )?of 24 in/);
    expect(text).toContain('8 of 16 on the items judged with 4 of 12 not judged (8 to 16 of 24)');
  });

  it('is a plain sum where every item was judged', () => {
    const judged = quality.find(
      ({ judgement }) => judgement?.items.every(({ answer }) => answer !== undefined) && judgement.sum,
    );
    expect(tableToText(qualityTable([judged!]))).toMatch(/\b\d+ of (16|24|9|100)\b(?!.*items judged)/);
  });
});

describe('an odds ratio without a risk to say it at', () => {
  // One study, 1 of 58 against 0 of 64, and nobody else counted revisions: 1.5 x 64.5 / (0.5 x 57.5) = 3.37.
  const review = reviewOf({
    ...demo,
    'events.csv': withRows('events.csv', (line) => !line.includes(',revision,'), [
      'quellmoor-2010,suprapectoral,revision,reoperation for the biceps,chart,26,mean,1,58,,,,,,table 4,,A',
      'quellmoor-2010,subpectoral,revision,reoperation for the biceps,chart,26,mean,0,64,,,,,,table 4,,A',
    ]),
    'certainty.csv': demo['certainty.csv']!.split('\n')[0]!,
    'printed.csv': demo['printed.csv']!.split('\n')[0]!,
  });
  const rating = certaintyOfReview(
    review,
    { kind: 'comparison', outcome: 'revision', site: 'suprapectoral', comparator: 'subpectoral' },
    { pooling: { zeroEvents: { addToEachCell: 0.5 } } },
  );

  it('is an estimate, and is said as one', () => {
    expect(rating.body.relative?.value).toBeCloseTo((1.5 * 64.5) / (0.5 * 57.5), 10);
    expect(rating.sentence).not.toContain('no estimate');
    expect(rating.sentence).toMatch(/^Odds ratio 3\.37 \(.+\): the evidence is very uncertain/);
    expect(rating.sentence).toContain('cannot be said in numbers of 100');
    const evidence = rating.domains.flatMap((each) => each.evidence).join(' ');
    expect(evidence).not.toMatch(/gives? no estimate with an interval/);
  });

  it('does not stand beside "no estimate" in the summary of findings', () => {
    const text = tableToText(summaryOfFindings(review.protocol, [rating])).replace(/\s+/g, ' ');
    expect(text).toContain('Odds ratio 3.37');
    expect(text).not.toContain('no estimate');
  });
});

describe('a test of small arms against large ones', () => {
  const answer = (pValue: number | undefined) =>
    ({
      name: 'Subpectoral',
      studies: 12,
      changes: {
        sizeTest: { kind: 'regression-test', pValue, line: { slope: { value: 0.1 } } },
      },
    }) as unknown as SiteChanges;

  it('that shows no lean is not said to show that there is none', () => {
    const [text] = sizeTestReading([answer(0.5)]);
    expect(text).not.toMatch(/no different story/);
    expect(text).toContain(
      'do not show small arms to differ from large ones (Subpectoral); they cannot exclude it',
    );
  });

  it('that has no answer is not counted among those that show nothing', () => {
    const [text] = sizeTestReading([answer(undefined)]);
    expect(text).toBe('The test has no answer at: Subpectoral.');
  });

  it('is said so in the reasons of a certainty, too', () => {
    const evidence = certaintyOfReview(reviewOf(demo), {
      kind: 'rate',
      outcome: 'cosmetic-deformity',
      site: 'suprapectoral',
    })
      .domains.flatMap((each) => each.evidence)
      .join(' ');
    expect(evidence).not.toContain('no lean shows');
    expect(evidence).toContain('which does not show a lean and cannot exclude one');
  });
});

describe('a count of one', () => {
  it('has a noun in the singular', () => {
    const { cautions, methodsSentence } = poolRates(makeArms('subpectoral', [[0, 1]]));
    expect(cautions.map(({ message }) => message).join(' ')).toContain('None of 1 shoulder had');
    expect(methodsSentence).toContain('none of the 1 shoulder in 1 study');
  });
});

describe('a test that shows no difference', () => {
  it.each([
    // Fisher 0.11 (two-sided, by hand from the hypergeometric probabilities).
    [
      { events: 2, total: 20 },
      { events: 7, total: 20 },
    ],
    [
      { events: 0, total: 3 },
      { events: 1, total: 3 },
    ],
  ])('is not said to show that there is none: %o against %o', (one, comparator) => {
    const { comparison, further } = checkClaim({ ...one, comparator });
    expect(comparison!.fragility.differs).toBe(false);
    const text = further.join(' ');
    expect(text).not.toMatch(/shows no difference/);
    expect(text).toContain('The test does not show a difference; it cannot exclude one.');
  });
});
