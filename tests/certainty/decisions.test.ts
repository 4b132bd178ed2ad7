// Which decisions count: a table on both sides of each border, from the words of the rule in docs/methods-certainty.md.
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { openDecisions } from '../../src/answers/openDecisions.ts';
import { reasonsOpen } from '../../src/certainty/certaintyDecision.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import type { CertaintyQuestion } from '../../src/certainty/certaintyQuestion.ts';
import { decisionsFile } from '../../src/certainty/decisionsFile.ts';
import { fingerprintOfBody } from '../../src/certainty/fingerprintOfBody.ts';
import { openDecisionsAmong } from '../../src/certainty/openDecisions.ts';
import { qualityForQuestion } from '../../src/certainty/quality/studyQuality.ts';
import type { ArmEvents } from '../../src/extraction/armEvents.ts';
import { readReview as readAll } from '../../src/extraction/readReview.ts';
import type { CertaintyRow, Review } from '../../src/extraction/review.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';
import { trialOfGroovePain, withRows } from './reviewsOfDecisions.ts';

const files = demoFiles();
const demo = readSound(files);
const question = {
  kind: 'comparison',
  outcome: 'revision',
  site: 'subpectoral',
  comparator: 'tenotomy',
} as const;
const ofQuestion = (row: CertaintyRow): boolean =>
  row.outcome === question.outcome && row.site === question.site && row.comparator === question.comparator;
const notReported = 'not reported' as const;

/** The demo with the five decisions on one pair changed. */
const changed = (change: (row: CertaintyRow) => Partial<CertaintyRow>): Review => ({
  ...demo,
  certainty: demo.certainty.map((row) => (ofQuestion(row) ? { ...row, ...change(row) } : row)),
});

