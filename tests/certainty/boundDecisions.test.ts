// Decisions of people count for the body of evidence they were taken on, as it was then: read back from ratings and from
// the first page of every product. The rule is this library's own; GRADE rates a body of evidence, not a question
// (Balshem 2011, J Clin Epidemiol 64:401).
import { describe, expect, it } from 'vitest';
import { demoFiles, demoLastYearFiles } from '../../data-extraction/makeDemo.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import type { CertaintyQuestion } from '../../src/certainty/certaintyQuestion.ts';
import { compareVersions } from '../../src/changes/compareVersions.ts';
import type { Review } from '../../src/extraction/review.ts';
import { evidenceOfReview } from '../../src/publishing/evidenceOfReview.ts';
import { factsOfReview } from '../../src/publishing/factsOfReview.ts';
import { manuscriptOfReview } from '../../src/publishing/manuscript/manuscriptFiles.ts';
import { manuscriptResults } from '../../src/publishing/manuscript/manuscriptResults.ts';
import { overviewPage } from '../../src/publishing/overview/overviewPage.ts';
import { talkOfReview } from '../../src/publishing/talk/talkOfReview.ts';
import { changeDocument } from '../../src/tables/changes/changeDocument.ts';
import { documentToMarkdown } from '../../src/tables/documentToMarkdown.ts';
import { evidenceDocument } from '../../src/tables/evidenceDocument.ts';
import { readSound } from '../extraction/smallReview.ts';
import { trialOfGroovePain, withRows } from './reviewsOfDecisions.ts';

const groovePain: CertaintyQuestion = {
  kind: 'comparison',
  outcome: 'groove-pain',
  site: 'top-of-groove',
  comparator: 'suprapectoral',
};
const files = demoFiles();
const demo = readSound(files);
const withTrial = readSound(withRows(files, trialOfGroovePain));
const lastYear = demoLastYearFiles();

describe('a trial found after people decided on three cohorts', () => {
  const rating = certaintyOfReview(withTrial, groovePain);

  it('is the answer, and nobody has confirmed it', () => {
    expect(rating.body.design).toBe('randomised trials');
    expect(rating.body.studies).toBe(1);
    expect(rating.confirmed).toBe(false);
    expect(rating.domains.map(({ decided }) => decided)).toEqual(rating.domains.map(() => undefined));
    for (const { proposed, levels } of rating.domains) expect(levels).toBe(proposed);
  });

  it('stands beside the decisions, listed as open with their reason', () => {
    expect(rating.decisionsOpen).toHaveLength(5);
    for (const { why, body, row } of rating.decisionsOpen) {
      expect(why).toBe('another body');
      expect(body).toBe('non-randomised studies');
      expect(row!.file).toBe('certainty.csv');
    }
    expect(rating.cautions.map(({ code }) => code)).toContain('decisions-open');
  });

  it('leaves the cohorts decided, for they are what they were', () => {
    const cohorts = rating.others.find(({ body }) => body.design === 'non-randomised studies')!;
    expect(cohorts.confirmed).toBe(true);
    expect(cohorts.decisionsOpen).toEqual([]);
    expect(cohorts.level).toBe(certaintyOfReview(demo, groovePain).level);
  });
});

describe('a body that has changed since', () => {
  const rate: CertaintyQuestion = { kind: 'rate', outcome: 'revision', site: 'subpectoral' };
  const confirmedWith = (change: Partial<Review>): boolean =>
    certaintyOfReview({ ...demo, ...change }, rate).confirmed;
  const [used] = certaintyOfReview(demo, rate).body.arms;
  const { study } = used!;
  const isUsed = (row: { readonly row: { readonly line: number } }): boolean =>
    row.row.line === used!.row.line;

  it('is no longer confirmed after a count, an arm, a study or a judgement', () => {
    expect(confirmedWith({})).toBe(true);
    const events = demo.events.map((row) => (isUsed(row) ? { ...row, events: used!.events + 1 } : row));
    const counted = certaintyOfReview({ ...demo, events }, rate);
    expect(counted.body.events).not.toBe(certaintyOfReview(demo, rate).body.events);
    expect(counted.confirmed).toBe(false);
    expect(confirmedWith({ studies: demo.studies.filter((row) => row.study !== study) })).toBe(false);
    expect(
      confirmedWith({ arms: demo.arms.filter((row) => row.study !== study || row.arm !== used!.arm) }),
    ).toBe(false);
    const judgements = demo.judgements.map((row) =>
      row.study === study ? { ...row, judgement: row.judgement === '2' ? '1' : '2' } : row,
    );
    expect(confirmedWith({ judgements })).toBe(false);
  });

  it('is still confirmed after pages, notes, reasons, labels, the order of rows and studies of other sites', () => {
    const places = <Row extends { readonly row: Review['events'][number]['row'] }>(rows: readonly Row[]) =>
      rows.map((row) => ({ ...row, notes: 'read again', row: { ...row.row, locator: 'page 99' } })).reverse();
    expect(confirmedWith({ events: places(demo.events), arms: places(demo.arms) })).toBe(true);
    expect(
      confirmedWith({
        judgements: places(demo.judgements).map((row) => ({ ...row, reason: 'said otherwise' })),
      }),
    ).toBe(true);
    expect(confirmedWith({ studies: demo.studies.map((row) => ({ ...row, label: `${row.label}a` })) })).toBe(
      true,
    );
    expect(
      confirmedWith({
        events: demo.events.filter((row) => row.outcome === 'revision'),
      }),
    ).toBe(true);
  });
});