describe('which decisions count', () => {
  const held = demo.certainty.find(ofQuestion)!.heldWhenDecided;
  const cases: readonly (readonly [
    words: string,
    change: Partial<CertaintyRow>,
    why: (typeof reasonsOpen)[number] | undefined,
  ])[] = [
    ['named body, as it was', {}, undefined],
    ['another fingerprint', { heldWhenDecided: 'held-000000000000' }, 'the body has changed since'],
    [
      'a fingerprint typed in part',
      { heldWhenDecided: String(held).slice(0, -1) },
      'the body has changed since',
    ],
    ['no fingerprint', { heldWhenDecided: notReported }, 'no record of what it held'],
    ['no body, with the fingerprint', { body: notReported }, 'no body named'],
    ['no body and no fingerprint', { body: notReported, heldWhenDecided: notReported }, 'no body named'],
    ['a body that does not answer', { body: 'series against series' }, 'another body'],
    ['a body that is rated apart', { body: 'non-randomised studies' }, 'another body'],
    [
      'the pair the other way round',
      { site: 'tenotomy', comparator: 'subpectoral' },
      'the pair the other way round',
    ],
  ];

  it.each(cases)('%s', (_, change, why) => {
    const review = changed(() => change);
    const rating = certaintyOfReview(review, question);
    expect(rating.body.design).toBe('randomised trials');
    expect(rating.confirmed).toBe(why === undefined);
    expect(rating.decisionsOpen.map((each) => each.why)).toEqual(why === undefined ? [] : Array(5).fill(why));
    // Nothing is erased: each row counts or is listed.
    const counted = rating.domains.filter(({ decided }) => decided !== undefined).length;
    expect(counted + rating.decisionsOpen.length).toBe(5);
    expect(openDecisions(review).count).toBe(why === undefined ? 0 : 5);
  });

  it('cases hold every reason', () => {
    expect(new Set(cases.flatMap(([, , why]) => why ?? []))).toEqual(new Set(reasonsOpen));
  });

  it('one open decision keeps the other four from confirming', () => {
    const review = changed((row) => (row.domain === 'imprecision' ? { heldWhenDecided: notReported } : {}));
    const rating = certaintyOfReview(review, question);
    expect(rating.domains.filter(({ decided }) => decided !== undefined)).toHaveLength(4);
    expect(rating.confirmed).toBe(false);
    expect(openDecisions(review).sentence).toBe(
      '1 decision on certainty must be taken again: it has no record of the studies and counts it was taken on. Until then it does not count, and certainty is what the data propose.',
    );
  });

  it('an open decision to rate up keeps a rating from being confirmed, though nothing is proposed there', () => {
    const row: CertaintyRow = {
      ...demo.certainty.find(ofQuestion)!,
      domain: 'dose-response',
      levels: 1,
      heldWhenDecided: notReported,
    };
    const review = { ...demo, certainty: [...demo.certainty, row] };
    expect(certaintyOfReview(review, question).confirmed).toBe(false);
    const counts = { ...demo, certainty: [...demo.certainty, { ...row, heldWhenDecided: held }] };
    expect(certaintyOfReview(counts, question).confirmed).toBe(true);
  });

  it('a blank body is the only one of a rate', () => {
    const review = {
      ...demo,
      certainty: demo.certainty.map((row) => (row.question === 'rate' ? { ...row, body: notReported } : row)),
    };
    expect(openDecisions(review).count).toBe(0);
  });

  it('a row in which nothing is decided is neither a decision nor open', () => {
    const review = changed(() => ({
      levels: notReported,
      reason: notReported,
      heldWhenDecided: notReported,
    }));
    const rating = certaintyOfReview(review, question);
    expect(rating.confirmed).toBe(false);
    expect(rating.decisionsOpen).toEqual([]);
  });

  it('a body that is asked for answers for its own decisions only', () => {
    const asked = certaintyOfReview(demo, question, { body: 'non-randomised studies' });
    expect(asked.confirmed).toBe(false);
    expect(asked.decisionsOpen).toEqual([]);
  });

  it('several reasons are told in one sentence, a domain once', () => {
    const review = changed((row) =>
      row.domain === 'imprecision' || row.domain === 'inconsistency'
        ? { body: notReported }
        : row.domain === 'risk of bias'
          ? { heldWhenDecided: 'held-000000000000' }
          : {},
    );
    const twice = {
      ...review,
      certainty: [
        ...review.certainty,
        ...demo.certainty
          .filter((row) => ofQuestion(row) && row.domain === 'risk of bias')
          .map((row) => ({ ...row, body: 'series against series' as const })),
      ],
    };
    expect(openDecisionsAmong([certaintyOfReview(twice, question)]).sentence).toBe(
      '3 decisions on certainty must be taken again: 1 was taken before the studies, counts or judgements changed and 2 name no body of evidence. Until then they do not count, and certainty is what the data propose.',
    );
  });
});