describe('decisions of an earlier version of the program', () => {
  // As its sheets were: no body on any row, and no column for what it held.
  const headings = (files['certainty.csv'] ?? '').split('\n')[0]!.split(',');
  const old = {
    ...demo,
    certainty: demo.certainty.map((row) => ({
      ...row,
      body: 'not reported' as const,
      heldWhenDecided: 'not reported' as const,
    })),
  };
  it('are listed and confirm nothing, of a rate or of a pair', () => {
    expect(headings).toContain('body');
    for (const question of [groovePain, { kind: 'rate', outcome: 'revision', site: 'tenotomy' } as const]) {
      const rating = certaintyOfReview(old, question);
      expect(rating.confirmed).toBe(false);
      expect(rating.domains.every(({ decided }) => decided === undefined)).toBe(true);
      expect(rating.decisionsOpen.map(({ why }) => why)).toEqual(
        Array(5).fill(question.kind === 'rate' ? 'no record of what it held' : 'no body named'),
      );
    }
  });
});

describe('the first page of every product', () => {
  // Five on the pair, whose answer is the trial now, and five on each rate that the trial's arms came into.
  const words = /(^|\D)15 decisions on certainty must be taken again/;
  const firstPages: Readonly<Record<string, (review: Review) => string>> = {
    overview: (review) =>
      overviewPage({
        facts: factsOfReview(review, 'data-extraction/demo', { data: '', rules: '', files: {} }),
        review,
        runs: [],
        skipped: [],
        products: [],
        today: '2026-11-25',
      }).split('<h2')[0]!,
    'evidence document': (review) => {
      const parts = evidenceOfReview(review, { outcomes: ['groove-pain'], forests: false, pairs: [] });
      return documentToMarkdown(evidenceDocument(review, parts), { pictureAt: () => '' }).split('# Key')[0]!;
    },
    manuscript: (review) => {
      const { document } = manuscriptOfReview(manuscriptResults(review, { certainty: 'none' }), new Map());
      return documentToMarkdown(document, { pictureAt: () => '' }).split('# Methods')[0]!;
    },
    'title slide': (review) =>
      JSON.stringify(talkOfReview(review, { outcome: 'revision' }).slides[0]!.blocks),
    'notes of the title slide': (review) =>
      talkOfReview(review, { outcome: 'revision' }).slides[0]!.notes.join(' '),
    'change report': (review) => {
      const report = compareVersions(
        { name: '2025', review: readSound(lastYear), files: lastYear },
        { name: '2026', review, files },
      );
      return documentToMarkdown(changeDocument(report, { caution: '' }), { pictureAt: () => '' }).split(
        '## In short',
      )[0]!;
    },
  };

  for (const [product, firstPage] of Object.entries(firstPages))
    it(`says how many decisions must be taken again, and is silent where none: ${product}`, () => {
      expect(firstPage(withTrial)).toMatch(words);
      expect(firstPage(demo)).not.toContain('must be taken again');
    });
});

describe('reasons of the demonstration', () => {
  it('hold for the body they stand beside', () => {
    const shown = (review: Review) =>
      review.certainty.flatMap(({ outcome, question, site, comparator, domain, reason }) => {
        const asked = (
          question === 'rate'
            ? { kind: 'rate', outcome, site }
            : { kind: 'comparison', outcome, site, comparator }
        ) as CertaintyQuestion;
        const { body } = certaintyOfReview(review, asked);
        const designs = body.parts.map(
          (part) => review.studies.find(({ study }) => study === part.study)!.design,
        );
        return [{ asked, domain, reason: String(reason), body, designs }];
      });
    for (const review of [demo, readSound(lastYear)])
      for (const { asked, reason, body, designs } of shown(review)) {
        const label = `${JSON.stringify(asked)}: ${reason}`;
        if (/cohorts|series/.test(reason))
          expect(designs, label).not.toEqual(designs.map(() => 'randomised trial'));
        if (/\btrials?\b/.test(reason))
          expect(new Set(designs), label).toEqual(new Set(['randomised trial']));
        if (/three trials/.test(reason)) expect(body.studies, label).toBe(3);
        if (/two trials/.test(reason)) expect(body.studies, label).toBe(2);
        if (/only one study|there is one study/.test(reason))
          expect(
            body.parts.filter(({ interval }) => interval !== undefined),
            label,
          ).toHaveLength(1);
        if (/too few studies to look for it/.test(reason) && !/or no lean/.test(reason))
          expect(body.parts.filter(({ interval }) => interval !== undefined).length, label).toBeLessThan(10);
        const events = /; (\d+) events$/.exec(reason)?.[1];
        if (events !== undefined) expect(String(body.events), label).toBe(events);
      }
  });
});