describe('the fingerprint of a body', () => {
  const { body } = certaintyOfReview(demo, question);
  const quality = qualityForQuestion(demo, question);
  const print = fingerprintOfBody(body, quality);

  it('is the SHA-256 of its sorted lines, made here by hand for one arm', () => {
    const arm = { study: 'a', arm: 'x', site: 'tenotomy', events: 1, total: 20 } as ArmEvents;
    const line = '["arm","a","x","tenotomy",1,20]';
    expect(fingerprintOfBody({ arms: [arm] }, [])).toBe(
      `held-${bytesToHex(sha256(utf8ToBytes(line))).slice(0, 12)}`,
    );
    // A spreadsheet must not take it for a number or a date.
    expect(print).toMatch(/^held-[0-9a-f]{12}$/);
  });

  it('does not change with the order of arms or studies, labels, pages, years or definitions', () => {
    fc.assert(
      fc.property(
        fc.shuffledSubarray([...body.arms], { minLength: body.arms.length }),
        fc.shuffledSubarray([...quality], { minLength: quality.length }),
        fc.string(),
        (arms, order, words) => {
          const same = arms.map((arm) => ({
            ...arm,
            label: words,
            year: 1900,
            definition: words,
            notes: [words],
            row: { ...arm.row, line: 1, locator: words },
          }));
          expect(fingerprintOfBody({ arms: same }, order)).toBe(print);
        },
      ),
    );
  });

  it('changes with each count, arm, site, study and judgement of the body', () => {
    for (const [at] of body.arms.entries())
      for (const change of [
        { events: 40 },
        { total: 900 },
        { site: 'suprapectoral' },
        { study: 'another' },
        { arm: 'another' },
      ] as const) {
        const arms = body.arms.map((arm, index) => (index === at ? { ...arm, ...change } : arm));
        expect(fingerprintOfBody({ arms }, quality)).not.toBe(print);
      }
    expect(fingerprintOfBody({ arms: body.arms.slice(1) }, quality)).not.toBe(print);
    const studies = new Set(body.arms.map(({ study }) => study));
    for (const row of demo.judgements.filter(({ study }) => studies.has(study))) {
      if (row.tool !== 'RoB 2') continue;
      const judgement = row.judgement === 'low' ? 'high' : 'low';
      const judgements = demo.judgements.map((each) => (each === row ? { ...each, judgement } : each));
      const other = fingerprintOfBody(body, qualityForQuestion({ ...demo, judgements }, question));
      const replaced =
        row.outcome === notReported &&
        demo.judgements.some(
          (each) =>
            each.study === row.study &&
            each.tool === row.tool &&
            each.item === row.item &&
            each.outcome === 'revision',
        );
      // A judgement of all outcomes is not used where this outcome has its own.
      const used = !replaced && (row.outcome === notReported || row.outcome === 'revision');
      expect(other === print, `${row.study} ${row.item} ${row.outcome}`).toBe(!used);
    }
  });

  it('does not change with judgements of studies that are not in it', () => {
    const studies = new Set(body.arms.map(({ study }) => study));
    const judgements = demo.judgements.filter(({ study }) => studies.has(study));
    expect(fingerprintOfBody(body, qualityForQuestion({ ...demo, judgements }, question))).toBe(print);
  });
});

describe('certainty.csv brought up to date', () => {
  const read = (text: string): Review => readSound({ ...files, 'certainty.csv': text });

  it('keeps every line, and asks once for each domain of each body', () => {
    const made = decisionsFile(demo, files['certainty.csv']);
    const lines = files['certainty.csv']!.trimEnd().split('\n');
    expect(made.text.split('\n').slice(0, lines.length)).toEqual(lines);
    const review = read(made.text);
    expect(review.certainty).toHaveLength(demo.certainty.length + made.added);
    const added = review.certainty.slice(demo.certainty.length);
    for (const row of added) {
      expect([row.levels, row.reason, row.heldWhenDecided]).toEqual(Array(3).fill(notReported));
      expect(row.body).not.toBe(notReported);
      expect(row.proposedThen).not.toBe(notReported);
    }
    expect(openDecisions(review).count).toBe(0);
    const again = decisionsFile(review, made.text);
    expect(again).toMatchObject({ changed: false, added: 0, text: made.text });
  });

  it('once all its rows are filled in and confirmed, every rating of the review is confirmed', () => {
    const opened = read(decisionsFile(demo, files['certainty.csv']).text);
    const filled = decisionsFile(opened, decisionsFile(demo, files['certainty.csv']).text).text.replace(
      /^(.*),,,(-?\d),,,,,,$/gm,
      '$1,$2,as proposed,$2,,,,,,',
    );
    const before = read(filled);
    expect(openDecisions(before).count).toBeGreaterThan(100);
    const confirmed = decisionsFile(before, filled, { confirm: true });
    const review = read(confirmed.text);
    expect(confirmed.unbound).toEqual([]);
    expect(openDecisions(review).count).toBe(0);
    const questions = new Map(
      review.certainty.map(({ outcome, question: kind, site, comparator }) => {
        const asked = (
          kind === 'rate' ? { kind, outcome, site } : { kind, outcome, site, comparator }
        ) as CertaintyQuestion;
        return [JSON.stringify(asked), asked];
      }),
    );
    for (const asked of questions.values()) {
      const rating = certaintyOfReview(review, asked);
      for (const each of [rating, ...rating.others]) expect(each.confirmed).toBe(true);
    }
  });

  it('leaves an older record alone, until the person empties it', () => {
    const now = readSound(withRows(files, trialOfGroovePain));
    const content = files['certainty.csv']!;
    const left = decisionsFile(now, content, { confirm: true });
    expect(left.confirmed).toBe(0);
    expect(
      openDecisions(readSound({ ...withRows(files, trialOfGroovePain), 'certainty.csv': left.text })).count,
    ).toBe(15);
    const emptied = content.replace(/^(groove-pain,rate,suprapectoral.*),held-[0-9a-f]{12},/gm, '$1,,');
    const review = readSound({ ...withRows(files, trialOfGroovePain), 'certainty.csv': emptied });
    const made = decisionsFile(review, emptied, { confirm: true });
    expect(made.confirmed).toBe(5);
    expect(
      openDecisions(readSound({ ...withRows(files, trialOfGroovePain), 'certainty.csv': made.text })).count,
    ).toBe(10);
  });

  it('says what cannot be confirmed, by line', () => {
    const content = files['certainty.csv']!.replaceAll(
      /,randomised trials,(.*),held-[0-9a-f]{12},/g,
      ',,$1,,',
    );
    const bound = files['certainty.csv']!.match(/,randomised trials,.*,held-[0-9a-f]{12},/g) ?? [];
    expect(bound.length).toBeGreaterThan(5);
    const { confirmed, unbound } = decisionsFile(read(content), content, { confirm: true });
    expect(confirmed).toBe(0);
    expect(unbound).toHaveLength(bound.length);
    expect(unbound[0]!.cure).toMatch(/^Name the body the decision is about: "randomised trials"/);
  });

  it('begins a file where there is none', () => {
    const review = readSound(smallReview);
    const made = decisionsFile(review, undefined);
    expect(made.added).toBeGreaterThan(0);
    expect(readSound({ ...smallReview, 'certainty.csv': made.text }).certainty).toHaveLength(made.added);
  });

  it('refuses an option it does not know', () => {
    expect(() => decisionsFile(demo, undefined, { confrim: true } as never)).toThrow('unknown option');
  });
});

describe('the sheet', () => {
  const heading =
    'outcome,question,site,comparator,body,domain,levels,reason,proposed_then,held_when_decided';
  const problems = (...rows: readonly string[]) =>
    decisionsOf(`${[heading, ...rows].join('\n')}\n`).map(({ severity, heading: column }) => [
      severity,
      column,
    ]);
  const decisionsOf = (text: string) => {
    const { problems: found } = readAll({ ...smallReview, 'certainty.csv': text });
    return found.filter(({ file }) => file === 'certainty.csv');
  };

  it('takes a row in which nothing is decided, and no half of a decision', () => {
    expect(problems('groove-pain,rate,tenotomy,,,imprecision,,,-1,')).toEqual([]);
    expect(problems('groove-pain,rate,tenotomy,,,imprecision,,wide,-1,')).toEqual([['error', 'levels']]);
    expect(problems('groove-pain,rate,tenotomy,,,imprecision,-1,,-1,')).toEqual([['error', 'reason']]);
  });

  it('warns of two rows on the one body of a rate', () => {
    expect(
      problems(
        'groove-pain,rate,tenotomy,,,imprecision,-1,wide,-1,',
        'groove-pain,rate,tenotomy,,arms at one site,imprecision,0,narrow,-1,',
      ),
    ).toEqual([['warning', 'body']]);
  });
});
